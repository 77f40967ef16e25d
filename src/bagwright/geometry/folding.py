"""A flat sheet folded along straight creases, sharp or round, into space; knows no bags."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import shapely
from shapely import LineString, Polygon, ops

from bagwright.geometry.curves import Point
from bagwright.geometry.facets import EdgeKind, Facet, FacetEdge, Roll, Span, flat_facet, on_chord, rolled_facets
from bagwright.geometry.space import Motion, Point3, turn_about

_GRID_MM = 1e-3
"""Corners of faces are rounded to this, so that creases meet the boundary and one another without a hair's gap."""
_NEAR_MM = 2e-3
_JOIN_MM = 0.01
_KEY_DECIMALS = 6

Ring = tuple[Point, ...]


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
class _Line:
    """Where the sheet is divided: a sharp crease, or one side of a band (which turns nothing by itself)."""

    start: Point
    end: Point
    angle_deg: float
    is_smooth: bool

    def passes(self, point: Point) -> bool:
        """Whether the point lies on the line."""
        run = math.dist(self.start, self.end)
        ux, uy = (self.end[0] - self.start[0]) / run, (self.end[1] - self.start[1]) / run
        dx, dy = point[0] - self.start[0], point[1] - self.start[1]
        return abs(ux * dy - uy * dx) < _NEAR_MM and -_NEAR_MM < ux * dx + uy * dy < run + _NEAR_MM


@dataclass(frozen=True, slots=True)
class Face:
    """What lies between creases: its ring on the sheet, counter-clockwise, its motion, and its roll if it is bent."""

    ring: Ring
    motion: Motion
    roll: Roll | None = None

    def at(self, point: Point) -> Point3:
        """Where a point of the flat sheet goes."""
        return self.motion.apply(self.roll.bent(point)) if self.roll else self.motion.lift(point)

    def segments(self, start: Point, end: Point, span: Span) -> list[Segment3]:
        """What of a line on the face lies within a span of it, in space."""
        if self.roll is None:
            return [(self.at(start), self.at(end))]
        (_, a), (_, b), (low, high) = self.roll.places(start), self.roll.places(end), span
        if abs(b - a) < _NEAR_MM:
            # Along the roll: between two strips it lies on both.
            reach = [0.0, 1.0] if low - _NEAR_MM < a < high + _NEAR_MM else [0.0, 0.0]
        else:
            reach = sorted(((low - a) / (b - a), (high - a) / (b - a)))
        first, last = max(reach[0], 0.0), min(reach[1], 1.0)
        if last - first < 1e-9:
            return []
        points = ((start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])) for t in (first, last))
        one, other = (self.motion.apply(on_chord(self.roll, point, span)) for point in points)
        return [(one, other)]

    def motion_at(self, point: Point) -> Motion:
        """The motion of the sheet's plane onto the plane that touches the face there."""
        return self.motion.after(self.roll.touching(point)) if self.roll else self.motion


Segment3 = tuple[Point3, Point3]
_ALL_ACROSS = (-math.inf, math.inf)


