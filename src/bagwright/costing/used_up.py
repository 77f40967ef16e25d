"""Small supplies besides thread: what one bag uses up of each, from what is sewn, cut and stuck for it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from bagwright.costing.reckoning import exact, exact_mm, exact_money
from bagwright.errors import Problem
from bagwright.model.bag import Workroom
from bagwright.model.cost import PricePart
from bagwright.model.running_costs import LastsFor, SmallSupply, StuckAt, SupplyKind
from bagwright.units import UnitSystem, print_cloth_length, print_minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear:
    """What one bag of a run of `run_count` asks of supplies.

    `sewn_mm`: seams, every row counted; `sewn_minutes`: steps at the machine; `cut_mm`: along all cut lines.
    `seams_mm`: length of each seam that may be stuck first, and at which of the places in `StuckAt` it lies.
    """

    sewn_mm: float
    sewn_minutes: float
    cut_mm: float
    seams_mm: tuple[tuple[float, frozenset[StuckAt]], ...] = ()
    run_count: int = 1


def used_share(taken: Fraction, lasts: Fraction) -> Fraction:
    r"""What one bag uses up of a supply, as a share of it: :math:`q / Q`, q `taken` of the Q that it `lasts`.

    Both in one unit; valid for Q above 0. Assumes even wear: a needle that breaks early is not in it.

    Of a roll of 20 m, 1.5 m:

    >>> used_share(Fraction(1500), Fraction(20_000))
    Fraction(3, 40)
    """
    return taken / lasts


def supplies_used_up(workroom: Workroom, wear: Wear) -> tuple[PricePart, ...]:
    """The money in every small supply for one bag, as lines of its price; those that it takes nothing of left out.

    `small_supply_faults` has been asked before.
    """
    parts: list[PricePart] = []
    for supply in workroom.small_supplies:
        taken = taken_of(supply, wear)
        if taken:
            share = used_share(taken, exact(supply.lasts))
            amount = exact_money(exact(supply.price.amount) * share, workroom.currency)
            parts.append(PricePart(name=supply.name, amount=amount, reckoned=_said(supply, taken, workroom.units)))
    return tuple(parts)


def taken_of(supply: SmallSupply, wear: Wear) -> Fraction:
    """What one bag takes of a supply, in the unit that it lasts for."""
    match supply.lasts_for:
        case LastsFor.SEWN_MM:
            return exact_mm(wear.sewn_mm)
        case LastsFor.SEWN_MINUTES:
            return exact(wear.sewn_minutes)
        case LastsFor.CUT_MM:
            return exact_mm(wear.cut_mm)
        case LastsFor.STUCK_MM:
            places = frozenset(supply.stuck_at)
            return exact_mm(math.fsum(length_mm for length_mm, at in wear.seams_mm if at & places))
        case LastsFor.BAGS:
            return Fraction(1)
        case LastsFor.RUNS:
            return Fraction(1, wear.run_count)


def not_counted(workroom: Workroom, *, has_delivery: bool = False) -> tuple[str, ...]:
    """Kinds of supplies that most bags use up and of which she has given no number yet.

    `has_delivery`: what sellers charge for it is counted already.

    >>> not_counted(Workroom())[:3]
    ('needles', 'blades', 'double-sided tape')
    """
    given = {supply.kind for supply in workroom.small_supplies} | {SupplyKind.OTHER}
    given |= {SupplyKind.DELIVERY} if has_delivery else set()
    return tuple(kind.value for kind in SupplyKind if kind not in given)


def small_supply_faults(workroom: Workroom) -> Iterator[Problem]:
    """What is wrong with the small supplies; one that lasts for nothing is told, never left out."""
    for number, supply in enumerate(workroom.small_supplies):
        place = f"small_supplies[{number}]"
        if not (math.isfinite(supply.lasts) and supply.lasts > 0):
            yield _problem(f"{place}.lasts", supply, f"{supply.lasts:g}", "lasts for nothing", "above 0")
        if supply.price.currency != workroom.currency:
            what = f"costs {supply.price.currency}, while the workroom reckons in {workroom.currency}"
            yield _problem(f"{place}.price", supply, supply.price.said(), what, f"an amount in {workroom.currency}")
        if supply.price.amount < 0:
            yield _problem(f"{place}.price", supply, supply.price.said(), "costs less than nothing", "zero or more")
        if (supply.lasts_for is LastsFor.STUCK_MM) != bool(supply.stuck_at):
            allowed = f'one or more of {", ".join(StuckAt)} with "{LastsFor.STUCK_MM}", and none otherwise'
            value = ", ".join(supply.stuck_at)
            yield _problem(f"{place}.stuck_at", supply, value, "does not say where it is used", allowed)


def _said(supply: SmallSupply, taken: Fraction, units: UnitSystem) -> str:
    price = supply.price.said()
    match supply.lasts_for:
        case LastsFor.BAGS:
            return price if supply.lasts == 1 else f"{price} for {supply.lasts:g} bags"
        case LastsFor.RUNS:
            bags = "1 bag" if taken == 1 else f"{1 / taken} bags"
            runs = "a run" if supply.lasts == 1 else f"{supply.lasts:g} runs"
            return f"{price} for {runs} of {bags}"
        case LastsFor.SEWN_MINUTES:
            return f"{print_minutes(float(taken))} at the machine; {price} lasts {print_minutes(supply.lasts)}"
        case LastsFor.SEWN_MM | LastsFor.CUT_MM | LastsFor.STUCK_MM:
            done = supply.lasts_for.removeprefix("mm ")
            length, whole = (print_cloth_length(float(mm), units).text for mm in (taken, supply.lasts))
            return f"{length} {done}; {price} lasts {whole}"


def _problem(place: str, supply: SmallSupply, value: str, what: str, allowed: str) -> Problem:
    remedy = "Correct it among the running costs of the workroom."
    return Problem(place=place, value=value, what=f"{what} ({supply.name})", allowed=allowed, remedy=remedy)
