"""Net lines from cut lines: each edge moved inwards by its own seam allowance; and how far two lines lie apart."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

import shapely
from shapely.geometry import LineString, MultiPoint

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Line, Point
from bagwright.geometry.outline import Edge, Outline
from bagwright.geometry.region import Region, Ring

FLAT_MM = 0.005
"""Flattening of curved edges: the net line is made of chords within this."""
_SAME_MM = 1e-6
_DUST_MM = 0.01
_SMOOTH_DEG = 1.0
_FURTHEST_MITRE = 20.0
"""Where the cut line turns inwards, the net lines run on until they meet, at most this many allowances from there."""
_OFF_MM = 1.0
_SAMPLES = 41


def net_within(cut: Outline, allowance_mm: Mapping[str, float]) -> Outline:
    """The net line `allowance_mm[edge name]` inside each edge of a cut line. Edges keep their names.

    The other way round than `cut_region`, whose corners are mitred. An edge of which nothing is left (a corner of the
    allowance cut off) is none of the net line. Raises `FaultyInput` if the net line falls apart.

    >>> from bagwright.geometry.outline import rectangle_outline
    >>> net = net_within(rectangle_outline(100, 60), {"bottom": 10, "right": 10, "top": 20, "left": 10})
    >>> round(net.edge("bottom").length_mm, 6), round(net.edge("left").length_mm, 6)
    (80.0, 30.0)
    """
    runs = {edge.name: edge.points(FLAT_MM) for edge in cut.edges}
    widths = {name: allowance_mm.get(name, 0.0) for name in runs}
    inner = cut.region(FLAT_MM)
    taken = [_strip(runs[name], width) for name, width in widths.items() if width > 0]
    corners = [_Corner(a.name, b.name, runs, widths) for a, b in _neighbours(cut.edges)]
    taken += [wedge for corner in corners if (wedge := corner.wedge())]
    left = inner.minus(Region.union(taken)) if taken else inner
    parts = [part for part in left.parts() if part.area_mm2 > _DUST_MM]
    if len(parts) != 1:
        raise _misfit(widths, "leaves nothing inside it" if not parts else "cuts the piece into parts")
    ring = _with_points(_tidy(parts[0].outer_ring()), [point for c in corners if (point := c.smooth_point())])
    return _named(ring, _Edges(runs, widths, corners))


def _neighbours(edges: Sequence[Edge]) -> Sequence[tuple[Edge, Edge]]:
    return list(zip(edges, (*edges[1:], edges[0]), strict=True))


def _misfit(widths: Mapping[str, float], what: str, edge: str = "") -> FaultyInput:
    widest = max(widths.values())
    said = f"{widths[edge] if edge else widest:g} mm"
    place = f"allowance_mm.{edge}" if edge else "allowance_mm"
    remedy = "Use a smaller seam allowance, or take the outline for the stitch line."
    return FaultyInput([Problem(place=place, value=said, what=what, allowed="what fits inside it", remedy=remedy)])


def _strip(points: Sequence[Point], width_mm: float) -> Region:
    """Both sides of a run of chords; only the inner one matters."""
    line = LineString(points)
    return Region(shapely.buffer(line, width_mm, cap_style="flat", join_style="mitre", mitre_limit=5.0))


class _Corner:
    """Where one edge of the cut line ends and the next begins."""

    def __init__(
        self, before: str, after: str, runs: Mapping[str, Sequence[Point]], widths: Mapping[str, float]
    ) -> None:
        self.before, self.after = before, after
        self.at = runs[before][-1]
        self._widths = widths[before], widths[after]
        self._normals = _inward(*runs[before][-2:]), _inward(*runs[after][:2])
        (ux, uy), (vx, vy) = self._normals
        self.turn_deg = math.degrees(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy))

    def smooth_point(self) -> Point | None:
        """Where the net lines meet if the cut line hardly turns."""
        if abs(self.turn_deg) > _SMOOTH_DEG or abs(self._widths[0] - self._widths[1]) > _SAME_MM:
            return None
        return _shifted(self.at, self._normals[0], self._widths[0])

    def meeting(self) -> Point | None:
        """Where the net lines meet beyond a corner that turns inwards, if not too far away."""
        (ux, uy), (vx, vy) = self._normals
        cross = ux * vy - uy * vx
        if self.turn_deg >= -_SMOOTH_DEG or cross == 0 or max(self._widths) == 0:
            return None
        mx = (self._widths[0] * vy - self._widths[1] * uy) / cross
        my = (self._widths[1] * ux - self._widths[0] * vx) / cross
        is_near = math.hypot(mx, my) <= _FURTHEST_MITRE * max(self._widths)
        return (self.at[0] + mx, self.at[1] + my) if is_near else None

    def wedge(self) -> Region | None:
        """What the strips leave uncovered there."""
        meeting = self.meeting()
        if meeting is None:
            return None
        feet = [_shifted(self.at, normal, width) for normal, width in zip(self._normals, self._widths, strict=True)]
        return Region(MultiPoint([self.at, *feet, meeting]).convex_hull)


def _inward(a: Point, b: Point) -> Point:
    run = math.dist(a, b)
    return (a[1] - b[1]) / run, (b[0] - a[0]) / run


def _shifted(point: Point, normal: Point, by_mm: float) -> Point:
    return point[0] + normal[0] * by_mm, point[1] + normal[1] * by_mm


class _Edges:
    """Tells to which edge of the cut line a stretch of the net line belongs."""

    def __init__(
        self, runs: Mapping[str, Sequence[Point]], widths: Mapping[str, float], corners: Sequence[_Corner]
    ) -> None:
        self.widths = widths
        longer = {name: list(points) for name, points in runs.items()}
        for corner in corners:
            if meeting := corner.meeting():
                reach = math.dist(meeting, corner.at)
                before, after = longer[corner.before], longer[corner.after]
                before.append(_beyond(before[-2], before[-1], reach))
                after.insert(0, _beyond(after[1], after[0], reach))
        self._lines = {name: LineString(points) for name, points in longer.items()}

    def owner(self, a: Point, b: Point) -> str:
        """The edge that lies its allowance away from the middle of this stretch, and runs the same way."""
        middle = shapely.Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        run = math.dist(a, b)
        way = ((b[0] - a[0]) / run, (b[1] - a[1]) / run)
        return min(self.widths, key=lambda name: self._unlikeness_mm(name, middle, way))

    def _unlikeness_mm(self, name: str, middle: shapely.Point, way: Point) -> float:
        line = self._lines[name]
        off = abs(float(line.distance(middle)) - self.widths[name])
        if off > _OFF_MM:
            return off + 2 * _OFF_MM
        at = float(line.project(middle))
        start = line.interpolate(max(at - _DUST_MM, 0.0))
        end = line.interpolate(min(at + _DUST_MM, float(line.length)))
        run = math.hypot(end.x - start.x, end.y - start.y)
        return off + _OFF_MM * (1 - (way[0] * (end.x - start.x) + way[1] * (end.y - start.y)) / run)


def _beyond(a: Point, b: Point, by_mm: float) -> Point:
    share = by_mm / math.dist(a, b)
    return b[0] + (b[0] - a[0]) * share, b[1] + (b[1] - a[1]) * share


def _tidy(ring: Ring) -> list[Point]:
    return [
        point for point, before in zip(ring, [ring[-1], *ring[:-1]], strict=True) if math.dist(point, before) > _SAME_MM
    ]


def _with_points(ring: list[Point], points: Sequence[Point]) -> list[Point]:
    """The ring with these points of it as corners too."""
    for point in points:
        at = shapely.Point(point)
        sides = list(zip(ring, [*ring[1:], ring[0]], strict=True))
        distances = [float(LineString(side).distance(at)) for side in sides]
        nearest = min(range(len(sides)), key=distances.__getitem__)
        if distances[nearest] < _DUST_MM and min(math.dist(point, end) for end in sides[nearest]) > _SAME_MM:
            ring = [*ring[: nearest + 1], point, *ring[nearest + 1 :]]
    return ring


def _named(ring: list[Point], edges: _Edges) -> Outline:
    """The ring as an outline: stretches that belong to one edge of the cut line are an edge of the net line."""
    sides = list(zip(ring, [*ring[1:], ring[0]], strict=True))
    owners = [edges.owner(a, b) for a, b in sides]
    first = next((n for n in range(len(sides)) if owners[n] != owners[n - 1]), 0)
    order = [*range(first, len(sides)), *range(first)]
    groups = [(name, [sides[n] for n in numbers]) for name, numbers in itertools.groupby(order, key=owners.__getitem__)]
    names = [name for name, _ in groups]
    for name in edges.widths:
        if names.count(name) > 1:
            raise _misfit(edges.widths, "cuts that edge into parts", name)
    start = names.index(next(name for name in edges.widths if name in names))
    runs = [*groups[start:], *groups[:start]]
    return Outline(tuple(Edge(name, tuple(Line(a, b) for a, b in stretch)) for name, stretch in runs))


def allowance_between(edge: Edge, cut: Region) -> tuple[float, float]:
    """How far the cut line lies outside an edge of the net line: in the middle of what was seen, and the spread.

    Measured square to the cut line at places spread over the middle of the edge.
    """
    border = shapely.boundary(cut.shape)
    length = edge.length_mm
    spots = [edge.at(length * (0.15 + 0.7 * n / (_SAMPLES - 1))) for n in range(_SAMPLES)]
    distances = sorted(float(border.distance(shapely.Point(spot))) for spot in spots)
    return distances[_SAMPLES // 2], distances[-1] - distances[0]


def farthest_apart_mm(one: Region, other: Region) -> float:
    """How far a corner of the one border lies from the other border, at most."""
    a, b = shapely.boundary(one.shape), shapely.boundary(other.shape)
    return float(shapely.hausdorff_distance(a, b))