@dataclass(frozen=True, slots=True)
class FoldedSheet:
    """A sheet in space. Its largest face touches the plane it lay in, upper side up."""

    faces: tuple[Face, ...]
    facets: tuple[Facet, ...]
    _polygons: tuple[Polygon, ...] = field(repr=False)
    _spans: tuple[tuple[int, Span], ...] = field(repr=False)
    """Of every facet its face, and what of a rolled one it covers."""

    def line_on(self, start: Point, end: Point) -> list[tuple[int, Segment3]]:
        """A straight line drawn on the flat sheet: its parts in space, each with the number of the facet it lies on."""
        drawn = LineString([start, end])
        found: list[tuple[int, Segment3]] = []
        for face_number, (face, polygon) in enumerate(zip(self.faces, self._polygons, strict=True)):
            spans = [(number, span) for number, (owner, span) in enumerate(self._spans) if owner == face_number]
            for part in shapely.get_parts(shapely.intersection(drawn, polygon)):
                if isinstance(part, LineString) and part.length > _NEAR_MM:
                    (ax, ay, *_), (bx, by, *_) = part.coords[0], part.coords[-1]
                    for number, span in spans:
                        found += ((number, segment) for segment in face.segments((ax, ay), (bx, by), span))
        return found

    def faces_at(self, points: Sequence[Point]) -> list[Face]:
        """The face on which each point of the flat sheet lies, or the nearest."""
        if len(self.faces) == 1:
            return [self.faces[0]] * len(points)
        distances = shapely.distance(shapely.points(points)[:, None], [self._polygons])
        return [self.faces[int(i)] for i in distances.argmin(axis=1)]

    def at(self, point: Point) -> Point3:
        """Where a point of the flat sheet comes to lie."""
        return self.faces_at([point])[0].at(point)


def flat_parts(ring: Sequence[Point], creases: Sequence[Crease]) -> list[Ring]:
    """What of a simple, counter-clockwise ring lies flat between its creases: bands bent round are left out.

    In order from the lowest and leftmost; corners lie within a thousandth of a millimetre.

    >>> wide, narrow = flat_parts([(0, 0), (9, 0), (9, 4), (0, 4)], [Crease((6, 0), (6, 4), 90.0)])
    >>> sorted(wide), sorted(narrow)
    ([(0.0, 0.0), (0.0, 4.0), (6.0, 0.0), (6.0, 4.0)], [(6.0, 0.0), (6.0, 4.0), (9.0, 0.0), (9.0, 4.0)])
    """
    whole = Polygon(ring)
    lines = list(itertools.chain.from_iterable(_lines(crease, whole) for crease in creases))
    parts = _split(*_joined(whole, lines))
    return [_ring(part) for part in parts if _band_of(part, creases) is None]


def fold_sheet(ring: Sequence[Point], creases: Sequence[Crease]) -> FoldedSheet:
    """Fold the inside of a simple, counter-clockwise ring; a crease that divides nothing has no effect.

    Where creases meet in a point, the caller answers for angles that close: faces are turned along a tree of creases,
    and what does not close shows as a gap.
    """
    whole = Polygon(ring)
    lines = list(itertools.chain.from_iterable(_lines(crease, whole) for crease in creases))
    whole, lines = _joined(whole, lines)
    polygons = _split(whole, lines)
    rings = [_ring(part) for part in polygons]
    bands = [_band_of(part, creases) for part in polygons]
    shared = _shared_sides(rings)
    faces = _turned_faces(rings, polygons, bands, shared, lines)
    facets: list[Facet] = []
    spans: list[tuple[int, Span]] = []
    for number, (face, band) in enumerate(zip(faces, bands, strict=True)):
        edges = [_edge(side, number, shared, lines, faces, bands) for side in _sides(face.ring)]
        if face.roll and band:
            strips = rolled_facets(face.ring, edges, face.roll, face.motion, angle_deg=band.angle_deg)
        else:
            strips = [(_ALL_ACROSS, flat_facet(face.ring, edges, face.motion))]
        facets += (facet for _, facet in strips)
        spans += ((number, span) for span, _ in strips)
    return FoldedSheet(tuple(faces), tuple(facets), tuple(polygons), tuple(spans))


