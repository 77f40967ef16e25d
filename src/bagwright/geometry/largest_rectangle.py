"""The largest upright rectangle that lies within a region."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
import shapely

from bagwright.geometry.region import GRID_MM, Region

Bounds = tuple[float, float, float, float]
"""Lowest x, lowest y, highest x, highest y."""
_MOST_LINES = 72
"""Grid lines each way: the rectangle's sides are looked for on them."""
_SAME_MM = 1e-6
_STRAIGHT_MM = 1e-6


def largest_rectangle(region: Region, *, least_side_mm: float = 0.0) -> Bounds | None:
    """The largest upright rectangle within `region` that has no side below `least_side_mm`; None if there is none.

    Exact where every edge of the region is upright or level and there are at most 72 places of edges each way;
    elsewhere within a few per cent of the largest. Never too large: it lies within the region to 2e-6 mm.

    >>> largest_rectangle(Region.from_ring([(0, 0), (9, 0), (9, 2), (4, 2), (4, 6), (0, 6)]))
    (0.0, 0.0, 4.0, 6.0)
    """
    if region.is_empty:
        return None
    xs, ys = _lines(region, axis=0), _lines(region, axis=1)
    found = _largest_of_cells(_free_cells(region, xs, ys), xs, ys, least_side_mm)
    return _kept_inside(region, _stretched(region, found)) if found else None


def _lines(region: Region, *, axis: int) -> npt.NDArray[np.float64]:
    """Places of upright edges, longest first; then where outlines reach to; then halves of the widest steps between."""
    weights: dict[float, float] = {}
    reaches: list[float] = []
    slanted = False
    for part in region.parts():
        for ring in (part.outer_ring(), *part.hole_rings()):
            reaches += [min(point[axis] for point in ring), max(point[axis] for point in ring)]
            for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
                if abs(a[axis] - b[axis]) <= _STRAIGHT_MM:
                    weights[a[axis]] = weights.get(a[axis], 0.0) + abs(a[1 - axis] - b[1 - axis])
                else:
                    slanted = slanted or abs(a[1 - axis] - b[1 - axis]) > _STRAIGHT_MM
    kept = [min(reaches), max(reaches), *sorted(weights, key=lambda place: -weights[place])[:_MOST_LINES]]
    room = max(0, _MOST_LINES - len(kept))
    others = sorted(set(reaches) - set(kept))
    kept += others[:: max(1, math.ceil(len(others) / room))] if room else []
    lines = _distinct(sorted(kept))
    while slanted and len(lines) < _MOST_LINES:
        at = max(range(len(lines) - 1), key=lambda i: lines[i + 1] - lines[i])
        lines.insert(at + 1, (lines[at] + lines[at + 1]) / 2)
    return np.asarray(lines)


def _distinct(places: list[float]) -> list[float]:
    kept = places[:1]
    for place in places[1:]:
        if place - kept[-1] > _SAME_MM:
            kept.append(place)
    return kept


def _free_cells(region: Region, xs: npt.NDArray[np.float64], ys: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
    """For each cell of the grid, x first, whether it lies within the region."""
    shapely.prepare(region.shape)
    low_x, low_y = np.meshgrid(xs[:-1] + _SAME_MM, ys[:-1] + _SAME_MM, indexing="ij")
    high_x, high_y = np.meshgrid(xs[1:] - _SAME_MM, ys[1:] - _SAME_MM, indexing="ij")
    cells: npt.NDArray[np.bool_] = shapely.covers(region.shape, shapely.box(low_x, low_y, high_x, high_y))
    return cells


def _largest_of_cells(
    cells: npt.NDArray[np.bool_], xs: npt.NDArray[np.float64], ys: npt.NDArray[np.float64], least_mm: float
) -> Bounds | None:
    """The largest block of free cells: for each column of cells as its last, bars of how far free cells run back."""
    best, best_area = None, 0.0
    start = [0] * cells.shape[1]  # for each row of cells, the column from which on it is free
    places = ys.tolist()
    for column in range(cells.shape[0]):
        high_x = float(xs[column + 1])
        for row, is_free in enumerate(cells[column].tolist()):
            if not is_free:
                start[row] = column + 1
        for begin, first, end in _blocks([float(xs[s]) for s in start], high_x):
            wide, high = high_x - begin, places[end] - places[first]
            if wide * high > best_area and min(wide, high) >= least_mm - _SAME_MM:
                best, best_area = (begin, places[first], high_x, places[end]), wide * high
    return best


def _blocks(begins: list[float], end: float) -> Iterator[tuple[float, int, int]]:
    """Every block of rows that cannot be made longer or higher: where it begins, its first row, the row after it."""
    waiting: list[tuple[float, int]] = []
    for row, begin in enumerate([*begins, end]):
        first = row
        while waiting and waiting[-1][0] < begin:
            from_x, first = waiting.pop()
            yield from_x, first, row
        if begin < end and (not waiting or waiting[-1][0] > begin):
            waiting.append((begin, first))


def _stretched(region: Region, bounds: Bounds) -> Bounds:
    """Each side pushed out as far as the region goes."""
    outer = list(region.bounds)
    sides = list(bounds)
    for side in (0, 2, 1, 3):
        strip = list(sides)
        strip[(side + 2) % 4], strip[side] = sides[side], outer[side]
        box = shapely.box(strip[0], strip[1], strip[2], strip[3])
        if abs(sides[side] - outer[side]) <= _SAME_MM:
            continue
        blocked = shapely.difference(box, region.shape, grid_size=GRID_MM)
        if blocked.is_empty:
            sides[side] = outer[side]
        else:
            nearest = float(blocked.bounds[(side + 2) % 4])
            sides[side] = max(nearest, sides[side]) if side > 1 else min(nearest, sides[side])
    return sides[0], sides[1], sides[2], sides[3]


def _kept_inside(region: Region, bounds: Bounds) -> Bounds:
    """The rectangle, a hair smaller if rounding has put it outside."""
    low_x, low_y, high_x, high_y = bounds
    if region.holds(Region.rectangle((low_x, low_y), (high_x, high_y))):
        return bounds
    hair = 2 * _SAME_MM
    return low_x + hair, low_y + hair, high_x - hair, high_y - hair
