"""Strips and straps out of bands across the cloth: as few bands as will do, joined only where that is allowed.

Strips of one width share their bands. Whole strips are packed by the fullest band first (the least slack of each band
in turn), or longest first, whichever takes fewer bands. Strips that may be joined then flow on from band to band, if
that saves a band.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.cutting.check_bands import check_bands
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bands import Band, BandPart, BandPlan, BandRequest, BandStrip

_FIT_MM = 1e-9
MOST_PARTS = 4000
"""With more, nobody cuts them from one layout."""
_MOST_LOOKS = 600
"""Sets of strips looked at to fill one band; past them the fullest so far is taken."""
_FULLEST_AT_MOST = 150
"""With more strips than that, looking for the fullest band takes longer than it is worth."""

Item = tuple[float, int, int, int]
"""Length, which strip, which copy, which part of it."""


def plan_bands(request: BandRequest) -> BandPlan:
    """The fewest bands found. Raises `FaultyInput` for strips longer than a band that have to stay whole.

    >>> straps = BandStrip(id="strap", length_mm=700, width_mm=80, count=3)
    >>> plan = plan_bands(BandRequest(band_mm=1100, strips=(straps,)))
    >>> plan.taken_mm, plan.joins
    (240, 0)
    >>> joined = BandStrip(id="strap", length_mm=700, width_mm=80, count=3, may_join=True)
    >>> plan = plan_bands(BandRequest(band_mm=1100, strips=(joined,)))
    >>> plan.taken_mm, plan.joins, plan.is_least
    (160, 1, True)
    """
    _refuse_faults(request)
    bands: list[Band] = []
    least = 0.0
    for width in sorted({strip.width_mm for strip in request.strips}, reverse=True):
        group = [i for i, strip in enumerate(request.strips) if strip.width_mm == width]
        bins = _of_one_width(request, group)
        bands += [_band(request, width, items) for items in bins]
        least += width * _least_bands(request, group)
    verdict = check_bands(request, bands)
    if not verdict.passed:
        raise BrokenPromise(f"a plan of bands failed its check: {verdict.faults}")
    taken = sum(band.width_mm for band in bands)
    parts = sum(len(band.parts) for band in bands)
    joins = parts - sum(strip.count for strip in request.strips)
    return BandPlan(tuple(bands), taken, joins, taken <= least + _FIT_MM, verdict)


def _least_bands(request: BandRequest, group: Sequence[int]) -> int:
    strips = [request.strips[i] for i in group]
    whole = [strip for strip in strips if not strip.may_join and 2 * strip.length_mm > request.band_mm + 2 * _FIT_MM]
    length = math.fsum(strip.length_mm * strip.count for strip in strips)
    return max(math.ceil(length / request.band_mm - _FIT_MM), sum(strip.count for strip in whole))


def _of_one_width(request: BandRequest, group: Sequence[int]) -> list[list[Item]]:
    """The strips of one width in bands: with as few joins as can be, or flowing on if that saves a band."""
    whole: list[Item] = []
    flowing: list[Item] = []
    kept: list[Item] = []
    for i in group:
        strip = request.strips[i]
        for copy in range(strip.count):
            kept += _in_parts(request, strip, i, copy)
            (flowing if strip.may_join else whole).append((strip.length_mm, i, copy, 0))
    fewest_joins = _packed(request.band_mm, kept)
    if not flowing:
        return fewest_joins
    poured = _poured(request, _packed(request.band_mm, whole), sorted(flowing, reverse=True))
    return poured if len(poured) < len(fewest_joins) else fewest_joins


def _in_parts(request: BandRequest, strip: BandStrip, number: int, copy: int) -> Iterator[Item]:
    """One copy in as few parts as its band allows, the last one long enough."""
    left, part = strip.length_mm, 0
    while left > request.band_mm + _FIT_MM:
        rest = left - request.band_mm + request.join_mm
        cut = request.band_mm - max(0.0, request.least_part_mm - rest)
        yield cut, number, copy, part
        left, part = left - cut + request.join_mm, part + 1
    yield left, number, copy, part


def _packed(band_mm: float, items: Sequence[Item]) -> list[list[Item]]:
    longest = _longest_first(band_mm, items)
    return min(longest, _fullest_first(band_mm, items), key=len) if len(items) <= _FULLEST_AT_MOST else longest


def _longest_first(band_mm: float, items: Sequence[Item]) -> list[list[Item]]:
    bins: list[list[Item]] = []
    room: list[float] = []
    for item in sorted(items, key=lambda item: (-item[0], item[1:])):
        fits = [i for i, left in enumerate(room) if item[0] <= left + _FIT_MM]
        at = min(fits, key=lambda i: room[i], default=len(bins))
        if at == len(bins):
            bins.append([])
            room.append(band_mm)
        bins[at].append(item)
        room[at] -= item[0]
    return bins


def _fullest_first(band_mm: float, items: Sequence[Item]) -> list[list[Item]]:
    waiting = sorted(items, key=lambda item: (-item[0], item[1:]))
    bins: list[list[Item]] = []
    while waiting:
        chosen = _Filler(band_mm, [item[0] for item in waiting]).fullest()
        bins.append([waiting[i] for i in chosen])
        waiting = [item for i, item in enumerate(waiting) if i not in chosen]
    return bins


@dataclass(slots=True)
class _Filler:
    """Looks for the set of lengths, the longest among them, that leaves the least of a band."""

    band_mm: float
    lengths: list[float]
    looks: int = 0
    best_left: float = math.inf
    best: tuple[int, ...] = ()

    def fullest(self) -> set[int]:
        """Places of the lengths in that set."""
        self._look(1, (0,), self.band_mm - self.lengths[0])
        return set(self.best)

    def _look(self, start: int, chosen: tuple[int, ...], left: float) -> None:
        self.looks += 1
        if left < self.best_left - _FIT_MM:
            self.best_left, self.best = left, chosen
        tried = -1.0
        for i in range(start, len(self.lengths)):
            if self.looks > _MOST_LOOKS or self.best_left <= _FIT_MM:
                return
            if self.lengths[i] <= left + _FIT_MM and self.lengths[i] != tried:
                tried = self.lengths[i]
                self._look(i + 1, (*chosen, i), left - self.lengths[i])


def _poured(request: BandRequest, bins: list[list[Item]], flowing: Sequence[Item]) -> list[list[Item]]:
    """Strips that may be joined fill what the bands have left, then new bands, cut wherever a band ends."""
    bins = [list(items) for items in bins]
    waiting = list(flowing)
    at = 0
    while waiting:
        if at == len(bins):
            bins.append([])
        room = request.band_mm - math.fsum(item[0] for item in bins[at])
        length, number, copy, part = waiting[0]
        if length <= room + _FIT_MM:
            bins[at].append(waiting.pop(0))
            continue
        cut = min(room, length + request.join_mm - request.least_part_mm)
        if cut >= max(request.least_part_mm, request.join_mm + _FIT_MM):
            bins[at].append((cut, number, copy, part))
            waiting[0] = (length - cut + request.join_mm, number, copy, part + 1)
        at += 1
    return bins


def _band(request: BandRequest, width_mm: float, items: Sequence[Item]) -> Band:
    parts, start = [], 0.0
    for length, number, copy, part in items:
        parts.append(BandPart(request.strips[number].id, copy, part, start, length))
        start += length
    return Band(width_mm, tuple(parts))


def _refuse_faults(request: BandRequest) -> None:
    problems = list(_faults(request))
    if problems:
        raise FaultyInput(problems)


def _faults(request: BandRequest) -> Iterator[Problem]:
    times = Counter(strip.id for strip in request.strips)
    for number, strip in enumerate(request.strips):
        place = f"strips[{number}]"
        if times[strip.id] > 1:
            yield _problem(f"{place}.id", strip.id, "is used more than once", "each id once", "Rename it.")
        if strip.length_mm > request.band_mm + _FIT_MM:
            yield from _too_long(request, place, strip)
    parts = sum(_parts_at_least(request, strip) for strip in request.strips)
    if parts > MOST_PARTS:
        allowed, remedy = (
            f"at most {MOST_PARTS} parts of all strips",
            "Cut fewer or shorter strips, or take wider cloth.",
        )
        yield _problem("strips", str(parts), "parts are too many", allowed, remedy)


def _parts_at_least(request: BandRequest, strip: BandStrip) -> int:
    """How many parts its copies are cut into if each is as long as a band."""
    each = max(request.band_mm - request.join_mm, _FIT_MM)
    return strip.count * max(math.ceil((strip.length_mm - request.join_mm) / each - _FIT_MM), 1)


def _too_long(request: BandRequest, place: str, strip: BandStrip) -> Iterator[Problem]:
    least_mm = 2 * max(request.least_part_mm, request.join_mm)
    if not strip.may_join:
        what = f"is longer than a band of {request.band_mm:g} mm and has to stay whole"
        remedy = "Let it be joined, cut it along the cloth, or take a wider cloth."
        yield _problem(f"{place}.length_mm", f"{strip.length_mm:g}", what, f"{request.band_mm:g} mm or less", remedy)
    elif request.band_mm < least_mm:
        what, remedy = "is too short a band to join strips from", "Allow shorter parts, or take a wider cloth."
        yield _problem("width_mm", f"{request.band_mm:g}", what, f"{least_mm:g} mm or more", remedy)


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)
