"""The same shapes with fewer corners: beside their outlines, all round them, or all inside."""

from __future__ import annotations

from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from bagwright.geometry.region import Region

_LEAST_SMOOTHING_MM, _WIDEST_SMOOTHING_MM, _WIDER = 0.2, 20.0, 1.6
_BEFORE_GROWING = 1.5
_KEPT_SHARE = 0.9
"""Rather many corners than less of a container."""


def with_corners_at_most(region: Region, most: int) -> Region:
    """About the same outlines with fewer corners, by up to 20 mm beside them; the same if there are so few.

    There are as many parts as before. What is too jagged for that within 20 mm keeps more corners.

    >>> with_corners_at_most(Region.rectangle((0, 0), (4, 3)), 4).area_mm2
    12.0
    """
    few, by_mm = region, 0.1
    while few.corners > most and by_mm <= _WIDEST_SMOOTHING_MM:
        few, by_mm = Region(_evened(region.shape, by_mm)), 2 * by_mm
    return few


def _evened(shape: BaseGeometry, by_mm: float) -> BaseGeometry:
    """With fewer corners and as many parts: the quick way tears thin places apart or loses them."""
    few = shapely.simplify(shape, by_mm, preserve_topology=False)
    is_torn = few.is_empty or shapely.get_num_geometries(few) != shapely.get_num_geometries(shape)
    return shapely.simplify(shape, by_mm) if is_torn else few


@lru_cache(maxsize=128)
def with_few_corners(region: Region, most: int) -> Region:
    """A shape in one part that covers the region, without holes, with at most `most` corners.

    Where that can't be done closely, it is the region's convex hull, or its box.

    >>> with_few_corners(Region.rectangle((0, 0), (4, 3)), 8).area_mm2
    12.0
    """
    shape = shapely.Polygon(region.outer_corners())
    if _corners(shape) <= most and shape.is_valid:
        return Region(shape)
    hull = shapely.convex_hull(shape)
    if _corners(hull) > most:
        hull = _covering(hull, shape, most) or shapely.box(*shape.bounds)
    few = _covering(shape, shape, most)
    return Region(few if few is not None and few.area < hull.area else hull)


def _covering(outline: BaseGeometry, shape: BaseGeometry, most: int) -> BaseGeometry | None:
    """The outline with fewer corners, then larger all round by as much as that may have moved it inwards."""
    by_mm = _LEAST_SMOOTHING_MM
    while by_mm <= _WIDEST_SMOOTHING_MM:
        few = shapely.simplify(outline, by_mm, preserve_topology=False)
        if _corners(few) <= _BEFORE_GROWING * most:  # growing what is still jagged takes very long
            grown = few.buffer(by_mm, join_style="mitre", mitre_limit=2.0)
            if isinstance(grown, shapely.Polygon) and not grown.is_empty:
                filled = shapely.Polygon(grown.exterior)
                if _corners(filled) <= most and filled.covers(shape):
                    return filled
        by_mm *= _WIDER
    return None


def _corners(shape: BaseGeometry) -> int:
    return int(shapely.get_num_coordinates(shape)) - 1


def within_few_corners(region: Region, most: int) -> Region:
    """A region with fewer corners everywhere inside the given one, its holes kept out; the same if it has few.

    >>> within_few_corners(Region.rectangle((0, 0), (4, 3)), 8).area_mm2
    12.0
    """
    by_mm, few = 0.2, region
    while shapely.get_num_coordinates(few.shape) > most and by_mm <= _WIDEST_SMOOTHING_MM:
        smoothed = region.smoothed_inwards(by_mm)
        if smoothed.area_mm2 < _KEPT_SHARE * region.area_mm2:
            break
        few, by_mm = smoothed, 2 * by_mm
    if not few.shape.is_valid or not region.shape.covers(few.shape):
        return region
    return few
