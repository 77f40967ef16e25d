"""`bagwright savings`: what would make a bag cheaper, ranked, taken together, and the way to a price."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, replace
from datetime import date
from enum import StrEnum
from typing import Any

from pydantic import Field

from bagwright.costing.savings import SearchLimits
from bagwright.cutting.requests import request_hash
from bagwright.drafting.forms import FORMS
from bagwright.errors import Problem
from bagwright.model.layout import Layout, LayRequest
from bagwright.model.money import Money
from bagwright.model.saving import Outcome, Reached, Saving
from bagwright.units import UnitSystem
from bagwright.workflows.answer import BagAnswer, FindLayout, answer_bag
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.bag_words import BagWords, StackWords, bag_from, bag_problems, place_in_file
from bagwright.workflows.contracts import Contract, Faults, read_contract
from bagwright.workflows.desk import BagView
from bagwright.workflows.price_file import PricedFile, PriceWords, priced_file
from bagwright.workflows.saving_ways import BagChange
from bagwright.workflows.saving_words import reached_said, refused_said, saving_said, search_said, stale_said
from bagwright.workflows.savings import BagSavings, SavingsAsked, find_savings, worth_telling
from bagwright.workflows.shared_buying import SharedBuying, shared_buying, shared_said
from bagwright.workflows.shelf_words import Amount, Name, money_from
from bagwright.workflows.swap_search import Keep
from bagwright.workflows.usual_allowances import allowances_taken


class KeepWords(StrEnum):
    """What is asked of every panel: what it does now, or what is asked of swaps."""

    AS_NOW = "as now"
    AS_FIRM = "as firm as now"
    STANDS = "surely stands"
    MAY_STAND = "may stand"


class OtherBagWords(Contract):
    """Another bag that is made of the same shelf, so that it can be bought for in the same go."""

    name: Name
    form: str = Field(description="a form of bag: " + ", ".join(FORMS))
    measurements_mm: dict[str, float] = Field(
        default={}, description="measurements of the form in mm; what is left out takes its usual size"
    )
    stacks: StackWords = Field(description="for each role, a list of 1 to 40 layers from the outside in")
    run_count: int = Field(default=1, ge=1, le=200, description="how many bags are made together, 1 to 200")


class SavingsWords(PriceWords):
    """What `bagwright savings` reads."""

    other_bags: list[OtherBagWords] = Field(
        default=[], max_length=20, description="other bags that could be bought for in the same go, a list of up to 20"
    )

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
        today=date.fromisoformat(words.today) if words.today else None,
        limits=SearchLimits(most_tried=words.most_tried),
    )
    find_layout = remembering(file.find_layout)
    others = _others(words, file, find_layout)
    found = find_savings(view, find_layout, asked, other_bags=[one.bag for one in others])
    stale_of = {keys: _placed(problems, words) for keys, problems in found.stale_of.items()}
    shared = shared_buying(view, others, find_layout)
    return replace(found, stale_prices=file.stale_prices, stale_of=stale_of, shared=shared)


def _placed(problems: Sequence[Problem], words: SavingsWords) -> tuple[Problem, ...]:
    return tuple(replace(one, place=place_in_file(one.place, words, offers=words.offers)) for one in problems)


def _others(words: SavingsWords, file: PricedFile, find_layout: FindLayout) -> tuple[BagAnswer, ...]:
    """The other bags with their answers. Raises `FaultyInput` with every fault, at its place in the file."""
    answers: list[BagAnswer] = []
    faults = Faults()
    for number, one in enumerate(words.other_bags):
        run, bag_id = one.run_count, f"bag {number + 2}"
        sizes = allowances_taken(one.form, one.measurements_mm, file.workroom)
        bag = bag_from(one.form, sizes, one.stacks, run_count=run, name=one.name, bag_id=bag_id)
        made_of = BagWords(
            form=one.form, measurements_mm=one.measurements_mm, stacks=one.stacks, materials=words.materials
        )
        problems = bag_problems(bag, made_of)
        faults.problems += [replace(fault, place=f"other_bags[{number}].{fault.place}") for fault in problems]
        if not problems:
            answer = answer_bag(bag, file.shelf, file.workroom, find_layout=find_layout, tells_doubt=False)
            faults.problems += _placed(answer.problems, words)
            answers.append(answer)
    faults.raise_if_any()
    return tuple(answers)


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
        "refused": [refused_said(found, key) for key in savings.refused],
        "without_price": list(found.without_price),
        "shared": [_shared(one) for one in found.shared],
        "tried": found.reached.tried if found.reached else savings.tried,
        "stale_prices": [problem.sentence() for problem in found.stale_prices],
    }


def _saving(found: BagSavings, saving: Saving) -> dict[str, Any]:
    return {
        "changes": [_change(change) for change in found.of(saving.changes)],
        "saves": _cents(saving.saves(found.savings.now)),
        **_outcome(saving.outcome),
        "stale_prices": [problem.sentence() for problem in found.stale_of.get(saving.changes, ())],
        "says": saving_said(found, saving).says,
    }


def _shared(one: SharedBuying) -> dict[str, Any]:
    return {
        "with": [bag.name for bag in one.others],
        "saves": _cents(one.saves),
        "price": _cents(one.price),
        "paid_less": _cents(one.paid_less),
        "materials": list(one.materials),
        "deliveries_less": one.deliveries_less,
        "says": _shared_said(one),
    }


def _shared_said(one: SharedBuying) -> str:
    does, effect, shared = shared_said(one)
    return " ".join(filter(None, (f"{does}.", effect, shared)))


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
    ranked = [f"{number}. {_told(found, one)}" for number, one in enumerate(worth_telling(found), start=1)]
    lines = [now, *(ranked or ["Nothing of what could be tried saves anything."])]
    if savings.together:
        lines += ["Together:", f"{_told(found, savings.together)} {search_said(found)}"]
    if found.reached:
        lines.append(reached_said(found, found.reached))
        if found.reached.found and found.reached.found.changes:
            lines.append(_told(found, found.reached.found))
    if found.shared:
        lines += ["Bought for several bags in one go:", *map(_shared_said, found.shared)]
    lines += [problem.sentence() for problem in found.stale_prices]
    if found.without_price:
        lines.append(f"Not tried, for no price is known: {', '.join(found.without_price)}.")
    return "\n".join(lines)


def _told(found: BagSavings, saving: Saving) -> str:
    """The saving in one sentence, and then which of its prices are too old."""
    return " ".join((saving_said(found, saving).says, *stale_said(found, saving)))