def _lines(crease: Crease, whole: Polygon) -> Iterator[_Line]:
    """A sharp crease as it is, if it divides; of a round one both sides of its band, where they lie on the sheet."""
    run = math.dist(crease.start, crease.end)
    if run < _NEAR_MM or crease.angle_deg == 0:
        return
    ux, uy = (crease.end[0] - crease.start[0]) / run, (crease.end[1] - crease.start[1]) / run
    ends = [_beyond(end, crease, whole) for end in (crease.start, crease.end)]
    for off in (-crease.band_mm / 2, crease.band_mm / 2) if crease.band_mm else (0.0,):
        # A band that ends on a slanted or curved boundary reaches it everywhere; one that ends inside keeps its end.
        start, end = (
            (x - uy * off + ux * way * beyond, y + ux * off + uy * way * beyond)
            for (x, y), way, beyond in ((crease.start, -1, ends[0]), (crease.end, 1, ends[1]))
        )
        for part in shapely.get_parts(shapely.intersection(LineString([start, end]), whole)):
            if isinstance(part, LineString) and part.length > _NEAR_MM and not _is_rim(part, whole):
                (ax, ay), (bx, by) = part.coords[0], part.coords[-1]
                yield _Line((ax, ay), (bx, by), 0.0 if crease.band_mm else crease.angle_deg, crease.band_mm > 0)


def _beyond(end: Point, crease: Crease, whole: Polygon) -> float:
    return crease.band_mm if whole.exterior.distance(shapely.Point(end)) < _NEAR_MM else 0.0


def _is_rim(line: LineString, whole: Polygon) -> bool:
    return bool(whole.exterior.distance(line.interpolate(0.5, normalized=True)) < _NEAR_MM)


def _joined(whole: Polygon, lines: Sequence[_Line]) -> tuple[Polygon, list[_Line]]:
    """The same with ends of lines that lie as good as on a corner or on one another made the very same point.

    Else rounding to the grid could take two such points different ways, and a crease would end short of its corner.
    """
    if not lines:
        return whole, []
    corners: list[Point] = [(x, y) for x, y, *_ in whole.exterior.coords[:-1]]
    places = [whole.exterior.project(shapely.Point(corner)) for corner in corners]
    known = list(corners)
    joined = []
    for line in lines:
        ends = []
        for end in (line.start, line.end):
            point = min(known, key=lambda one: math.dist(one, end))
            if math.dist(point, end) > _JOIN_MM:
                point = end
                known.append(end)
                if whole.exterior.distance(shapely.Point(end)) < _NEAR_MM:
                    corners.append(end)
                    places.append(whole.exterior.project(shapely.Point(end)))
            ends.append(point)
        joined.append(replace(line, start=ends[0], end=ends[1]))
    in_order = [corner for _, corner in sorted(zip(places, corners, strict=True))]
    return Polygon(in_order), joined


def _split(whole: Polygon, lines: Sequence[_Line]) -> list[Polygon]:
    if not lines:
        return [shapely.orient_polygons(whole)]
    cuts = [LineString([line.start, line.end]) for line in lines]
    shapely.prepare(whole)
    net = shapely.union_all([whole.exterior, *cuts], grid_size=_GRID_MM)
    parts = [part for part in ops.polygonize(net) if part.area > _NEAR_MM]
    inside = [part for part in parts if whole.contains(part.representative_point())]
    inside.sort(key=lambda part: (round(part.centroid.y, 3), round(part.centroid.x, 3)))
    return [shapely.orient_polygons(part) for part in inside]


def _ring(polygon: Polygon) -> Ring:
    """The corners."""
    return tuple((float(x), float(y)) for x, y, *_ in polygon.exterior.coords[:-1])


def _band_of(polygon: Polygon, creases: Sequence[Crease]) -> Crease | None:
    """The round crease in whose band the polygon lies: of several end to end, the one beside it."""
    inside = polygon.representative_point()
    found: list[tuple[float, Crease]] = []
    for crease in creases:
        if crease.band_mm and crease.angle_deg:
            along, across = Roll.of(crease.start, crease.end, 1.0, 0.0).places((inside.x, inside.y))
            past = max(0.0, -along, along - math.dist(crease.start, crease.end))
            if abs(across) < crease.band_mm / 2 and past < crease.band_mm:
                found.append((past, crease))
    return min(found, key=lambda pair: pair[0])[1] if found else None


Side = tuple[Point, Point]
_Shared = dict[frozenset[Point], list[int]]


