"""A closed outline as a chain of named edges, walked counter-clockwise, coordinates in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine, Curve, Line, Point, Side
from bagwright.geometry.region import Region

CLOSURE_MM = 1e-6
FINE_MM = 0.001
"""Chord error of the flattening that counts as exact: far below any cutting tool."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One named side of an outline: one or more curves end to end."""

    name: str
    curves: tuple[Curve, ...]

    @property
    def start(self) -> Point:
        """Where the edge begins."""
        return self.curves[0].start

    @property
    def end(self) -> Point:
        """Where the edge ends."""
        return self.curves[-1].end

    @property
    def length_mm(self) -> float:
        """Length along the edge."""
        if len(self.curves) == 1:
            return self.curves[0].length_mm
        return math.fsum(curve.length_mm for curve in self.curves)

    def at(self, distance_mm: float) -> Point:
        """Point `distance_mm` along from the start (clamped to the edge)."""
        for curve in self.curves:
            if distance_mm <= curve.length_mm:
                return curve.at(max(distance_mm, 0.0))
            distance_mm -= curve.length_mm
        return self.end

    def direction_at(self, distance_mm: float) -> Point:
        """Unit vector along the edge at `distance_mm`."""
        step = min(0.01, self.length_mm / 100)
        a, b = self.at(distance_mm - step), self.at(distance_mm + step)
        run = math.dist(a, b)
        return (b[0] - a[0]) / run, (b[1] - a[1]) / run

    def points(self, tolerance_mm: float = FINE_MM, side: Side = "on") -> list[Point]:
        """The edge as points from start to end."""
        points = [self.start]
        for curve in self.curves:
            points += curve.points(tolerance_mm, side)[1:]
        return points

    def moved(self, move: Affine) -> Edge:
        """The edge under `move`, walked so that a mirrored outline stays counter-clockwise."""
        curves = tuple(curve.moved(move) for curve in self.curves)
        return Edge(self.name, tuple(c.reversed() for c in reversed(curves)) if move.mirrors else curves)


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed chain of named edges, counter-clockwise, that does not cross itself.

    Raises `BrokenPromise` if names repeat, the chain does not close within 1e-6 mm, or it runs clockwise.
    """

    edges: tuple[Edge, ...]

    def __post_init__(self) -> None:
        names = [edge.name for edge in self.edges]
        if len(set(names)) != len(names):
            raise BrokenPromise(f"edge names repeat: {names}")
        for edge, following in zip(self.edges, (*self.edges[1:], self.edges[0]), strict=True):
            if math.dist(edge.end, following.start) > CLOSURE_MM:
                raise BrokenPromise(f"edge {edge.name!r} ends at {edge.end}, {following.name!r} starts elsewhere")
        if self.area_mm2 <= 0:
            raise BrokenPromise("outline runs clockwise or encloses nothing")

    @property
    def area_mm2(self) -> float:
        """Enclosed area, exact for lines, arcs and cubics."""
        return math.fsum(curve.swept_area_mm2() for edge in self.edges for curve in edge.curves)

    @property
    def length_mm(self) -> float:
        """Length all the way round."""
        return math.fsum(edge.length_mm for edge in self.edges)

    def edge(self, name: str) -> Edge:
        """The edge of that name."""
        for edge in self.edges:
            if edge.name == name:
                return edge
        raise BrokenPromise(f"no edge {name!r} among {[edge.name for edge in self.edges]}")

    def ring(self, tolerance_mm: float = FINE_MM, side: Side = "on") -> list[Point]:
        """Corner points all the way round. `right` may only enlarge the shape, `left` only shrink it."""
        points: list[Point] = []
        for edge in self.edges:
            points += edge.points(tolerance_mm, side)[:-1]
        return points

    @property
    def is_straight(self) -> bool:
        """Whether every edge is made of straight lines."""
        return all(isinstance(curve, Line) for edge in self.edges for curve in edge.curves)

    def region(self, tolerance_mm: float = FINE_MM, side: Side = "on") -> Region:
        """The area inside."""
        if self.is_straight:
            return _region(self, 0.0, "on")
        return _region(self, tolerance_mm, side)

    def moved(self, move: Affine) -> Outline:
        """The outline under `move`; edge names stay with their edges."""
        edges = tuple(edge.moved(move) for edge in self.edges)
        return Outline(tuple(reversed(edges)) if move.mirrors else edges)


@lru_cache(maxsize=256)
def _region(outline: Outline, tolerance_mm: float, side: Side) -> Region:
    # One proof or drawing asks for the same area several times.
    return Region.from_ring(outline.ring(tolerance_mm, side))


def polygon_outline(corners: Iterable[tuple[str, Point]]) -> Outline:
    """An outline of straight edges; each corner comes with the name of the edge that leaves it.

    >>> polygon_outline([("bottom", (0, 0)), ("right", (30, 0)), ("top", (30, 20)), ("left", (0, 20))]).area_mm2
    600.0
    """
    listed = list(corners)
    following = [*listed[1:], listed[0]]
    return Outline(tuple(Edge(name, (Line(a, b),)) for (name, a), (_, b) in zip(listed, following, strict=True)))


def rectangle_outline(width_mm: float, height_mm: float, names: Mapping[str, str] | None = None) -> Outline:
    """Upright rectangle from (0, 0) with edges bottom, right, top, left (renamed by `names`).

    >>> [edge.name for edge in rectangle_outline(30, 20, {"top": "fold"}).edges]
    ['bottom', 'right', 'fold', 'left']
    """
    sides = ("bottom", "right", "top", "left")
    corners = ((0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm))
    called = names or {}
    return polygon_outline([(called.get(side, side), corner) for side, corner in zip(sides, corners, strict=True)])
