"""Thin parts of regions: slivers to be dropped, gaps to be measured, borders that two regions share."""

from __future__ import annotations

from typing import cast

import numpy as np
import numpy.typing as npt
import shapely

from bagwright.geometry.region import GRID_MM, Region

_SHARPEST = 60.0
"""Corners as sharp as 2 degrees stay as they are when slivers are dropped."""

_MOST_TO_HALVE = 150


def without_slivers(region: Region, thinner_than_mm: float) -> Region:
    """The region less all that is thinner than that; corners stay where they are.

    >>> flagged = Region.union([Region.rectangle((0, 0), (10, 10)), Region.rectangle((10, 4), (30, 4.01))])
    >>> round(without_slivers(flagged, 0.05).area_mm2, 6)
    100.0
    """
    by = thinner_than_mm / 2
    core = region.shape.buffer(-by, join_style="mitre", mitre_limit=_SHARPEST)
    left = core.buffer(by, join_style="mitre", mitre_limit=_SHARPEST).simplify(min(by / 10, 0.002))
    return Region(left if left.is_valid else left.buffer(0))


def coarsened(region: Region, by_mm: float) -> Region:
    """With fewer corners, nowhere further than `by_mm` from the border as it was, inside or outside.

    >>> coarsened(Region.from_ring([(0, 0), (5, 0.1), (10, 0), (10, 10), (0, 10)]), 0.5).outer_ring()[:2]
    [(0.0, 0.0), (10.0, 0.0)]
    """
    return Region(region.shape.simplify(by_mm))


def with_area(region: Region) -> Region:
    """The region less points and lines that set operations leave where borders touch."""
    return region if region.shape.geom_type in ("Polygon", "MultiPolygon") else Region.union(region.parts())


def widest_disc_mm(region: Region, *, within_mm: float = 0.25) -> float:
    """Diameter of the largest disc that lies in the region, at most `within_mm` too large; 0 for none above that.

    >>> 6.0 <= widest_disc_mm(Region.rectangle((0, 0), (40, 6))) <= 6.25
    True
    """
    if region.is_empty:
        return 0.0
    if shapely.get_num_coordinates(region.shape) > _MOST_TO_HALVE:
        return _widest_of_many(region, within_mm)
    low, high = 0.0, min(region.width_mm, region.height_mm) + 2 * within_mm
    while high - low > within_mm:
        middle = (low + high) / 2
        low, high = (middle, high) if is_wider(region, middle) else (low, middle)
    return high if low > 0 else 0.0


def is_wider(region: Region, width_mm: float) -> bool:
    """Whether a disc of that diameter lies in the region with room to spare.

    >>> is_wider(Region.rectangle((0, 0), (40, 6)), 5.9), is_wider(Region.rectangle((0, 0), (40, 6)), 6.1)
    (True, False)
    """
    return not region.shape.buffer(-width_mm / 2).is_empty


def _widest_of_many(region: Region, within_mm: float) -> float:
    """The same for a border of many points, of which each further buffer would make many more."""
    if not is_wider(region, within_mm):
        return 0.0
    areas = cast(shapely.MultiPolygon, with_area(region).shape)
    return float(2 * shapely.maximum_inscribed_circle(areas, tolerance=within_mm / 2).length + within_mm)


def border_along_mm(region: Region, other: Region, *, within_mm: float) -> float:
    """Length of the border of `region` that lies within `within_mm` of `other`.

    >>> left, right = Region.rectangle((0, 0), (10, 10)), Region.rectangle((10, 0), (30, 10))
    >>> round(border_along_mm(left, right, within_mm=0.01), 1)
    10.0
    """
    near = other.shape.buffer(within_mm, join_style="mitre")
    return max(0.0, float(shapely.intersection(region.shape.boundary, near, grid_size=GRID_MM).length) - 2 * within_mm)


