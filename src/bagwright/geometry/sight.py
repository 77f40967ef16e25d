"""Flat facets in space in the order in which they hide one another, from any side; knows no bags.

A binary space partition: each node is a plane with the facets that lie in it, the rest before it or behind it, cut in
two where they cross it. Method of Fuchs, Kedem and Naylor (1980); citation from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bagwright.geometry.clipping import kept_above
from bagwright.geometry.facets import EdgeKind, FacetEdge
from bagwright.geometry.space import Point3, dot

FLAT_MM = 0.05
"""Facets within this of a plane count as lying in it."""
_CANDIDATES = 6
_CUT = FacetEdge(EdgeKind.CUT)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A flat facet: its corners, what each side is, its upper side, and the owner's `key`.

    Sheets of one `plane` lie on one another: `rank` counts upwards the way their own upper side looks.
    """

    points: tuple[Point3, ...]
    edges: tuple[FacetEdge, ...]
    normal: Point3
    key: int
    plane: int
    rank: int = 0

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
    chosen, heights = _best_plane(sheets)
    within: list[Sheet] = []
    behind: list[Sheet] = []
    before: list[Sheet] = []
    for sheet, height in zip(sheets, heights, strict=True):
        low, high = float(height.min()), float(height.max())
        if sheet.plane == chosen.plane or (low > -FLAT_MM and high < FLAT_MM):
            within.append(sheet)
        elif low > -FLAT_MM:
            before.append(sheet)
        elif high < FLAT_MM:
            behind.append(sheet)
        else:
            before += _cut(sheet, height)
            behind += _cut(sheet, -height)
    return SightTree(chosen.normal, tuple(within), sight_tree(behind), sight_tree(before))


def _best_plane(sheets: Sequence[Sheet]) -> tuple[Sheet, list[NDArray[np.float64]]]:
    """Of a few sheets spread over the list, the one whose plane cuts fewest others."""
    step = max(1, len(sheets) // _CANDIDATES)
    points = np.array([point for sheet in sheets for point in sheet.points])
    ends = np.cumsum([len(sheet.points) for sheet in sheets])[:-1]
    starts = np.concatenate([[0], ends])
    best: tuple[int, Sheet, NDArray[np.float64]] | None = None
    for sheet in sheets[::step]:
        heights = points @ np.array(sheet.normal) - dot(sheet.normal, sheet.points[0])
        low, high = np.minimum.reduceat(heights, starts), np.maximum.reduceat(heights, starts)
        count = int(np.sum((low <= -FLAT_MM) & (high >= FLAT_MM)))
        if best is None or count < best[0]:
            best = count, sheet, heights
    assert best is not None
    return best[1], np.split(best[2], ends)


def _cut(sheet: Sheet, heights: NDArray[np.float64]) -> list[Sheet]:
    """What of the sheet lies at positive heights."""
    points, edges = kept_above(sheet.points, sheet.edges, heights.tolist(), between=_between, cut=_CUT)
    return [Sheet(tuple(points), tuple(edges), sheet.normal, sheet.key, sheet.plane, sheet.rank)] if points else []


def _between(a: Point3, b: Point3, share: float) -> Point3:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])
