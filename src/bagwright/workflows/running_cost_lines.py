"""The running costs of the workroom as they stand in their fields."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from bagwright.costing.overhead import overhead_said
from bagwright.model.bag import Workroom
from bagwright.model.running_costs import LastsFor, SmallSupply, StuckAt, SupplyKind
from bagwright.units import print_cloth_length

Texts = Mapping[str, str]
MOST_LINES = 40
SPARE_LINES = 3
EACH = (LastsFor.BAGS, LastsFor.RUNS)
CAN_LAST_FOR: Mapping[SupplyKind, tuple[LastsFor, ...]] = {
    SupplyKind.NEEDLE: (LastsFor.SEWN_MM, LastsFor.SEWN_MINUTES),
    SupplyKind.BLADE: (LastsFor.CUT_MM,),
    SupplyKind.TAPE: (LastsFor.STUCK_MM,),
    SupplyKind.GLUE: (LastsFor.STUCK_MM,),
    SupplyKind.MACHINE: (LastsFor.SEWN_MINUTES,),
    SupplyKind.PACKAGING: EACH,
    SupplyKind.LABEL: EACH,
    SupplyKind.CARE_LABEL: EACH,
    SupplyKind.DELIVERY: (LastsFor.RUNS, LastsFor.BAGS),
    SupplyKind.OTHER: (*EACH, LastsFor.SEWN_MM, LastsFor.SEWN_MINUTES, LastsFor.CUT_MM),
}
"""What each kind can be used up by, the usual one first."""
USUAL = tuple(kind for kind in SupplyKind if kind is not SupplyKind.OTHER)
"""The kinds that most bags use up."""
USUALLY_STUCK: Mapping[SupplyKind, tuple[StuckAt, ...]] = {
    SupplyKind.TAPE: (StuckAt.ZIPS, StuckAt.HOLES_STAY),
    SupplyKind.GLUE: (StuckAt.HOLES_STAY,),
}
"""Ticked at first: common practice, no source. Nothing is counted before there is a price."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyLine:
    """One small supply as it stands in the form. `key` begins the names of its fields; texts are as typed."""

    key: str
    kind: SupplyKind
    name: str
    price: str
    lasts: str
    lasts_for: LastsFor
    stuck_at: frozenset[StuckAt]


def shown_share(room: Workroom) -> str:
    """The share that scraps count for as it stands in its field."""
    return f"{(room.scraps_share * 100).normalize():f}"


def shown_shares(room: Workroom) -> tuple[str, str]:
    """Bags and hours of a month as they stand in their fields; empty where she has not said."""
    overhead = room.overhead
    bags, hours = (f"{one:g}" if one else "" for one in (overhead.bags_a_month, overhead.hours_a_month))
    return bags, hours


def overhead_now(room: Workroom) -> str:
    """How overhead is reckoned as it is kept."""
    return overhead_said(room)


def month_lines(room: Workroom, texts: Texts) -> tuple[tuple[str, str], ...]:
    """Name and amount of every cost of a month as they stand, with some room for more."""
    kept = [(line.name, f"{line.a_month.amount:f}") for line in room.overhead.lines]
    typed = sum(1 for name in texts if re.fullmatch(r"month_[0-9]{1,2}_name", name))
    count = min(max(len(kept) + SPARE_LINES, typed), MOST_LINES)
    rows = [*kept, *[("", "")] * count][:count]
    return tuple(
        (texts.get(f"month_{at}_name", name), texts.get(f"month_{at}_amount", amount))
        for at, (name, amount) in enumerate(rows)
    )


def supply_lines(room: Workroom, texts: Texts) -> tuple[SupplyLine, ...]:
    """Every kind of small supply, whether she has given it or not, then those of her own, with some room for more."""
    usual = [_line(_key(kind), kind, first_of(room, kind), room, texts) for kind in SupplyKind if kind in USUAL]
    others = other_supplies(room)
    typed = sum(1 for name in texts if re.fullmatch(r"own_[0-9]{1,2}_name", name))
    count = min(max(len(others) + SPARE_LINES, typed), MOST_LINES)
    rows = [*others, *[None] * count][:count]
    own = [_line(f"own_{at}", SupplyKind.OTHER, one, room, texts) for at, one in enumerate(rows)]
    return (*usual, *own)


def _key(kind: SupplyKind) -> str:
    return kind.value.replace(" ", "_").replace("-", "_")


def first_of(room: Workroom, kind: SupplyKind) -> SmallSupply | None:
    """Her first supply of that kind, if she has given any."""
    return next((one for one in room.small_supplies if one.kind is kind), None)


def other_supplies(room: Workroom) -> list[SmallSupply]:
    """Her own supplies, and any second one of a kind."""
    firsts = [first_of(room, kind) for kind in USUAL]
    return [one for one in room.small_supplies if not any(one is first for first in firsts)]


def _line(key: str, kind: SupplyKind, kept: SmallSupply | None, room: Workroom, texts: Texts) -> SupplyLine:
    lasts_for = kept.lasts_for if kept else CAN_LAST_FOR[kind][0]
    typed_for = texts.get(f"{key}_for", lasts_for)
    is_typed = f"{key}_price" in texts
    stuck = frozenset(at for at in StuckAt if stuck_field(key, at) in texts)
    return SupplyLine(
        key=key,
        kind=kept.kind if kept else kind,
        name=texts.get(f"{key}_name", kept.name if kept else "" if kind is SupplyKind.OTHER else kind.value),
        price=texts.get(f"{key}_price", f"{kept.price.amount:f}" if kept else ""),
        lasts=texts.get(f"{key}_lasts", shown_lasts(kept, room) if kept else ""),
        lasts_for=LastsFor(typed_for) if typed_for in set(LastsFor) else lasts_for,
        stuck_at=stuck if is_typed else frozenset(kept.stuck_at if kept else USUALLY_STUCK.get(kind, ())),
    )


def stuck_field(key: str, at: StuckAt) -> str:
    """The name of the box that says whether a supply goes along such seams."""
    return f"{key}_{at.name.lower()}"


def shown_lasts(supply: SmallSupply, room: Workroom) -> str:
    """How long it lasts as it stands in its field."""
    if supply.lasts_for is LastsFor.SEWN_MINUTES:
        return f"{supply.lasts / 60:g} h"
    if supply.lasts_for in EACH:
        return f"{supply.lasts:g}"
    return print_cloth_length(supply.lasts, room.units).text