def border_off(
    region: Region, other: Region, *, within_mm: float, least_mm: float = 0.0
) -> list[list[tuple[float, float]]]:
    """The stretches of the border of `region` that lie further than `within_mm` from the border of `other`.

    Only those that lie further than `least_mm` from it somewhere.

    >>> whole, half = Region.rectangle((0, 0), (10, 10)), Region.rectangle((0, 0), (10, 6))
    >>> [[(round(x, 1), round(y, 1)) for x, y in run] for run in border_off(half, whole, within_mm=0.1)]
    [[(0.1, 6.0), (9.9, 6.0)]]
    """
    near = other.shape.boundary.buffer(within_mm, cap_style="square", join_style="mitre")
    runs = shapely.line_merge(shapely.difference(region.shape.boundary, near, grid_size=GRID_MM))
    nearer = other.shape.boundary.buffer(least_mm, cap_style="square", join_style="mitre") if least_mm else None
    far = [run for run in shapely.get_parts(runs) if run.length > within_mm and not (nearer and nearer.covers(run))]
    found = [[(float(x), float(y)) for x, y in run.coords] for run in far]
    return [run if run[0] <= run[-1] else run[::-1] for run in found]


def border_near_lines_mm(region: Region, lines: list[list[tuple[float, float]]], *, within_mm: float) -> float:
    """Length of the border of `region` that lies within `within_mm` of any of the lines.

    >>> border_near_lines_mm(Region.rectangle((0, 0), (10, 10)), [[(-5, 0), (5, 0)]], within_mm=0)
    5.0
    """
    if not lines:
        return 0.0
    if within_mm > 0:
        return border_inside_mm(region, near_lines(lines, within_mm))
    return border_inside_mm(region, Region(shapely.union_all([shapely.LineString(line) for line in lines])))


def lie_near_border(points: npt.NDArray[np.float64], region: Region, *, within_mm: float) -> npt.NDArray[np.bool_]:
    """Whether each point, x and y in a row of `points`, lies within `within_mm` of the border of `region`.

    >>> lie_near_border(np.array([[5.0, 0.1], [5.0, 5.0]]), Region.rectangle((0, 0), (10, 10)), within_mm=0.2).tolist()
    [True, False]
    """
    border = region.shape.boundary
    shapely.prepare(border)  # thousands of points against thousands of edges would take seconds otherwise
    return np.asarray(shapely.dwithin(border, shapely.points(points), within_mm), dtype=np.bool_)


def near_lines(lines: list[list[tuple[float, float]]], within_mm: float) -> Region:
    """All that lies within `within_mm` of any of the lines.

    >>> near_lines([[(0, 0), (10, 0)]], 2.0).bounds
    (-2.0, -2.0, 12.0, 2.0)
    """
    return Region(shapely.union_all([shapely.LineString(line).buffer(within_mm) for line in lines], grid_size=GRID_MM))


def border_inside_mm(region: Region, other: Region) -> float:
    """Length of the border of `region` that lies in `other`.

    >>> border_inside_mm(Region.rectangle((0, 0), (10, 10)), Region.rectangle((2, -1), (5, 5)))
    3.0
    """
    return float(shapely.intersection(region.shape.boundary, other.shape, grid_size=GRID_MM).length)


def without_holes(region: Region) -> list[Region]:
    """Parts without holes that make up the region: those with holes are cut upright through the first one.

    >>> ring = Region.from_ring([(0, 0), (9, 0), (9, 9), (0, 9)], [[(3, 3), (6, 3), (6, 6), (3, 6)]])
    >>> [part.area_mm2 for part in without_holes(ring)]
    [36.0, 36.0]
    """
    done: list[Region] = []
    waiting = list(region.parts())
    while waiting:
        part = waiting.pop(0)
        holes = part.hole_rings()
        if not holes:
            done.append(part)
            continue
        low_x, low_y, high_x, high_y = part.bounds
        xs = [x for x, _ in holes[0]]
        at = (min(xs) + max(xs)) / 2
        left = Region.rectangle((low_x - 1, low_y - 1), (at, high_y + 1))
        right = Region.rectangle((at, low_y - 1), (high_x + 1, high_y + 1))
        waiting += [*part.shared_with(left).parts(), *part.shared_with(right).parts()]
    return done
