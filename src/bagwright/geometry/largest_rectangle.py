"""The largest upright rectangle that lies within a region."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely import affinity

from bagwright.geometry.free_cells import free_cells
from bagwright.geometry.region import GRID_MM, Bounds, Region

_MOST_LINES = 72
"""Grid lines each way: the rectangle's sides are looked for on them."""
_SAME_MM = 1e-6
_STRAIGHT_MM = 1e-6
ROUNDED_MM = 0.01
"""Sizes are told in steps larger than this: a rectangle fits where it lacks no more."""


def largest_rectangle(region: Region, *, least_side_mm: float = 0.0) -> Bounds | None:
    """The largest upright rectangle within `region` that has no side below `least_side_mm`; None if there is none.

    Exact where every edge of the region is upright or level and there are at most 72 places of edges each way;
    elsewhere within a few per cent of the largest. Never too large: it lies within the region to 2e-6 mm.

    >>> largest_rectangle(Region.from_ring([(0, 0), (9, 0), (9, 2), (4, 2), (4, 6), (0, 6)]))
    (0.0, 0.0, 4.0, 6.0)
    """
    if region.is_empty:
        return None
    rings = region.rings()
    xs, ys = _lines(rings, axis=0), _lines(rings, axis=1)
    found = _largest_of_cells(free_cells(rings, xs, ys, slack_mm=_SAME_MM), xs, ys, least_side_mm)
    rectangle = _kept_inside(region, _stretched(region, found or _square_in_circle(region)))
    is_large = min(rectangle[2] - rectangle[0], rectangle[3] - rectangle[1]) >= max(least_side_mm - _SAME_MM, _SAME_MM)
    return rectangle if is_large else None


def _square_in_circle(region: Region) -> Bounds:
    """The square in the largest circle within a region so thin and slanted that no cell of the grid lies in it."""
    (part, *_) = sorted(region.parts(), key=lambda part: -part.area_mm2)
    assert isinstance(part.shape, shapely.Polygon)
    radius = shapely.maximum_inscribed_circle(part.shape)
    x, y = shapely.get_coordinates(radius)[0].tolist()
    half = float(radius.length) / 2  # a little less than 1 / sqrt 2, for the circle is found to a tolerance
    return x - half, y - half, x + half, y + half


def holds_rectangle(region: Region, length_mm: float, width_mm: float) -> bool:
    """Whether a rectangle of that length along x and width along y, less 0.01 mm, lies within the region.

    It does where its lower left corner can be put so that no edge of the region runs through it: off the shape that
    each edge sweeps when it is moved by every point of the rectangle, turned by half a turn.

    >>> ell = Region.from_ring([(0, 0), (9, 0), (9, 2), (4, 2), (4, 6), (0, 6)])
    >>> [holds_rectangle(ell, *size) for size in ((9, 2), (4, 6), (5, 3))]
    [True, True, False]
    """
    long, wide = length_mm - ROUNDED_MM, width_mm - ROUNDED_MM
    if region.is_empty or long > region.width_mm or wide > region.height_mm:
        return False
    if min(long, wide) <= 0:
        return True
    in_hull = _places_in_hull(region, long, wide)
    swept = _swept(region, long, wide)
    in_the_way = shapely.union_all(swept[shapely.intersects(swept, in_hull)], grid_size=GRID_MM)
    places = shapely.get_parts(shapely.difference(in_hull, in_the_way, grid_size=GRID_MM))
    points = shapely.get_coordinates(shapely.point_on_surface(places))
    return any(region.holds(Region.rectangle((x, y), (x + long, y + wide))) for x, y in points.tolist())


def _places_in_hull(region: Region, long_mm: float, wide_mm: float) -> shapely.Geometry:
    """Where the lower left corner may lie so that all four corners lie in the convex hull."""
    hull = shapely.convex_hull(region.shape)
    places = hull
    for x, y in ((-long_mm, 0.0), (0.0, -wide_mm), (-long_mm, -wide_mm)):
        places = shapely.intersection(places, affinity.translate(hull, x, y), grid_size=GRID_MM)
    shapely.prepare(places)
    return places


