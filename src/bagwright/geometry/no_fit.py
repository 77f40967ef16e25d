"""Where a shape may lie without turning: the shifts at which it meets another one, or leaves its container.

Both come from sums of convex parts, so they are exact but for the grid of `region.py`.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import numpy.typing as npt
import shapely

from bagwright.geometry.curves import Point
from bagwright.geometry.region import GRID_MM, Region

Floats = npt.NDArray[np.float64]
Parts = tuple[Floats, ...]
"""Corners of convex polygons, counter-clockwise, that together cover a shape."""

_HULL_SHARE = 1e-12


def convex_parts(region: Region) -> Parts:
    """The region as convex polygons: itself if it is convex, else triangles, joined as long as they stay convex.

    Joining after S. Hertel and K. Mehlhorn, 1983 (named from memory): at most four times as many as the fewest.

    >>> ell = Region.from_ring([(0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)])
    >>> len(convex_parts(Region.rectangle((0, 0), (2, 1)))), len(convex_parts(ell))
    (1, 2)
    """
    found: list[Floats] = []
    for part in region.parts():
        hull = shapely.orient_polygons(shapely.convex_hull(part.shape))
        if hull.area - part.area_mm2 <= _HULL_SHARE * hull.area:
            found.append(shapely.get_coordinates(hull)[:-1])
            continue
        triangles = shapely.get_parts(shapely.orient_polygons(shapely.constrained_delaunay_triangles(part.shape)))
        corners = [[(float(x), float(y)) for x, y in shapely.get_coordinates(one)[:3]] for one in triangles]
        found += [np.asarray(ring, dtype=np.float64) for ring in _joined(corners)]
    return tuple(found)


def _joined(rings: Sequence[list[Point]]) -> list[list[Point]]:
    """Counter-clockwise convex polygons, two that share an edge joined wherever the whole stays convex."""
    parts: dict[int, list[Point]] = dict(enumerate(rings))
    owner = {edge: i for i, ring in parts.items() for edge in _edges(ring)}
    for (start, end), _ in list(owner.items()):
        one, other = owner.get((start, end)), owner.get((end, start))
        if one is None or other is None or one == other:
            continue
        ring = _join(parts[one], parts[other], start, end)
        if _is_convex_at(ring, start) and _is_convex_at(ring, end):
            del owner[start, end], owner[end, start], parts[other]
            parts[one] = ring
            owner.update(dict.fromkeys(_edges(ring), one))
    return list(parts.values())


def _edges(ring: Sequence[Point]) -> list[tuple[Point, Point]]:
    return [(ring[i - 1], ring[i]) for i in range(len(ring))]


def _join(one: list[Point], other: list[Point], start: Point, end: Point) -> list[Point]:
    """Both rings without the edge that they share, from `start` to `end` in the first."""
    at, back = one.index(end), other.index(start)
    first = [*one[at:], *one[:at]]
    second = [*other[back:], *other[:back]]
    return [*first, *second[1:-1]]


def _is_convex_at(ring: Sequence[Point], corner: Point) -> bool:
    at = ring.index(corner)
    (ax, ay), (bx, by), (cx, cy) = ring[at - 1], corner, ring[(at + 1) % len(ring)]
    return (bx - ax) * (cy - by) - (by - ay) * (cx - bx) >= 0


def no_fit(still: Parts, moving: Parts) -> Region:
    """Every shift of `moving` at which it overlaps `still`; on the boundary they touch.

    >>> block, stick = (convex_parts(Region.rectangle((0, 0), size)) for size in ((4, 3), (2, 1)))
    >>> no_fit(block, stick).bounds
    (-2.0, -1.0, 4.0, 3.0)
    """
    sums = [(a[:, None, :] - b[None, :, :]).reshape(-1, 2) for a in still for b in moving]
    if not sums:
        return Region(shapely.Polygon())
    owner = np.repeat(np.arange(len(sums)), [len(one) for one in sums])
    hulls = np.atleast_1d(np.asarray(shapely.convex_hull(shapely.multipoints(np.concatenate(sums), indices=owner))))
    if len(sums) == 1:
        return Region(hulls[0])
    return Region(shapely.union_all(hulls, grid_size=GRID_MM))


def inner_fit(container: Region, moving: Parts) -> Region:
    """Every shift of `moving` at which it lies inside `container`, holes of which count as outside.

    >>> inner_fit(Region.rectangle((0, 0), (9, 5)), convex_parts(Region.rectangle((0, 0), (2, 1)))).bounds
    (0.0, 0.0, 7.0, 4.0)
    """
    corners = np.concatenate(moving)
    low, high = corners.min(axis=0), corners.max(axis=0)
    low_x, low_y, high_x, high_y = container.bounds
    ends = (low_x - low[0], low_y - low[1], high_x - high[0], high_y - high[1])
    if ends[0] >= ends[2] or ends[1] >= ends[3]:
        return Region(shapely.Polygon())
    room = Region(shapely.box(*ends))
    outside = _outside(container)
    return room.minus(no_fit(outside, moving)) if outside else room


@lru_cache(maxsize=32)
def _outside(container: Region) -> Parts:
    """What of its box the container leaves free."""
    return convex_parts(Region(shapely.box(*container.bounds)).minus(container))


def areas_of(free: Region) -> Region:
    """The region without the lines and points that a difference may leave."""
    polygons = [part.shape for part in free.parts() if isinstance(part.shape, shapely.Polygon)]
    return Region(polygons[0] if len(polygons) == 1 else shapely.MultiPolygon(polygons))


def corner_points(free: Region) -> Sequence[tuple[float, float]]:
    """All corners of a region, holes included."""
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(free.shape)]


def stretches(free: Region, at: Sequence[float], *, across: bool) -> list[list[tuple[float, float]]]:
    """For each height in `at`, where the level line at it runs inside `free`: from x to x, in order.

    With `across`, lines run the other way: for each x, from y to y.

    >>> stretches(Region.rectangle((0, 0), (4, 3)), [1.0, 5.0], across=False)
    [[(0.0, 4.0)], []]
    """
    if not len(at) or free.is_empty:
        return [[] for _ in at]
    low_x, low_y, high_x, high_y = free.bounds
    lines = [
        ((where, low_y - 1), (where, high_y + 1)) if across else ((low_x - 1, where), (high_x + 1, where))
        for where in at
    ]
    inside = shapely.intersection(
        free.shape, shapely.linestrings(np.asarray(lines, dtype=np.float64)), grid_size=GRID_MM
    )
    axis = 1 if across else 0
    found: list[list[tuple[float, float]]] = []
    for one in np.atleast_1d(np.asarray(inside)):
        ends = [shapely.get_coordinates(part)[:, axis] for part in shapely.get_parts(one)]
        found.append(sorted((float(end.min()), float(end.max())) for end in ends if len(end)))
    return found
