"""What is typed to find pieces of the stash."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TypeVar

from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.money import Money
from bagwright.workflows.contracts import Faults
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.stash_changes import read_size
from bagwright.workflows.stash_wishes import GrainWish, StashOrder, StashWish

Texts = Mapping[str, str]
Choice = TypeVar("Choice", bound=StrEnum)
WISH_FIELDS = ("long", "wide", "material", "bin", "grain", "age", "worth_from", "worth_to", "order")
_LONGEST_BIN = 120


class GrainChoice(StrEnum):
    """What is asked of the grain."""

    ANY = ""
    ALONG = "along"
    KNOWN = "known"
    NONE = "none"


class AgeChoice(StrEnum):
    """When it came in."""

    ANY = ""
    MONTH = "month"
    YEAR = "year"
    OVER_HALF = "over-half"
    OVER_YEAR = "over-year"


@dataclass(frozen=True, slots=True)
class _Days:
    """Days before today from which and up to which it came in; None: any."""

    first: int | None = None
    last: int | None = None


_AGES = {
    AgeChoice.ANY: _Days(),
    AgeChoice.MONTH: _Days(first=30),
    AgeChoice.YEAR: _Days(first=365),
    AgeChoice.OVER_HALF: _Days(last=183),
    AgeChoice.OVER_YEAR: _Days(last=366),
}


def read_wish(texts: Texts, workroom: Workroom, *, today: date) -> StashWish:
    """The wish as typed, fields named as in `WISH_FIELDS`; one size alone is a square.

    Raises `FaultyInput` with every fault.
    """
    faults, sizes = Faults(), {"long": 0.0, "wide": 0.0}
    for name in sizes:
        if texts.get(name, "").strip():
            with faults:
                sizes[name] = read_size(texts[name], name, workroom)
    worth, grain, days, order = dict[str, Money](), GrainChoice.ANY, _Days(), StashOrder.LARGEST
    for name in ("worth_from", "worth_to"):
        if texts.get(name, "").strip():
            with faults:
                worth[name] = money_from(texts[name], workroom.currency, place=name)
    with faults:
        grain = _chosen(texts, "grain", GrainChoice)
    with faults:
        days = _AGES[_chosen(texts, "age", AgeChoice)]
    with faults:
        order = _chosen(texts, "order", StashOrder) if texts.get("order") else order
    faults.raise_if_any()
    return StashWish(
        one_mm=sizes["long"] or sizes["wide"],
        other_mm=sizes["wide"] or sizes["long"],
        is_along=grain is GrainChoice.ALONG,
        material_id=texts.get("material", ""),
        grain=_GRAINS[grain],
        bin=texts.get("bin", "")[:_LONGEST_BIN],
        dated_from=_days_before(today, days.first),
        dated_to=_days_before(today, days.last),
        worth_from=worth.get("worth_from"),
        worth_to=worth.get("worth_to"),
        order=order,
    )


_GRAINS = {
    GrainChoice.ANY: GrainWish.ANY,
    GrainChoice.ALONG: GrainWish.KNOWN,
    GrainChoice.KNOWN: GrainWish.KNOWN,
    GrainChoice.NONE: GrainWish.NONE,
}


def _days_before(today: date, days: int | None) -> date | None:
    return None if days is None else today - timedelta(days=days)


def _chosen(texts: Texts, name: str, choices: type[Choice]) -> Choice:
    given = texts.get(name, "")
    try:
        return choices(given)
    except ValueError:
        allowed = ", ".join(filter(None, choices))
        what, remedy = "is not one of the choices", "Choose one."
        raise FaultyInput([Problem(place=name, value=given[:40], what=what, allowed=allowed, remedy=remedy)]) from None
