"""Flat facets in space in the order in which they hide one another, from any side; knows no bags.

A binary space partition: each node is a plane with the facets that lie in it, the rest before it or behind it, cut in
two where they cross it. Method of Fuchs, Kedem and Naylor (1980); citation from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bagwright.geometry.clipping import kept_above
from bagwright.geometry.facets import EdgeKind, FacetEdge
from bagwright.geometry.space import Point3, dot

FLAT_MM = 0.75
"""Facets within this of a plane count as lying in it: a round base bulges so far beyond the flat strips of its wall."""
_CANDIDATES = 8
_ENOUGH = 2
_COST_OF_CUT = 2
_CUT = FacetEdge(EdgeKind.CUT)
Segment3 = tuple[Point3, Point3]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A flat facet: its corners, what each side is, its upper side, and the owner's `key`.

    Sheets of one `plane` lie on one another: `rank` counts upwards the way their own upper side looks. `lines` lie
    on the upper side.
    """

    points: tuple[Point3, ...]
    edges: tuple[FacetEdge, ...]
    normal: Point3
    key: int
    plane: int
    rank: int = 0
    lines: tuple[Segment3, ...] = ()

    def height(self, towards_eye: Point3) -> int:
        """Its place among the sheets of its plane, the nearest to the eye the highest."""
        return self.rank if dot(self.normal, towards_eye) >= 0 else -self.rank


@dataclass(frozen=True, slots=True)
class SightTree:
    """A node: its plane's normal, the sheets in it, what lies behind and before."""

    normal: Point3
    sheets: tuple[Sheet, ...]
    behind: SightTree | None
    before: SightTree | None

    def back_to_front(self, towards_eye: Point3) -> Iterator[Sheet]:
        """Every sheet, or what it was cut into, the furthest first, for an eye far off in that direction."""
        facing = dot(self.normal, towards_eye)
        far, near = (self.behind, self.before) if facing >= 0 else (self.before, self.behind)
        if far:
            yield from far.back_to_front(towards_eye)
        yield from sorted(self.sheets, key=lambda sheet: sheet.height(towards_eye))
        if near:
            yield from near.back_to_front(towards_eye)


def sight_tree(sheets: Sequence[Sheet]) -> SightTree | None:
    """The tree of these sheets; none for none."""
    if not sheets:
        return None
    chosen, cuts = _best_plane(sheets)
    within: list[Sheet] = []
    behind: list[Sheet] = []
    before: list[Sheet] = []
    for number, (sheet, low, high) in enumerate(zip(sheets, cuts.low.tolist(), cuts.high.tolist(), strict=True)):
        if sheet.plane == chosen.plane or (low > -FLAT_MM and high < FLAT_MM):
            within.append(sheet)
        elif low > -FLAT_MM:
            before.append(sheet)
        elif high < FLAT_MM:
            behind.append(sheet)
        else:
            heights = cuts.heights[cuts.starts[number] : cuts.starts[number] + len(sheet.points)].tolist()
            before += _cut(sheet, heights, chosen, 1.0)
            behind += _cut(sheet, [-height for height in heights], chosen, -1.0)
    return SightTree(chosen.normal, tuple(within), sight_tree(behind), sight_tree(before))


@dataclass(frozen=True, slots=True)
class _Cuts:
    """Heights of all corners above a plane, where those of each sheet start, and its lowest and its highest."""

    heights: NDArray[np.float64]
    starts: NDArray[np.intp]
    low: NDArray[np.float64]
    high: NDArray[np.float64]


def _best_plane(sheets: Sequence[Sheet]) -> tuple[Sheet, _Cuts]:
    """Of a few sheets spread over the list, the one whose plane cuts few others and leaves few on its fuller side."""
    points = np.array([point for sheet in sheets for point in sheet.points])
    starts = np.cumsum([0, *(len(sheet.points) for sheet in sheets[:-1])])
    best: tuple[int, Sheet, _Cuts] | None = None
    for tried, sheet in enumerate(sheets[:: max(1, len(sheets) // _CANDIDATES)]):
        heights = points @ np.array(sheet.normal) - dot(sheet.normal, sheet.points[0])
        cuts = _Cuts(heights, starts, np.minimum.reduceat(heights, starts), np.maximum.reduceat(heights, starts))
        before, behind = int(np.sum(cuts.high >= FLAT_MM)), int(np.sum(cuts.low <= -FLAT_MM))
        cost = max(before, behind) + _COST_OF_CUT * (before + behind)
        if best is None or cost < best[0]:
            best = cost, sheet, cuts
        if tried >= _ENOUGH and best[0] <= (1 + _COST_OF_CUT) * len(sheets):
            break  # it cuts nothing
    assert best is not None
    return best[1], best[2]


def _cut(sheet: Sheet, heights: Sequence[float], plane: Sheet, sense: float) -> list[Sheet]:
    """What of the sheet lies at positive heights, before the plane of another one or (`sense` -1) behind it."""
    points, edges = kept_above(sheet.points, sheet.edges, heights, between=_between, cut=_CUT)
    if not points:
        return []
    level = dot(plane.normal, plane.points[0])
    kept = (_line_above(line, [sense * (dot(plane.normal, end) - level) for end in line]) for line in sheet.lines)
    lines = tuple(line for line in kept if line)
    return [replace(sheet, points=tuple(points), edges=tuple(edges), lines=lines)]


def _line_above(line: Segment3, heights: Sequence[float]) -> Segment3 | None:
    (one, other), (a, b) = line, heights
    if a < 0 and b < 0:
        return None
    if a >= 0 and b >= 0:
        return line
    between = _between(one, other, a / (a - b))
    return (one, between) if a >= 0 else (between, other)


def _between(a: Point3, b: Point3, share: float) -> Point3:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])
