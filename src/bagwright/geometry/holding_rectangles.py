"""Which of many shapes a rectangle can be cut from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from bagwright.geometry.largest_rectangle import ROUNDED_MM, holds_rectangle
from bagwright.geometry.rectangle_in_hull import Floats, best_rooms
from bagwright.geometry.region import Bounds, Region

_SAME_SHARE = 1e-9
_FEW_CORNERS = 12


@dataclass(frozen=True, slots=True)
class Lying:
    """A shape as it lies, with its box and its convex hull; `is_convex`: the hull is no larger."""

    region: Region
    box: Bounds
    hull: Floats
    is_convex: bool

    @classmethod
    def of(cls, region: Region) -> Lying:
        """That shape; it must not be empty."""
        return cls.of_each([region])[0]

    @classmethod
    def of_each(cls, regions: Sequence[Region]) -> list[Lying]:
        """Those shapes, of which none may be empty; of thousands at once."""
        if not regions:
            return []
        shapes = [region.shape for region in regions]
        hulls = shapely.orient_polygons(shapely.convex_hull(shapes))
        corners, owner = shapely.get_coordinates(hulls, return_index=True)
        rings = np.split(corners, np.flatnonzero(np.diff(owner)) + 1)
        boxes = shapely.bounds(shapes).tolist()
        convex = (shapely.area(hulls) <= shapely.area(shapes) * (1 + _SAME_SHARE)).tolist()
        return [
            cls(region, (low_x, low_y, high_x, high_y), ring[:-1], is_convex)
            for region, (low_x, low_y, high_x, high_y), ring, is_convex in zip(
                regions, boxes, rings, convex, strict=True
            )
        ]


@dataclass(frozen=True, slots=True)
class _Trial:
    """A rectangle in one of the ways in which the thing of that number can lie."""

    number: int
    lying: Lying
    size_mm: tuple[float, float]


def which_hold(things: Sequence[Sequence[Lying]], one_mm: float, other_mm: float, *, along: bool = False) -> list[bool]:
    """For each thing, told in every way in which it may lie, whether a rectangle can be cut from it, less 0.01 mm.

    `one_mm` lies along x, `other_mm` along y; unless `along`, the other way round is tried too. Exact: hulls rule out
    most and settle all that is convex; of the rest it is tried where the hull has most room, and then everywhere.

    >>> bar = Lying.of(Region.rectangle((0, 0), (9, 2)))
    >>> which_hold([[bar]], 1, 8), which_hold([[bar]], 1, 8, along=True)
    ([True], [False])
    """
    one, other = one_mm - ROUNDED_MM, other_mm - ROUNDED_MM
    sizes = ((one, other),) if along or one == other else ((one, other), (other, one))
    held, unsure = [False] * len(things), list[_Trial]()
    for turn in range(max(map(len, things), default=0)):
        for size in sizes:
            ways = ((i, ways[turn]) for i, ways in enumerate(things) if turn < len(ways) and not held[i])
            for trial, is_held in _in_hulls([_Trial(i, way, size) for i, way in ways if _is_in_box(way, size)]):
                held[trial.number] = is_held
                unsure += [] if is_held else [trial]
    for trial in unsure:
        held[trial.number] = held[trial.number] or _is_held(trial)
    return held


def _is_in_box(way: Lying, size_mm: tuple[float, float]) -> bool:
    low_x, low_y, high_x, high_y = way.box
    return high_x - low_x >= size_mm[0] and high_y - low_y >= size_mm[1]


def _in_hulls(trials: Sequence[_Trial]) -> Iterator[tuple[_Trial, bool]]:
    """The trials that hulls don't rule out, and whether the rectangle is known to lie within."""
    for simple in (True, False):  # few corners and many apart, for all outlines are as long as the longest
        alike = [one for one in trials if (len(one.lying.hull) <= _FEW_CORNERS) is simple]
        if not alike:
            continue
        rooms = best_rooms([one.lying.hull for one in alike], np.array([one.size_mm for one in alike]))
        for one, room, x, y in zip(
            alike, rooms.room_mm.tolist(), rooms.x_mm.tolist(), rooms.y_mm.tolist(), strict=True
        ):
            if room >= 0:
                yield one, one.lying.is_convex or _lies(one, x, y)


def _lies(trial: _Trial, x_mm: float, y_mm: float) -> bool:
    long, wide = trial.size_mm
    return trial.lying.region.holds(Region.rectangle((x_mm, y_mm), (x_mm + long, y_mm + wide)))


def _is_held(trial: _Trial) -> bool:
    long, wide = trial.size_mm
    return holds_rectangle(trial.lying.region, long + ROUNDED_MM, wide + ROUNDED_MM)
