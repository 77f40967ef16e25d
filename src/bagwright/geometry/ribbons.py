"""Soft strips in space: a ribbon along a line of stations, among them one that hangs in an arch; knows no bags."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import steps_length_mm
from bagwright.geometry.facets import EdgeKind, Facet, FacetEdge
from bagwright.geometry.space import Motion, Point3, along, cross, dot, frame_motion, minus, unit

ARCH_STEPS = 24
_FLAT_MM = 0.02
_WARP_MM = 1.5
"""A piece of a turning ribbon counts as flat if its corners lie within this of a plane."""
_SMOOTH_COS = math.cos(math.radians(25.0))
_STILL = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Station:
    """A place along a ribbon: how far from its start, where its middle lies, and the direction across it."""

    along_mm: float
    middle: Point3
    across: Point3


@dataclass(frozen=True, slots=True)
class Ribbon:
    """A strip `width_mm` wide through stations in order, at least two."""

    stations: tuple[Station, ...]
    width_mm: float

    @property
    def is_loop(self) -> bool:
        """Whether it goes out and comes back to where it starts."""
        return len(self.stations) == 3 and self.stations[0].middle == self.stations[-1].middle

    def at(self, along_mm: float, across_mm: float) -> Point3:
        """A place on the ribbon, `across_mm` from its middle line."""
        stations = self.stations
        after = bisect.bisect_left(stations, along_mm, lo=1, hi=len(stations) - 1, key=lambda s: s.along_mm)
        one, other = stations[after - 1], stations[after]
        share = (along_mm - one.along_mm) / ((other.along_mm - one.along_mm) or 1.0)
        middle, across = _mixed(one.middle, other.middle, share), _mixed(one.across, other.across, share)
        return along(middle, across, across_mm)

    def facets(self) -> list[Facet]:
        """The ribbon in flat facets; seen along it, its upper side looks left of `across`."""
        half = self.width_mm / 2
        rims = [(along(s.middle, s.across, -half), along(s.middle, s.across, half)) for s in self.stations]
        rings: list[tuple[Point3, ...]] = []
        for (a, b), (d, c) in itertools.pairwise(rims):
            rings += [(a, b, c, d)] if _is_flat(a, b, c, d) else [(a, b, c), (a, c, d)]
        normals = [_doubled_area(ring) for ring in rings]
        whole = [
            (ring, unit(area), math.hypot(*area) / 2)
            for ring, area in zip(rings, normals, strict=True)
            if math.hypot(*area) > _FLAT_MM**2
        ]
        return [
            Facet(ring, _sides(ring, number, whole), _lying(ring, normal), area)
            for number, (ring, normal, area) in enumerate(whole)
        ]


_Whole = Sequence[tuple[tuple[Point3, ...], Point3, float]]


def _sides(ring: tuple[Point3, ...], number: int, whole: _Whole) -> tuple[FacetEdge, ...]:
    """What each side is: where the ribbon goes on, a smooth bend or a crease."""
    own = whole[number][1]
    following: dict[frozenset[Point3], Point3] = {}
    for other, normal, _ in (*whole[max(0, number - 1) : number], *whole[number + 1 : number + 2]):
        following |= {frozenset(side): normal for side in itertools.pairwise((*other, other[0]))}
    sides = []
    for side in itertools.pairwise((*ring, ring[0])):
        beyond = following.get(frozenset(side))
        if beyond is None:
            sides.append(FacetEdge(EdgeKind.RIM))
        elif dot(own, beyond) < _SMOOTH_COS:
            sides.append(FacetEdge(EdgeKind.CREASE, beyond))
        else:
            sides.append(FacetEdge(EdgeKind.SMOOTH, beyond))
    return tuple(sides)


def _is_flat(a: Point3, b: Point3, c: Point3, d: Point3) -> bool:
    normal = cross(minus(c, a), minus(d, b))
    length = math.hypot(*normal)
    return length == 0 or abs(dot(minus(b, a), normal)) / length < _WARP_MM


def _doubled_area(ring: Sequence[Point3]) -> Point3:
    first, *others = ring
    total = (0.0, 0.0, 0.0)
    for one, other in itertools.pairwise(others):
        total = along(total, cross(minus(one, first), minus(other, first)), 1.0)
    return total


def _lying(ring: Sequence[Point3], normal: Point3) -> Motion:
    first, *others = ring
    way = unit(minus(max(others, key=lambda point: math.dist(point, first)), first))
    return frame_motion((_STILL, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), (first, way, cross(normal, way)))


def straightened(stations: Sequence[Station]) -> tuple[Station, ...]:
    """The same way with only the stations at which it bends."""
    kept = list(stations[:1])
    for here, after in itertools.pairwise(stations[1:]):
        share = (here.along_mm - kept[-1].along_mm) / ((after.along_mm - kept[-1].along_mm) or 1.0)
        middle, across = _mixed(kept[-1].middle, after.middle, share), _mixed(kept[-1].across, after.across, share)
        if math.dist(middle, here.middle) > _FLAT_MM or math.dist(across, here.across) > 0.001:
            kept.append(here)
    return (*kept, *stations[-1:])


def _mixed(a: Point3, b: Point3, share: float) -> Point3:
    return along(a, minus(b, a), share)


@dataclass(frozen=True, slots=True)
class RibbonEnd:
    """Where a ribbon is held: the middle of its end, the direction across it, and the way it leaves."""

    middle: Point3
    across: Point3
    leaving: Point3


def arch_ribbon(first: RibbonEnd, last: RibbonEnd, length_mm: float, width_mm: float) -> Ribbon:
    """A ribbon between two ends in an arch as long as it is, leaving both ends as they say.

    Where they leave alike, square to the line between them, it is half an ellipse. Held at one place by both ends, it
    goes out and back; too short, it is drawn straight and does not reach.
    """
    chord = minus(last.middle, first.middle)
    span = math.hypot(*chord)
    if span < width_mm / 4:
        return _there_and_back(first, length_mm, width_mm)
    if span >= length_mm:
        places = [along(first.middle, chord, length_mm / span * step / ARCH_STEPS) for step in range(ARCH_STEPS + 1)]
    else:
        places = _arch(first, last, length_mm)
    return Ribbon(straightened(_carried(places, first.across, last.across, length_mm)), width_mm)


def _arch(first: RibbonEnd, last: RibbonEnd, length_mm: float) -> list[Point3]:
    """Points of the arch whose height makes it long enough, found by halving."""
    middle, chord = _mixed(first.middle, last.middle, 0.5), minus(last.middle, first.middle)
    turns = [math.pi * step / ARCH_STEPS for step in range(ARCH_STEPS + 1)]

    def points(height: float) -> list[Point3]:
        rises = [_mixed(first.leaving, last.leaving, (1 - math.cos(turn)) / 2) for turn in turns]
        return [
            along(along(middle, chord, -math.cos(turn) / 2), rise, height * math.sin(turn))
            for turn, rise in zip(turns, rises, strict=True)
        ]

    low, high = 0.0, length_mm
    for _ in range(24):
        height = (low + high) / 2
        low, high = (height, high) if steps_length_mm(points(height)) < length_mm else (low, height)
    return points((low + high) / 2)


def _carried(places: Sequence[Point3], across: Point3, wanted: Point3, length_mm: float) -> list[Station]:
    """Stations whose direction across is carried along without turning, then turned evenly to end as wanted."""
    runs = list(itertools.accumulate((math.dist(a, b) for a, b in itertools.pairwise(places)), initial=0.0))
    ways = [unit(minus(places[min(i + 1, len(places) - 1)], places[max(i - 1, 0)])) for i in range(len(places))]
    carried = [across]
    for way in ways[1:]:
        square = along(carried[-1], way, -dot(carried[-1], way))
        carried.append(unit(square) if math.hypot(*square) > 0.01 else carried[-1])
    end, way = carried[-1], ways[-1]
    turn = math.atan2(dot(cross(end, wanted), way), dot(end, wanted))
    stations = []
    for place, run, direction, way in zip(places, runs, carried, ways, strict=True):
        angle = turn * run / (runs[-1] or 1.0)
        turned = along(along(_STILL, direction, math.cos(angle)), cross(way, direction), math.sin(angle))
        stations.append(Station(run * length_mm / (runs[-1] or 1.0), place, turned))
    return [*stations[:-1], Station(length_mm, places[-1], wanted)]


def _there_and_back(end: RibbonEnd, length_mm: float, width_mm: float) -> Ribbon:
    turn = along(end.middle, end.leaving, length_mm / 2)
    back = along((0, 0, 0), end.across, 1.0)
    return Ribbon(
        (
            Station(0.0, end.middle, end.across),
            Station(length_mm / 2, turn, back),
            Station(length_mm, end.middle, back),
        ),
        width_mm,
    )


def hanging_ribbon(end: RibbonEnd, length_mm: float, width_mm: float) -> Ribbon:
    """A ribbon held by one end, straight out."""
    tip = along(end.middle, end.leaving, length_mm)
    return Ribbon((Station(0.0, end.middle, end.across), Station(length_mm, tip, end.across)), width_mm)
