"""Regions parted along a straight line, and two regions made one across a narrow gap."""

from __future__ import annotations

import math
from typing import Final

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from bagwright.geometry.curves import Point
from bagwright.geometry.region import GRID_MM, Region

_BRIDGE_STEPS_MM: Final = (0.05, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
_BESIDE_MM: Final = 0.5


def parted_along(region: Region, line: tuple[Point, Point]) -> list[Region]:
    """The parts, largest first, that a cut leaves along those stretches of the whole straight line that `line` lies on.

    One part if it does not part the region.

    >>> square = Region.from_ring([(0, 0), (4, 0), (4, 3), (0, 3)])
    >>> [part.area_mm2 for part in parted_along(square, ((1, 1), (1, 2)))]
    [9.0, 3.0]
    """
    (x0, y0), (x1, y1) = line
    length = math.hypot(x1 - x0, y1 - y0)
    if length < _BESIDE_MM:
        return [region]
    cuts = _stretches(region.shape, line, length)
    if not cuts:
        return [region]
    edges = shapely.union_all([region.shape.boundary, MultiLineString(cuts)], grid_size=GRID_MM)
    faces = [face for face in shapely.polygonize([edges]).geoms if isinstance(face, Polygon)]
    parts = [face for face in faces if region.shape.contains(face.representative_point())]
    return [Region(part) for part in sorted(parts, key=lambda part: -part.area)]


def _stretches(shape: BaseGeometry, line: tuple[Point, Point], length: float) -> list[LineString]:
    """The stretches of the whole line within a shape that the line given reaches, a hair too long at both ends."""
    far = 2 * max(shape.length, length) / length
    whole = LineString(_longer(line, far))
    across = shapely.intersection(whole, shape, grid_size=GRID_MM)
    near = LineString(line).buffer(_BESIDE_MM)
    return [
        LineString(_longer((one.coords[0], one.coords[-1]), 0.01 / one.length))
        for one in getattr(across, "geoms", [across])
        if isinstance(one, LineString)
        and one.length > _BESIDE_MM
        and shapely.intersection(one, near, grid_size=GRID_MM).length > min(1.0, 0.2 * one.length)
    ]


def _longer(line: tuple[tuple[float, ...], tuple[float, ...]], share: float) -> list[Point]:
    (x0, y0, *_), (x1, y1, *_) = line
    dx, dy = share * (x1 - x0), share * (y1 - y0)
    return [(x0 - dx, y0 - dy), (x1 + dx, y1 + dy)]


def joined_across(one: Region, two: Region, *, furthest_mm: float) -> Region | None:
    """Both and what lies between where they are near, as little as it takes; None if they are further apart.

    >>> left, right = (Region.rectangle((x, 0.0), (x + 4.0, 3.0)) for x in (0.0, 5.0))
    >>> round(joined_across(left, right, furthest_mm=2.0).area_mm2, 3)
    27.0
    """
    apart = one.distance_mm(two)
    if apart > furthest_mm:
        return None
    both = shapely.union_all([one.shape, two.shape], grid_size=GRID_MM)
    for half in _BRIDGE_STEPS_MM:
        if 2 * half < apart:
            continue
        closed = both.buffer(half, join_style="mitre").buffer(-half, join_style="mitre")
        near, by = (each.shape.buffer(2 * half + 0.1, join_style="mitre") for each in (one, two))
        bridge = shapely.intersection(closed, shapely.intersection(near, by, grid_size=GRID_MM), grid_size=GRID_MM)
        whole = shapely.union_all([both, bridge], grid_size=GRID_MM)
        if isinstance(whole, Polygon) and whole.is_valid:
            return Region(whole)
    return None
