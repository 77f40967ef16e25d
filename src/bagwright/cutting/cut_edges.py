"""Edges of pieces against the straight cuts made so far: which edges are cut already, and what is left to cut."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterator
from dataclasses import dataclass

from bagwright.geometry.curves import Point
from bagwright.geometry.few_corners import with_corners_at_most
from bagwright.geometry.region import Bounds, Region

_LEVEL_MM = 0.02
"""An edge is upright or level if its ends differ by less."""
_NEAR_MM = 0.05
"""A cut this close to an edge has made it: less than the width of a chalk line."""
_ALONG_SHARE = 0.4
_LEFT_MM = 0.5
_SMOOTH_DEG = 20.0
_MOST_CORNERS = 400
"""A blade does not follow each tooth of an outline with more."""
_PLACES = 6
"""Lines that differ by less are one: turned pieces lie a hair beside it."""
Stretch = tuple[float, float]
"""From, to."""


@dataclass(frozen=True, slots=True)
class Edges:
    """The outline of a laid piece, corner by corner, holes last."""

    rings: tuple[tuple[Point, ...], ...]
    box: Bounds

    @classmethod
    def of(cls, region: Region) -> Edges:
        """Of a region in one part; of a jagged one the outline that a blade can follow."""
        plain = with_corners_at_most(region.without_needless_points(), _MOST_CORNERS)
        return cls(tuple(tuple(ring) for ring in (plain.outer_ring(), *plain.hole_rings())), region.bounds)

    def each(self) -> Iterator[tuple[Point, Point]]:
        """Every edge."""
        for ring in self.rings:
            yield from zip(ring, (*ring[1:], ring[0]), strict=True)

    def lies_along(self, axis: int, place: float) -> bool:
        """Whether a good part of one side of the piece lies on the line at `place`."""
        other = 1 - axis
        on_line = sum(
            abs(a[other] - b[other])
            for a, b in self.each()
            if max(abs(a[axis] - place), abs(b[axis] - place)) < _LEVEL_MM
        )
        return on_line >= _ALONG_SHARE * (self.box[other + 2] - self.box[other])


class MadeCuts:
    """Straight cuts made so far, and edges that were cut round, both as stretches of upright and level lines.

    They are kept in order, line by line, and those that meet on one line as one.
    """

    def __init__(self) -> None:
        self._places: tuple[list[float], list[float]] = ([], [])
        self._stretches: tuple[dict[float, list[Stretch]], dict[float, list[Stretch]]] = ({}, {})

    def add(self, axis: int, place: float, low: float, high: float) -> None:
        """A cut at x = `place` (axis 0) or y = `place` (axis 1), from `low` to `high` the other way."""
        line = round(place, _PLACES)
        if line not in self._stretches[axis]:
            insort(self._places[axis], line)
        stretches = self._stretches[axis].setdefault(line, [])
        at = first = bisect_left(stretches, (low, high))
        while first and stretches[first - 1][1] >= low:
            first -= 1
        while at < len(stretches) and stretches[at][0] <= high:
            at += 1
        over = [(low, high), *stretches[first:at]]
        stretches[first:at] = [(min(one[0] for one in over), max(one[1] for one in over))]

    def add_edges(self, edges: Edges) -> None:
        """All of a piece's outline."""
        for a, b in edges.each():
            axis = _axis_of(a, b)
            if axis is not None:
                low, high = sorted((a[1 - axis], b[1 - axis]))
                self.add(axis, (a[axis] + b[axis]) / 2, low, high)

    def frees(self, edges: Edges) -> bool:
        """Whether every edge of the piece is cut."""
        return not any(self._is_left(a, b) for a, b in edges.each())

    def left_of(self, edges: Edges) -> tuple[float, int]:
        """Length that is not cut yet, and in how many runs: a run ends at a corner or at an edge cut before."""
        length, runs = 0.0, 0
        for ring in edges.rings:
            sides = list(zip(ring, (*ring[1:], ring[0]), strict=True))
            is_left = [self._is_left(a, b) for a, b in sides]
            length += sum(self._left(a, b) for (a, b), left in zip(sides, is_left, strict=True) if left)
            starts = [
                now and not (before and _turn_deg(sides[i - 1], sides[i]) < _SMOOTH_DEG)
                for i, (before, now) in enumerate(zip([is_left[-1], *is_left], is_left, strict=False))
            ]
            runs += sum(starts) or any(is_left)
        return length, runs

    def _is_left(self, a: Point, b: Point) -> bool:
        """Whether enough of an edge is uncut to take the blade to it."""
        edge = math.dist(a, b)
        return edge > _NEAR_MM and self._left(a, b) > min(_LEFT_MM, edge / 2)

    def _left(self, a: Point, b: Point) -> float:
        """Length of an edge that no stretch has made."""
        axis = _axis_of(a, b)
        if axis is None:
            return math.dist(a, b)
        place = (a[axis] + b[axis]) / 2
        low, high = sorted((a[1 - axis], b[1 - axis]))
        left, reached = 0.0, low
        for from_mm, to_mm in sorted(self._made(axis, place, (low, high))):
            left += max(0.0, from_mm - reached)
            reached = max(reached, to_mm)
        return left + max(0.0, high - reached)

    def _made(self, axis: int, place: float, within: Stretch) -> Iterator[Stretch]:
        """The parts of a stretch that are made by lines near `place`."""
        low, high = within
        places, lines = self._places[axis], self._stretches[axis]
        for line in places[bisect_left(places, place - _NEAR_MM) : bisect_right(places, place + _NEAR_MM)]:
            stretches = lines[line]
            at = max(0, bisect_left(stretches, (low,)) - 1)
            while at < len(stretches) and stretches[at][0] < high:
                from_mm, to_mm = max(stretches[at][0], low), min(stretches[at][1], high)
                if to_mm > from_mm:
                    yield from_mm, to_mm
                at += 1


def _axis_of(a: Point, b: Point) -> int | None:
    """0 for an upright edge, 1 for a level one, None for a slanted one."""
    return next((axis for axis in (0, 1) if abs(a[axis] - b[axis]) <= _LEVEL_MM), None)


def _turn_deg(one: tuple[Point, Point], other: tuple[Point, Point]) -> float:
    """By how much the outline turns from one edge to the next."""
    first, second = (math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in (one, other))
    return abs((math.degrees(second - first) + 180) % 360 - 180)