def _swept(region: Region, long_mm: float, wide_mm: float) -> npt.NDArray[np.object_]:
    """For each edge, where the lower left corner of the rectangle lies when that edge meets it."""
    edges = [np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in region.rings()]
    corners = np.array([(0.0, 0.0), (-long_mm, 0.0), (0.0, -wide_mm), (-long_mm, -wide_mm)])
    ends = np.concatenate(edges)
    points = (ends[:, :, None, :] + corners).reshape(-1, 8, 2)
    swept: npt.NDArray[np.object_] = shapely.convex_hull(shapely.multipoints(points))
    return swept


def _lines(rings: Sequence[npt.NDArray[np.float64]], *, axis: int) -> npt.NDArray[np.float64]:
    """Places of upright edges, longest first; then where outlines reach to; then halves of the widest steps between."""
    weights: dict[float, float] = {}
    reaches: list[float] = []
    slanted = False
    for ring in rings:
        along = np.abs(np.roll(ring, -1, axis=0) - ring)
        upright = along[:, axis] <= _STRAIGHT_MM
        slanted = slanted or bool((~upright & (along[:, 1 - axis] > _STRAIGHT_MM)).any())
        reaches += [float(ring[:, axis].min()), float(ring[:, axis].max())]
        for place, length in zip(ring[upright, axis].tolist(), along[upright, 1 - axis].tolist(), strict=True):
            weights[place] = weights.get(place, 0.0) + length
    kept = [min(reaches), max(reaches), *sorted(weights, key=lambda place: -weights[place])[:_MOST_LINES]]
    room = max(0, _MOST_LINES - len(kept))
    others = sorted(set(reaches) - set(kept))
    kept += others[:: max(1, math.ceil(len(others) / room))] if room else []
    lines = _distinct(sorted(kept))
    return np.asarray(_halved(lines) if slanted else lines)


def _halved(lines: list[float]) -> list[float]:
    """With lines in the middle of the widest steps, as many as there may be."""
    steps = [(low - high, low, high) for low, high in pairwise(lines)]
    heapq.heapify(steps)
    more = list[float]()
    while steps and len(lines) + len(more) < _MOST_LINES:
        _, low, high = steps[0]
        middle = (low + high) / 2
        more.append(middle)
        heapq.heapreplace(steps, (low - middle, low, middle))
        heapq.heappush(steps, (middle - high, middle, high))
    return sorted([*lines, *more])


def _distinct(places: list[float]) -> list[float]:
    kept = places[:1]
    for place in places[1:]:
        if place - kept[-1] > _SAME_MM:
            kept.append(place)
    return kept


def _largest_of_cells(
    cells: npt.NDArray[np.bool_], xs: npt.NDArray[np.float64], ys: npt.NDArray[np.float64], least_mm: float
) -> Bounds | None:
    """The largest block of free cells."""
    best, best_area = None, 0.0
    for bounds in _all_blocks(cells, xs, ys):
        wide, high = bounds[2] - bounds[0], bounds[3] - bounds[1]
        if wide * high > best_area and min(wide, high) >= least_mm - _SAME_MM:
            best, best_area = bounds, wide * high
    return best


def _all_blocks(
    cells: npt.NDArray[np.bool_], xs: npt.NDArray[np.float64], ys: npt.NDArray[np.float64]
) -> Iterator[Bounds]:
    """Blocks of free cells, the largest among them: for each column as the last, how far free cells run back."""
    columns = np.arange(1, cells.shape[0] + 1)[:, None]
    starts = np.maximum.accumulate(np.where(cells, 0, columns), axis=0)  # for each row, from which column on it is free
    # A block that could go on into the next column is found there, longer.
    ends_here = np.append((cells[:-1] & ~cells[1:]).any(axis=1), True)
    across, along = ys.tolist(), xs.tolist()
    for column in np.nonzero(ends_here)[0].tolist():
        high_x = along[column + 1]
        for begin, first, end in _blocks(xs[starts[column]].tolist(), high_x):
            yield begin, across[first], high_x, across[end]


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
