"""A flat sheet folded along straight creases into flat facets in space; knows no bags."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import shapely
from shapely import LineString, Polygon, ops

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Point
from bagwright.geometry.space import Motion, Point3, turn_about

FINEST_TURN_DEG = 7.5
"""A round bend is drawn as creases of at most so much each."""
_OVERHANG_MM = 1e-4
"""Creases reach out so far, so that rounding leaves no gap to the boundary they end on."""
_NEAR_MM = 1e-3


class EdgeKind(StrEnum):
    """What a side of a facet is: the sheet's own edge, a crease, one of the fine creases of a round bend, or a cut."""

    RIM = "rim"
    CREASE = "crease"
    BAND = "band"
    CUT = "cut"


@dataclass(frozen=True, slots=True)
class Crease:
    """A straight line on the sheet; positive angles leave the upper side (z > 0) on the outside of the corner.

    `band_mm` > 0 spreads the turn over a band of that width, the line in its middle.
    """

    start: Point
    end: Point
    angle_deg: float
    band_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Facet:
    """A flat part of the sheet: its ring on the sheet, counter-clockwise, what each side is, and its motion."""

    ring: tuple[Point, ...]
    kinds: tuple[EdgeKind, ...]
    motion: Motion
    area_mm2: float

    @property
    def points(self) -> tuple[Point3, ...]:
        """The ring in space."""
        return tuple(self.motion.lift(point) for point in self.ring)

    @property
    def normal(self) -> Point3:
        """Unit vector out of the sheet's upper side."""
        return self.motion.turned((0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True)
class FoldedSheet:
    """The facets of one sheet. The largest one lies where it lay in the plane, upper side up."""

    facets: tuple[Facet, ...]
    _polygons: tuple[Polygon, ...] = field(repr=False)

    @property
    def anchor(self) -> Facet:
        """The largest facet, the first of several."""
        return max(self.facets, key=lambda facet: round(facet.area_mm2, 3))

    def facet_at(self, point: Point) -> Facet:
        """The facet on which a point of the flat sheet lies, or the nearest."""
        if len(self.facets) == 1:
            return self.facets[0]
        distances = shapely.distance(shapely.Point(point), self._polygons)
        return self.facets[int(distances.argmin())]

    def at(self, point: Point) -> Point3:
        """Where a point of the flat sheet comes to lie."""
        return self.facet_at(point).motion.lift(point)


def fold_sheet(ring: Sequence[Point], creases: Sequence[Crease]) -> FoldedSheet:
    """Fold the inside of a simple ring.

    Raises `BrokenPromise` if a crease bounds nothing. Where creases meet in a point, the caller answers for angles that
    close: facets are turned along a tree of creases, and what does not close shows as a gap.
    """
    whole = Polygon(ring)
    lines = list(itertools.chain.from_iterable(_fine(crease, whole) for crease in creases))
    polygons = _split(whole, lines)
    hinges = _hinges(polygons, lines)
    motions = _unfolded_tree(polygons, hinges)
    facets = tuple(_facet(polygon, motion, lines) for polygon, motion in zip(polygons, motions, strict=True))
    return FoldedSheet(facets, tuple(polygons))


def _fine(crease: Crease, whole: Polygon) -> Iterator[Crease]:
    """A sharp crease as it is; a round one as several, across its band."""
    if crease.band_mm == 0:
        yield crease
        return
    count = math.ceil(abs(crease.angle_deg) / FINEST_TURN_DEG)
    run = math.dist(crease.start, crease.end)
    ux, uy = (crease.end[0] - crease.start[0]) / run, (crease.end[1] - crease.start[1]) / run
    for number in range(count):
        off = crease.band_mm * ((number + 0.5) / count - 0.5)
        start, end = (
            (x - uy * off + ux * beyond, y + ux * off + uy * beyond)
            for (x, y), beyond in (
                (crease.start, -_beyond(crease.start, crease, whole)),
                (crease.end, _beyond(crease.end, crease, whole)),
            )
        )
        inside = shapely.intersection(LineString([start, end]), whole)
        for part in shapely.get_parts(inside):
            if isinstance(part, LineString) and part.length > _NEAR_MM:
                a, b = part.coords[0], part.coords[-1]
                yield Crease((a[0], a[1]), (b[0], b[1]), crease.angle_deg / count, crease.band_mm / count)


def _beyond(end: Point, crease: Crease, whole: Polygon) -> float:
    """A band that ends on a slanted or curved boundary reaches it everywhere; one that ends inside keeps its end."""
    return crease.band_mm if whole.exterior.distance(shapely.Point(end)) < _NEAR_MM else 0.0


def _split(whole: Polygon, lines: Sequence[Crease]) -> list[Polygon]:
    if not lines:
        return [shapely.orient_polygons(whole)]
    cuts = [LineString([_reached(line.end, line.start), _reached(line.start, line.end)]) for line in lines]
    net = shapely.union_all([whole.exterior, *cuts])
    inside = whole.buffer(_NEAR_MM)
    shapely.prepare(inside)
    parts = [part for part in ops.polygonize(net) if inside.contains(part) and part.area > _NEAR_MM]
    parts.sort(key=lambda part: (round(part.centroid.y, 3), round(part.centroid.x, 3)))
    return [shapely.orient_polygons(part) for part in parts]


def _reached(start: Point, end: Point) -> Point:
    """Just beyond `end`, coming from `start`."""
    share = _OVERHANG_MM / math.dist(start, end)
    return end[0] + share * (end[0] - start[0]), end[1] + share * (end[1] - start[1])


def _hinges(polygons: Sequence[Polygon], lines: Sequence[Crease]) -> list[tuple[int, int, Crease]]:
    """Pairs of facets on either side of a crease."""
    found = []
    tree = shapely.STRtree(polygons)
    for line in lines:
        segment = LineString([line.start, line.end])
        near = sorted(int(i) for i in tree.query(segment.buffer(_NEAR_MM)))
        touching = [i for i in near if _shared_mm(polygons[i], segment) > 10 * _NEAR_MM]
        pairs = [
            (a, b) for a, b in itertools.combinations(touching, 2) if _meet_mm(polygons[a], polygons[b], segment) > 0.01
        ]
        if not pairs:
            raise BrokenPromise(f"the crease from {line.start} to {line.end} divides nothing")
        found += [(a, b, line) for a, b in pairs]
    return found


def _shared_mm(polygon: Polygon, line: LineString) -> float:
    """Length over which a line runs along the polygon's boundary."""
    return float(shapely.intersection(polygon.exterior, line.buffer(_NEAR_MM, cap_style="flat")).length)


def _meet_mm(one: Polygon, other: Polygon, line: LineString) -> float:
    """Length of the line over which two facets lie on either side of it."""
    own = shapely.intersection(one.exterior, line.buffer(_NEAR_MM, cap_style="flat"))
    return float(shapely.intersection(own, other.buffer(_NEAR_MM)).length)


def _unfolded_tree(polygons: Sequence[Polygon], hinges: Sequence[tuple[int, int, Crease]]) -> list[Motion]:
    """The motion of every facet, from the largest outwards."""
    start = max(range(len(polygons)), key=lambda i: round(polygons[i].area, 3))
    motions, waiting = {start: Motion()}, [start]
    while waiting:
        here = waiting.pop(0)
        for a, b, line in hinges:
            there = b if a == here else a if b == here else None
            if there is not None and there not in motions:
                motions[there] = motions[here].after(_turn(polygons[there], line))
                waiting.append(there)
    if len(motions) < len(polygons):
        raise BrokenPromise("creases cut the sheet apart")
    return [motions[i] for i in range(len(polygons))]


def _turn(polygon: Polygon, line: Crease) -> Motion:
    """The turn of the facet beyond the crease: down for a positive angle."""
    (ax, ay), (bx, by) = line.start, line.end
    inside = polygon.representative_point()
    is_left = (bx - ax) * (inside.y - ay) - (by - ay) * (inside.x - ax) > 0
    return turn_about(line.start, line.end, -line.angle_deg if is_left else line.angle_deg)


def _facet(polygon: Polygon, motion: Motion, lines: Sequence[Crease]) -> Facet:
    ring = [(float(x), float(y)) for x, y, *_ in polygon.exterior.coords]
    kinds = tuple(_kind(a, b, lines) for a, b in itertools.pairwise(ring))
    return Facet(tuple(ring[:-1]), kinds, motion, float(polygon.area))


def _kind(a: Point, b: Point, lines: Sequence[Crease]) -> EdgeKind:
    middle = shapely.Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    for line in lines:
        if LineString([line.start, line.end]).distance(middle) < _NEAR_MM:
            return EdgeKind.BAND if line.band_mm else EdgeKind.CREASE
    return EdgeKind.RIM
