"""The running costs of the workroom as she reads and types them: the month, small supplies, scraps, age of prices."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from bagwright.costing.overhead import overhead_faults
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.money import Money
from bagwright.model.running_costs import (
    LastsFor,
    MonthlyCost,
    Overhead,
    ScrapsCount,
    SharedBy,
    SmallSupply,
    StuckAt,
    SupplyKind,
)
from bagwright.store.workroom import load_workroom, save_workroom
from bagwright.units import read_length_mm
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk
from bagwright.workflows.running_cost_lines import (
    EACH,
    USUAL,
    SupplyLine,
    Texts,
    first_of,
    month_lines,
    other_supplies,
    shown_lasts,
    shown_share,
    supply_lines,
)
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.workroom_changes import read_percent

LONGEST_NAME = 60
_NUMBER = re.compile(r"[0-9]{1,7}(?:[.,][0-9]{1,4})?")
_HOURS = re.compile(r"\s*h(?:ours?)?$")
_COUNT = re.compile(r"\s*(?:bags?|runs?)$")


def change_running_costs(desk: Desk, version: int, texts: Texts) -> Workroom:
    """Take over what was typed. Raises `FaultyInput` with every fault (nothing is saved then), `StaleSave`."""
    with desk.store() as store:
        changed = read_running_costs(load_workroom(store), texts)
        return save_workroom(store, replace(changed, version=version))


def read_running_costs(kept: Workroom, texts: Texts) -> Workroom:
    """The settings with what was typed. Lines without name and amount are gone. Raises `FaultyInput`."""
    faults = Faults()
    changed = kept
    with faults:
        changed = replace(changed, overhead=_overhead(kept, texts))
    with faults:
        changed = replace(changed, small_supplies=tuple(_supplies(kept, texts)))
    with faults:
        changed = replace(changed, scraps_count=_scraps_count(texts, kept))
    if texts.get("scraps_share", shown_share(kept)).strip() != shown_share(kept):
        with faults:
            changed = replace(changed, scraps_share=read_percent(texts["scraps_share"], "scraps_share"))
    with faults:
        changed = replace(changed, stale_after_days=_days(texts.get("stale_after_days", str(kept.stale_after_days))))
    faults.raise_if_any()
    return changed


def _overhead(kept: Workroom, texts: Texts) -> Overhead:
    faults, lines = Faults(), list[MonthlyCost]()
    for at, (name, amount) in enumerate(month_lines(kept, texts)):
        with faults:
            lines += _month_line(at, name.strip(), amount.strip(), kept)
    shares = {"bags_a_month": kept.overhead.bags_a_month, "hours_a_month": kept.overhead.hours_a_month}
    for field, value in shares.items():
        if field in texts and texts[field].strip() != (f"{value:g}" if value else ""):
            with faults:
                shares[field] = _number(texts[field], field) if texts[field].strip() else 0.0
    shared_by = texts.get("shared_by", kept.overhead.shared_by)
    with faults:
        if shared_by not in set(SharedBy):
            raise _refused("shared_by", shared_by, "is not one of the choices", ", ".join(SharedBy))
    faults.raise_if_any()
    overhead = Overhead(lines=tuple(lines), shared_by=SharedBy(shared_by), **shares)
    if problems := list(overhead_faults(replace(kept, overhead=overhead))):
        raise FaultyInput(replace(one, place=one.place.removeprefix("overhead.")) for one in problems)
    return overhead


def _month_line(at: int, name: str, amount: str, kept: Workroom) -> list[MonthlyCost]:
    if not name and not amount:
        return []
    if not name or len(name) > LONGEST_NAME:
        what = "is too long" if name else "is missing"
        raise _refused(f"month_{at}_name", name, what, f"a name of 1 to {LONGEST_NAME} letters")
    if not amount:
        raise _refused(f"month_{at}_amount", "", f"is missing: what {name} costs a month", "an amount, 0 or more")
    return [MonthlyCost(name, money_from(amount, kept.currency, place=f"month_{at}_amount"))]


def _supplies(kept: Workroom, texts: Texts) -> Iterator[SmallSupply]:
    faults, read = Faults(), list[SmallSupply]()
    before = [*(first_of(kept, kind) for kind in USUAL), *other_supplies(kept)]
    for at, line in enumerate(supply_lines(kept, texts)):
        with faults:
            read += _read_supply(line, before[at] if at < len(before) else None, kept)
    faults.raise_if_any()
    return iter(read)


def _read_supply(line: SupplyLine, before: SmallSupply | None, kept: Workroom) -> list[SmallSupply]:
    name = " ".join(line.name.split())
    if not line.price.strip():
        if line.lasts.strip() or (name and line.kind is SupplyKind.OTHER):
            raise _refused(f"{line.key}_price", "", "is missing", "an amount; 0 if you use none")
        return []
    if not name or len(name) > LONGEST_NAME:
        what = "is too long" if name else "is missing"
        raise _refused(f"{line.key}_name", name, what, f"a name of 1 to {LONGEST_NAME} letters")
    faults = Faults()
    price, lasts = None, 1.0
    with faults:
        price = money_from(line.price, kept.currency, place=f"{line.key}_price")
    with faults:
        lasts = _read_lasts(line, before, kept, price)
    stuck = tuple(at for at in StuckAt if at in line.stuck_at) if line.lasts_for is LastsFor.STUCK_MM else ()
    if line.lasts_for is LastsFor.STUCK_MM and not stuck:
        if price is None or price.amount:
            faults.problems.append(
                _problem(f"{line.key}_lasts", "", "does not say along which seams it goes", "one or more ticked")
            )
        stuck = tuple(StuckAt)
    faults.raise_if_any()
    if price is None:
        return []
    return [SmallSupply(name=name, price=price, lasts=lasts, lasts_for=line.lasts_for, kind=line.kind, stuck_at=stuck)]


def _read_lasts(line: SupplyLine, before: SmallSupply | None, kept: Workroom, price: Money | None) -> float:
    """In the unit of `lasts_for`; a text that was left alone keeps its exact value."""
    place, text = f"{line.key}_lasts", line.lasts.strip()
    if before and before.lasts_for is line.lasts_for and text == shown_lasts(before, kept):
        return before.lasts
    if not text and (line.lasts_for in EACH or (price is not None and not price.amount)):
        return 1.0
    if not text:
        raise _refused(place, "", "is missing", _ALLOWED[line.lasts_for])
    if line.lasts_for is LastsFor.SEWN_MINUTES:
        return 60 * _number(_HOURS.sub("", text), place, _ALLOWED[line.lasts_for])
    if line.lasts_for in EACH:
        return _number(_COUNT.sub("", text), place, _ALLOWED[line.lasts_for])
    return read_length_mm(text, place=place, units=kept.units)


_ALLOWED: Mapping[LastsFor, str] = {
    LastsFor.SEWN_MM: "a length above 0, such as 500 m or 500 yd",
    LastsFor.CUT_MM: "a length above 0, such as 500 m or 500 yd",
    LastsFor.STUCK_MM: "a length above 0, such as 20 m or 20 yd",
    LastsFor.SEWN_MINUTES: "hours above 0, such as 8 h",
    LastsFor.BAGS: "how many bags, above 0; empty is 1",
    LastsFor.RUNS: "how many runs, above 0; empty is 1",
}


def _number(text: str, place: str, allowed: str = "a number above 0, such as 40") -> float:
    found = _NUMBER.fullmatch(text.strip())
    value = float(found[0].replace(",", ".")) if found else 0.0
    if not value > 0:
        raise _refused(place, text, "is no number above 0", allowed)
    return value


def _scraps_count(texts: Texts, kept: Workroom) -> ScrapsCount:
    text = texts.get("scraps_count", kept.scraps_count)
    if text not in set(ScrapsCount):
        raise _refused("scraps_count", text, "is not one of the choices", ", ".join(ScrapsCount))
    return ScrapsCount(text)


def _days(text: str) -> int:
    days = int(text.strip()) if re.fullmatch(r"[0-9]{1,5}", text.strip()) else 0
    if not 1 <= days <= 36_500:
        raise _refused("stale_after_days", text, "is no number of days", "a whole number from 1 to 36500")
    return days


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy="Type it again.")


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([_problem(place, value, what, allowed)])
