"""`bagwright savings`: what would make a bag cheaper, ranked, taken together, and the way to a price."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, replace
from enum import StrEnum
from typing import Any

from pydantic import Field

from bagwright.costing.savings import SearchLimits
from bagwright.cutting.requests import request_hash
from bagwright.model.layout import Layout, LayRequest
from bagwright.model.money import Money
from bagwright.model.saving import Outcome, Reached, Saving
from bagwright.units import UnitSystem
from bagwright.workflows.answer import FindLayout
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.contracts import read_contract
from bagwright.workflows.desk import BagView
from bagwright.workflows.saving_ways import BagChange
from bagwright.workflows.saving_words import reached_said, saving_said, search_said
from bagwright.workflows.savings import BagSavings, SavingsAsked, find_savings, worth_telling
from bagwright.workflows.shelf_words import Amount, money_from
from bagwright.workflows.swap_search import Keep
from bagwright.workflows.tell_price import PriceWords, priced_file


class KeepWords(StrEnum):
    """What is asked of every panel: what it does now, or what is asked of swaps."""

    AS_NOW = "as now"
    AS_FIRM = "as firm as now"
    STANDS = "surely stands"
    MAY_STAND = "may stand"


class SavingsWords(PriceWords):
    """What `bagwright savings` reads."""

    keep: KeepWords = Field(default=KeepWords.AS_NOW, description="what every panel has to do: " + ", ".join(KeepWords))
    target_price: Amount | None = Field(
        default=None, description="a price to reach, amount as text of up to 20 characters, 0 or more"
    )
    most_tried: int = Field(
        default=200, ge=1, le=20_000, description="how many ways to make the bag are worked out at most, 1 to 20000"
    )


def savings_of_file(text: bytes) -> BagSavings:
    """What saves on the bag that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, SavingsWords)
    file = priced_file(words)
    view = BagView(
        answer=file.answer,
        form=form_of_key(file.answer.bag.form),
        shelf=file.shelf,
        workroom=file.workroom,
        before=None,
        can_undo=False,
        is_demo=False,
    )
    currency = file.workroom.currency
    asked = SavingsAsked(
        keep=None if words.keep is KeepWords.AS_NOW else Keep(words.keep),
        target=money_from(words.target_price, currency, place="target_price") if words.target_price else None,
        limits=SearchLimits(most_tried=words.most_tried),
    )
    found = find_savings(view, remembering(file.find_layout), asked)
    return replace(found, stale_prices=file.stale_prices)


def remembering(find_layout: FindLayout) -> Callable[[LayRequest], Layout]:
    """The same, finding each layout once."""
    found: dict[str, Layout] = {}

    def find(request: LayRequest) -> Layout:
        key = request_hash(request)
        if key not in found:
            found[key] = find_layout(request)
        return found[key]

    return find


def savings_as_json(found: BagSavings) -> dict[str, Any]:
    """The answer of `bagwright savings`; money as text to the cent, in the currency of the workroom."""
    savings = found.savings
    return {
        "currency": savings.now.price.currency,
        "now": _outcome(savings.now),
        "savings": [_saving(found, one) for one in worth_telling(found)],
        "together": _saving(found, savings.together) if savings.together else None,
        "together_is_proven": savings.is_proven,
        "reached": _reached(found, found.reached) if found.reached else None,
        "saves_nothing": [found.changes[one.changes[0]].does for one in savings.dear],
        "refused": [found.changes[key].does for key in savings.refused],
        "tried": found.reached.tried if found.reached else savings.tried,
        "stale_prices": [problem.sentence() for problem in found.stale_prices],
    }


def _saving(found: BagSavings, saving: Saving) -> dict[str, Any]:
    return {
        "changes": [_change(change) for change in found.of(saving.changes)],
        "saves": _cents(saving.saves(found.savings.now)),
        **_outcome(saving.outcome),
        "says": saving_said(found, saving).says,
    }


def _change(change: BagChange) -> dict[str, Any]:
    return {
        "key": change.key,
        "does": change.does,
        "stacks": [
            {
                "role": role,
                "layers": [
                    {"material_id": one.material_id, "extent": one.extent, "held": one.held, "zone": one.zone}
                    for one in layers
                ],
            }
            for role, layers in change.stacks.items()
        ],
        "measurements": [{"name": name, "value": value} for name, value in change.measurements_mm.items()],
        "run_count": change.run_count,
        "offer_id": change.offer_id or None,
    }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {
        "price": _cents(outcome.price),
        "cost": _cents(outcome.cost),
        "minutes": outcome.minutes,
        "mass_g": outcome.mass_g,
        "stands_mm": [{"panel": panel, **asdict(band)} for panel, band in outcome.stands_mm.items()],
    }


def _reached(found: BagSavings, reached: Reached) -> dict[str, Any]:
    return {
        "target": _cents(reached.target),
        "found": _saving(found, reached.found) if reached.found else None,
        "is_proven": reached.is_proven,
        "says": reached_said(found, reached),
    }


def _cents(money: Money) -> str:
    return str(money.for_display())


def savings_in_words(found: BagSavings, units: UnitSystem) -> str:
    """The answer for the maker, in the units of the workroom in the file."""
    savings = found.savings
    now = f"One bag pays you at {savings.now.price.said()} and takes {savings.now.minutes:.0f} min."
    ranked = [f"{number}. {saving_said(found, one).says}" for number, one in enumerate(worth_telling(found), start=1)]
    lines = [now, *(ranked or ["Nothing of what could be tried saves anything."])]
    if savings.together:
        lines += ["Together:", f"{saving_said(found, savings.together).says} {search_said(found)}"]
    if found.reached:
        lines.append(reached_said(found, found.reached))
        if found.reached.found and found.reached.found.changes:
            lines.append(saving_said(found, found.reached.found).says)
    lines += [problem.sentence() for problem in found.stale_prices]
    return "\n".join(lines)
