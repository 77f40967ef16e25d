"""The ways in which an offer can meet a need of a run, whole or in part."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from bagwright.costing.offers import DoesNotSuit, Portion, check_need, portion_of
from bagwright.errors import BrokenPromise
from bagwright.model.cost import Need
from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.run_buying import LaidParts, RunNeed
from bagwright.units import UnitSystem


@dataclass(frozen=True, slots=True)
class Way:
    """`holds` so many of each part; uses `uses` of the offer's unit and keeps `takes` of it from all else.

    `takes` is more than `uses` where the rest of a piece is no good for the next layout. `flows`: any share will do.
    """

    need: int
    holds: tuple[int, ...]
    portion: Portion
    takes: Fraction
    width_mm: float = 0.0
    length_mm: float = 0.0
    flows: bool = False

    @property
    def uses(self) -> Fraction:
        """In the unit of the portion."""
        return self.portion.needed


def ways_of(
    number: int, wanted: RunNeed, offer: Offer, units: UnitSystem = UnitSystem.INCH
) -> tuple[Way, ...] | DoesNotSuit:
    """Every way of meeting need `number` from the offer, those that no sane plan takes left out; or why there is none.

    Whole, or one layout of `laid` at a time (on an offer by piece: one layout to a piece), or thing by thing.
    """
    found: list[Way] = []
    reason: DoesNotSuit | None = None
    for holds, laid, need in _asked(wanted, offer):
        portion = portion_of(need, offer, wanted.goes_on, units)
        if isinstance(portion, DoesNotSuit):
            reason = reason or portion
            continue
        width, length = (laid.width_mm, laid.length_mm) if laid else (0.0, 0.0)
        takes = _takes(portion, offer, need, goes_on=wanted.goes_on)
        found.append(Way(number, holds, portion, takes, width, length, flows=wanted.goes_on))
    if not found:
        return reason or DoesNotSuit("sells nothing that it can be laid on")
    return tuple(way for at, way in enumerate(found) if not any(_beats(better, way, at) for better in enumerate(found)))


def _asked(wanted: RunNeed, offer: Offer) -> Iterator[tuple[tuple[int, ...], LaidParts | None, Need]]:
    """What may be asked of the offer at one time: parts held, their layout if they have one, and the need it makes."""
    need = wanted.need
    if need.count is not None:
        yield (1,), None, replace(need, count=1)
        return
    if isinstance(offer, OfferByArea) and wanted.part_areas_mm2:
        for part, area_mm2 in enumerate(wanted.part_areas_mm2):
            holds = tuple(int(at == part) for at in range(len(wanted.parts)))
            yield holds, None, replace(need, area_mm2=area_mm2)
        return
    if need.length_mm is not None:
        yield wanted.parts, LaidParts(holds=wanted.parts, length_mm=need.length_mm), need
    else:
        width = offer.width_mm if isinstance(offer, OfferByLength | OfferByPiece) else 0.0
        whole = dict(need.lengths_mm_by_width).get(width)
        yield wanted.parts, LaidParts(holds=wanted.parts, length_mm=whole, width_mm=width) if whole else None, need
    for laid in () if isinstance(offer, OfferByArea) else wanted.laid:
        if need.length_mm is not None:
            yield laid.holds, laid, replace(need, length_mm=laid.length_mm)
        else:
            yield laid.holds, laid, replace(need, lengths_mm_by_width=((laid.width_mm, laid.length_mm),))


def _takes(portion: Portion, offer: Offer, need: Need, *, goes_on: bool) -> Fraction:
    if goes_on or need.count is not None:
        return portion.needed
    match offer:
        case OfferByPiece():
            return Fraction(1)
        case OfferByCount():
            return Fraction(1, offer.pack_count)
        case _:
            return portion.needed


def _beats(other: tuple[int, Way], way: Way, at: int) -> bool:
    """Whether the other way holds all that this one does and takes and uses no more; of two alike, the first."""
    number, better = other
    if number == at or not all(one >= two for one, two in zip(better.holds, way.holds, strict=True)):
        return False
    if better.takes > way.takes or better.uses > way.uses:
        return False
    return number < at or (better.holds, better.takes, better.uses) != (way.holds, way.takes, way.uses)


def check_run_need(wanted: RunNeed) -> None:
    """Raises `BrokenPromise` unless parts and layouts are stated soundly; of the need itself, see `check_need`."""
    check_need(wanted.need)
    many = len(wanted.wanted)
    held = [*(one.holds for one in wanted.laid), *(one.holds for one in wanted.stash)]
    if not many or any(count < 0 for count in wanted.wanted):
        raise BrokenPromise(f"a need wants parts, none less than 0: {wanted}")
    if any(len(holds) != many or min(holds) < 0 or not any(holds) for holds in held):
        raise BrokenPromise(f"a layout holds so many of each part, at least one of some: {wanted}")
    if not all(math.isfinite(laid.length_mm) and laid.length_mm > 0 for laid in wanted.laid):
        raise BrokenPromise(f"a layout has a length above 0: {wanted}")
    if wanted.part_areas_mm2 and len(wanted.part_areas_mm2) != many:
        raise BrokenPromise(f"a need states the area of every part or of none: {wanted}")
    if wanted.goes_on and (wanted.need.length_mm is None or wanted.laid or wanted.stash):
        raise BrokenPromise(f"only a length without layouts goes on from piece to piece: {wanted}")


def takes_nothing(wanted: RunNeed) -> bool:
    """Whether there is nothing to buy for it."""
    need = wanted.need
    if need.length_mm is not None or need.count is not None:
        return not (need.length_mm or need.count)
    lengths: Sequence[float] = [mm for _, mm in need.lengths_mm_by_width]
    return not any(wanted.parts) or (bool(lengths) and not any(lengths) and not wanted.laid)
