"""Many small regions made and asked about at once: one by one, most of the time goes into the calls themselves."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import FURTHEST_MM, GRID_DIGITS, LEAST_AREA_MM2, Region, Ring


def simple_regions(rings: Sequence[Ring], *, on_grid: bool = False) -> list[Region | None]:
    """The inside of each ring that is simple, runs counter-clockwise and encloses a usable area; None of any other.

    `on_grid`: their corners are put on the grid first.

    >>> fine, crossed = [(0, 0), (4, 0), (4, 3)], [(0, 0), (4, 3), (4, 0), (0, 3)]
    >>> [region and region.area_mm2 for region in simple_regions([fine, crossed, fine[::-1]])]
    [6.0, None, None]
    """
    found: list[Region | None] = [None] * len(rings)
    places = [place for place, ring in enumerate(rings) if len(ring) >= 3]
    if not places:
        return found
    closed = np.array([point for place in places for point in (*rings[place], rings[place][0])], dtype=np.float64)
    if on_grid:
        closed = closed.round(GRID_DIGITS) + 0.0
    lengths = [len(rings[place]) + 1 for place in places]
    lines = shapely.linearrings(closed, indices=np.repeat(np.arange(len(places)), lengths))
    shapes = np.asarray(shapely.polygons(lines), dtype=np.object_)
    near = (np.abs(shapely.bounds(shapes)) <= FURTHEST_MM).all(axis=1)
    usable = shapely.is_valid(shapes) & shapely.is_ccw(lines) & (shapely.area(shapes) > LEAST_AREA_MM2) & near
    for place, shape, is_usable in zip(places, shapes.tolist(), np.atleast_1d(usable), strict=True):
        found[place] = Region(shape) if is_usable else None
    return found


def ring_areas_mm2(rings: Sequence[Ring]) -> list[float]:
    """The area within each simple ring, whichever way it runs.

    >>> ring_areas_mm2([[(0, 0), (4, 0), (4, 3)], [(0, 0), (0, 3), (4, 3), (4, 0)]])
    [6.0, 12.0]
    """
    if not rings:
        return []
    corners = np.concatenate([np.asarray(ring, dtype=np.float64) for ring in rings])
    lines = shapely.linearrings(corners, indices=np.repeat(np.arange(len(rings)), [len(ring) for ring in rings]))
    return [float(area) for area in np.atleast_1d(shapely.area(shapely.polygons(lines)))]


def moved_each(regions: Sequence[Region], moves: Sequence[Affine]) -> list[Region]:
    """Each region moved by the move at its place, as its own `moved` has it.

    >>> bar = Region.rectangle((0, 0), (9, 2))
    >>> [region.bounds for region in moved_each([bar, bar], [Affine(90), Affine(shift=(1, 1))])]
    [(-2.0, 0.0, 0.0, 9.0), (1.0, 1.0, 10.0, 3.0)]
    """
    if not regions:
        return []
    shapes = np.array([region.shape for region in regions], dtype=np.object_)
    corners, owner = shapely.get_coordinates(shapes, return_index=True)
    frames = np.array([[move.apply((1.0, 0.0)), move.apply((0.0, 1.0)), move.apply((0.0, 0.0))] for move in moves])
    x_axis, y_axis, origin = (frames[owner, row] for row in range(3))
    moved = (x_axis - origin) * corners[:, :1] + (y_axis - origin) * corners[:, 1:] + origin
    return [Region(shape) for shape in shapely.set_coordinates(shapes, moved)]


def without_needless_points(regions: Sequence[Region]) -> list[Region]:
    """Each as its own `without_needless_points` has it."""
    return [Region(shape) for shape in shapely.simplify([region.shape for region in regions], 1e-7)]


def each_holds(wholes: Sequence[Region], inner: Sequence[Region]) -> list[bool]:
    """Whether each region holds the other at its place."""
    return [bool(one) for one in shapely.covers(*([region.shape for region in side] for side in (wholes, inner)))]


def each_holds_line(wholes: Sequence[Region], lines: Sequence[tuple[Point, Point]]) -> list[bool]:
    """Whether each region holds the straight line at its place, boundary included; a line may be a point.

    >>> box = Region.rectangle((0, 0), (4, 3))
    >>> each_holds_line([box, box, box], [((0, 0), (4, 0)), ((1, 1), (1, 1)), ((1, 1), (5, 1))])
    [True, True, False]
    """
    if not lines:
        return []
    shapes = [region.shape for region in wholes]
    shapely.prepare(shapes)
    return [bool(one) for one in shapely.covers(shapes, shapely.linestrings(np.array(lines, dtype=np.float64)))]