def _sides(ring: Ring) -> Iterator[Side]:
    return itertools.pairwise((*ring, ring[0]))


def _key(side: Side) -> frozenset[Point]:
    return frozenset((round(x, _KEY_DECIMALS), round(y, _KEY_DECIMALS)) for x, y in side)


def _shared_sides(rings: Sequence[Ring]) -> _Shared:
    """The numbers of the faces on either side of every stretch that two have in common."""
    found: defaultdict[frozenset[Point], list[int]] = defaultdict(list)
    if len(rings) > 1:
        for number, ring in enumerate(rings):
            for side in _sides(ring):
                found[_key(side)].append(number)
    return {key: numbers for key, numbers in found.items() if len(numbers) == 2}


def _turned_faces(
    rings: Sequence[Ring],
    polygons: Sequence[Polygon],
    bands: Sequence[Crease | None],
    shared: _Shared,
    lines: Sequence[_Line],
) -> list[Face]:
    """Every face with its motion, from the largest outwards."""
    first = max(range(len(rings)), key=lambda i: round(polygons[i].area, 3))
    middle = polygons[first].centroid
    faces = {first: Face(rings[first], Motion(), _roll(bands[first], (middle.x, middle.y)))}
    beside: defaultdict[int, list[tuple[int, Side]]] = defaultdict(list)
    for key, (a, b) in shared.items():
        start, end = sorted(key)
        beside[a].append((b, (start, end)))
        beside[b].append((a, (start, end)))
    waiting = [first]
    while waiting:
        here = waiting.pop(0)
        for there, side in beside[here]:
            if there not in faces:
                middle_of = _middle(side)
                motion = faces[here].motion_at(middle_of).after(_turn(polygons[there], _line_on(side, lines)))
                faces[there] = Face(rings[there], motion, _roll(bands[there], middle_of))
                waiting.append(there)
    return [faces[i] for i in sorted(faces)]


def _roll(band: Crease | None, level: Point) -> Roll | None:
    if band is None:
        return None
    radius = band.band_mm / math.radians(band.angle_deg)
    _, across = Roll.of(band.start, band.end, radius, 0.0).places(level)
    return Roll.of(band.start, band.end, radius, across)


def _middle(side: Side) -> Point:
    (ax, ay), (bx, by) = side
    return (ax + bx) / 2, (ay + by) / 2


def _line_on(side: Side, lines: Sequence[_Line]) -> _Line | None:
    middle = _middle(side)
    return next((line for line in lines if line.passes(middle)), None)


def _turn(polygon: Polygon, line: _Line | None) -> Motion:
    """The turn of the face beyond the crease: down for a positive angle."""
    if line is None or line.is_smooth:
        return Motion()
    (ax, ay), (bx, by) = line.start, line.end
    inside = polygon.representative_point()
    is_left = (bx - ax) * (inside.y - ay) - (by - ay) * (inside.x - ax) > 0
    return turn_about(line.start, line.end, -line.angle_deg if is_left else line.angle_deg)


def _edge(
    side: Side,
    number: int,
    shared: _Shared,
    lines: Sequence[_Line],
    faces: Sequence[Face],
    bands: Sequence[Crease | None],
) -> FacetEdge:
    numbers = shared.get(_key(side))
    if numbers is None:
        return FacetEdge(EdgeKind.RIM)
    line = _line_on(side, lines)
    other = numbers[0] if numbers[1] == number else numbers[1]
    face, band, middle = faces[other], bands[other], _middle(side)
    if line is not None and not line.is_smooth:
        return FacetEdge(EdgeKind.CREASE, face.motion_at(middle).turned((0.0, 0.0, 1.0)))
    normal = face.motion_at(middle).turned((0.0, 0.0, 1.0))
    if face.roll and band:
        normal = face.motion.turned(face.roll.normal_beside(middle, band.angle_deg))
    return FacetEdge(EdgeKind.SMOOTH, normal)
