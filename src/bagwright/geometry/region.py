"""Regions of the plane with set operations on a very fine grid; a thin frozen face on shapely."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine, Point

Ring = Sequence[Point]
Bounds = tuple[float, float, float, float]
"""Lowest x, lowest y, highest x, highest y."""
_ADDED_SHARE = 1e-7
_MEETS_MM = 1e-9
_CENTROID_MM = 1e-6
GRID_MM = 1e-8
"""Corners of unions, differences and intersections lie on this grid. Without one, GEOS 3.14 goes grossly wrong for some
one in 150 pairs of shapes that lie edge to edge after a turn, and takes the smaller one for shared; with one, for none.
"""
GRID_DIGITS = 8
FURTHEST_MM = 1e7
"""No coordinate of the maker's lies further out: beyond it, double precision no longer tells a stitch from none."""
LEAST_AREA_MM2 = 1e-6
"""A ring from outside that encloses less is a slip of the pen, not a piece."""


@dataclass(frozen=True, slots=True)
class Region:
    """Zero or more polygons with holes, in mm. Built from rings; every method returns a new value."""

    shape: BaseGeometry

    @classmethod
    def from_ring(cls, ring: Ring, holes: Iterable[Ring] = ()) -> Region:
        """The inside of a simple closed ring (first point need not be repeated).

        Raises `BrokenPromise` if the ring crosses itself: callers at the border ask `ring_fault` first.

        >>> Region.from_ring([(0, 0), (4, 0), (4, 3), (0, 3)]).area_mm2
        12.0
        """
        inner = [list(hole) for hole in holes]
        polygon = Polygon(ring, inner) if inner or len(ring) < 4 else _polygon(ring)
        if not polygon.is_valid:
            raise BrokenPromise(f"ring is not simple: {shapely.is_valid_reason(polygon)}")
        return cls(polygon)

    @classmethod
    def if_simple(cls, ring: Ring) -> Region | None:
        """The inside of a ring, put on the grid, if it is simple and runs counter-clockwise; None of any other.

        >>> Region.if_simple([(0, 0), (0, 3), (4, 3), (4, 0)]) is None
        True
        """
        polygon = _polygon(np.asarray(ring, dtype=np.float64).round(GRID_DIGITS) + 0.0)
        return cls(polygon) if polygon.is_valid and shapely.is_ccw(polygon.exterior) else None

    @classmethod
    def rectangle(cls, low: Point, high: Point) -> Region:
        """Upright rectangle between two corners."""
        return cls(shapely.box(low[0], low[1], high[0], high[1]))

    @classmethod
    def union(cls, regions: Iterable[Region]) -> Region:
        """Everything covered by any of them."""
        return cls(shapely.union_all([region.shape for region in regions], grid_size=GRID_MM))

    @property
    def area_mm2(self) -> float:
        """Area."""
        return float(self.shape.area)

    @property
    def hull_area_mm2(self) -> float:
        """Area within a string pulled tight round it."""
        return float(self.shape.convex_hull.area)

    @property
    def perimeter_mm(self) -> float:
        """Length of all boundaries, those of holes too."""
        return float(self.shape.length)

    @property
    def corners(self) -> int:
        """Number of corners of all its outlines.

        >>> Region.rectangle((0, 0), (4, 3)).corners
        4
        """
        return int(shapely.get_num_coordinates(self.shape)) - sum(
            1 + int(shapely.get_num_interior_rings(part)) for part in shapely.get_parts(self.shape)
        )

    @property
    def is_empty(self) -> bool:
        """Whether nothing is left."""
        return bool(self.shape.is_empty)

    @property
    def bounds(self) -> Bounds:
        """Lowest x, lowest y, highest x, highest y."""
        low_x, low_y, high_x, high_y = self.shape.bounds
        return float(low_x), float(low_y), float(high_x), float(high_y)

    @property
    def width_mm(self) -> float:
        """Extent along x."""
        return self.bounds[2] - self.bounds[0]

    @property
    def height_mm(self) -> float:
        """Extent along y."""
        return self.bounds[3] - self.bounds[1]

    def parts(self) -> Iterator[Region]:
        """Each connected part with area."""
        if isinstance(self.shape, Polygon):  # as nearly always: spared a dear call
            yield from [self] if self.shape.area > 0 else []
            return
        for part in shapely.get_parts(self.shape):
            if isinstance(part, Polygon) and part.area > 0:
                yield Region(part)

    def outer_ring(self) -> list[Point]:
        """Outer boundary of a region in one part, counter-clockwise, first point not repeated."""
        return [(x, y) for x, y in self.outer_corners().tolist()]

    def outer_corners(self) -> npt.NDArray[np.float64]:
        """The same as an array, shape (n, 2)."""
        shape = self.shape
        if isinstance(shape, MultiPolygon) and len(shape.geoms) == 1:
            shape = shape.geoms[0]
        if not isinstance(shape, Polygon) or shape.is_empty:
            raise BrokenPromise(f"a region in one part was expected, got {shape.geom_type}")
        return shapely.get_coordinates(shapely.get_exterior_ring(shapely.orient_polygons(shape)))[:-1]

    def drawn_ring(self) -> list[Point]:
        """Outer boundary of a region in one part as it was given: same start, same sense, first point repeated."""
        (part,) = self.parts()
        return [(float(x), float(y)) for x, y, *_ in shapely.get_coordinates(shapely.get_exterior_ring(part.shape))]

    def hole_rings(self) -> list[list[Point]]:
        """Boundaries of all holes."""
        return [
            [(float(x), float(y)) for x, y, *_ in hole.coords[:-1]]
            for part in shapely.get_parts(self.shape)
            if isinstance(part, Polygon)
            for hole in part.interiors
        ]

    def rings(self) -> list[npt.NDArray[np.float64]]:
        """Every ring as an array of corners, none repeated: outer ones counter-clockwise, holes the other way.

        >>> framed = Region.from_ring([(0, 0), (0, 9), (9, 9)], [[(1, 3), (3, 7), (2, 7), (1, 6)]])
        >>> [len(ring) for ring in framed.rings()]
        [3, 4]
        """
        polygons = [shapely.orient_polygons(part.shape) for part in self.parts()]
        rings = [ring for one in polygons for ring in _rings_of(one)]
        return [shapely.get_coordinates(ring)[:-1] for ring in rings]

    def moved(self, move: Affine) -> Region:
        """Mirror, turn, shift: in that order."""
        x_axis, y_axis, origin = move.apply((1.0, 0.0)), move.apply((0.0, 1.0)), move.apply((0.0, 0.0))
        along = x_axis[0] - origin[0], y_axis[0] - origin[0], origin[0]
        across = x_axis[1] - origin[1], y_axis[1] - origin[1], origin[1]

        def moved(points: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
            x, y = points[:, 0], points[:, 1]
            points = np.empty_like(points)
            points[:, 0] = along[0] * x + along[1] * y + along[2]
            points[:, 1] = across[0] * x + across[1] * y + across[2]
            return points

        return Region(shapely.transform(self.shape, moved))

    def shifted(self, dx_mm: float, dy_mm: float) -> Region:
        """Moved without turning."""
        return Region(shapely.transform(self.shape, lambda points: points + np.array([dx_mm, dy_mm])))

    def grown(self, distance_mm: float) -> Region:
        """Every point within `distance_mm` (negative: shrunk), corners mitred."""
        return Region(self.shape.buffer(distance_mm, join_style="mitre", mitre_limit=5.0))

    def without_needless_points(self) -> Region:
        """The same area without points in the middle of straight lines."""
        return Region(self.shape.simplify(1e-7))

    def smoothed_inwards(self, by_mm: float) -> Region:
        """With fewer corners, everywhere inside and at most twice `by_mm` away.

        >>> Region.rectangle((0, 0), (4, 3)).smoothed_inwards(0.5).bounds
        (0.5, 0.5, 3.5, 2.5)
        """
        return Region(self.shape.buffer(-by_mm, join_style="mitre").simplify(by_mm))

    def minus(self, other: Region) -> Region:
        """What is not in `other`."""
        return Region(shapely.difference(self.shape, other.shape, grid_size=GRID_MM))

    def minus_all(self, others: Sequence[Region]) -> Region:
        """What is in none of `others`."""
        if not others or self.is_empty:
            return self
        return self.minus(others[0] if len(others) == 1 else Region.union(others))

    def shared_with(self, other: Region) -> Region:
        """What both cover."""
        shared = shapely.intersection(self.shape, other.shape, grid_size=GRID_MM)
        if shared.area > min(self.area_mm2, other.area_mm2) * (1 + _ADDED_SHARE):
            # GEOS adds a corner of its own where edges off the grid all but coincide: on the grid it does not.
            one, two = (shapely.set_precision(shape, GRID_MM) for shape in (self.shape, other.shape))
            shared = shapely.intersection(one, two, grid_size=GRID_MM)
        return Region(shared)

    def overlap_mm2(self, other: Region) -> float:
        """Area that both cover."""
        return self.shared_with(other).area_mm2

    def is_alike(self, other: Region, *, share: float) -> bool:
        """Whether two regions of the same area cover the same but for that share of it.

        >>> square = Region.rectangle((0, 0), (4, 4))
        >>> square.is_alike(square.shifted(1e-6, 0), share=1e-5), square.is_alike(square.shifted(1, 0), share=0.2)
        (True, False)
        """
        if shapely.equals_exact(self.shape, other.shape, tolerance=_MEETS_MM, normalize=True):
            return True
        (x, y), (other_x, other_y) = (shapely.get_coordinates(one.shape.centroid)[0] for one in (self, other))
        # Area moved from one place to another moves the centroid by no more: that spares nearly all the exact work.
        furthest = 4 * share * math.hypot(self.width_mm, self.height_mm) + _CENTROID_MM
        if math.hypot(x - other_x, y - other_y) > furthest:
            return False
        return self.area_mm2 - self.overlap_mm2(other) <= share * self.area_mm2

    def distance_mm(self, other: Region) -> float:
        """Shortest distance between the two; 0 where they touch or overlap."""
        return float(self.shape.distance(other.shape))

    def edge_distance_mm(self, point: Point) -> float:
        """From a point, inside or out, to the nearest outline.

        >>> Region.rectangle((0, 0), (4, 3)).edge_distance_mm((1, 2))
        1.0
        """
        return float(shapely.distance(self.shape.boundary, shapely.Point(point)))

    def holds(self, other: Region, *, slack_mm: float = 0.0) -> bool:
        """Whether `other` lies inside, give or take `slack_mm`."""
        if other.is_empty or self.shape.covers(other.shape):
            return True
        return slack_mm > 0 and bool(self.shape.buffer(slack_mm, join_style="mitre").covers(other.shape))

    def holds_boxes(self, corners: Sequence[Bounds] | npt.NDArray[np.float64]) -> list[bool]:
        """Whether each upright box, given by its lowest and highest x and y as in `bounds`, lies inside.

        >>> Region.rectangle((0, 0), (4, 3)).holds_boxes([(0, 0, 4, 1), (3, 1, 5, 2)])
        [True, False]
        """
        return self._covers(shapely.box(*np.asarray(corners, dtype=np.float64).T)) if len(corners) else []

    def holds_rings(self, rings: Sequence[Ring]) -> list[bool]:
        """Whether the inside of each ring lies inside, boundary included; all rings with as many corners.

        >>> Region.rectangle((0, 0), (4, 3)).holds_rings([[(0, 0), (4, 0), (4, 3)], [(1, 1), (5, 1), (2, 2)]])
        [True, False]
        """
        return self._covers(shapely.polygons(np.asarray(rings, dtype=np.float64))) if rings else []

    def holds_lines(self, lines: Sequence[tuple[Point, Point]]) -> list[bool]:
        """Whether each straight line lies inside, boundary included; a line may be a point.

        >>> Region.rectangle((0, 0), (4, 3)).holds_lines([((0, 0), (4, 0)), ((1, 1), (1, 1)), ((1, 1), (5, 1))])
        [True, True, False]
        """
        return self._covers(shapely.linestrings(np.asarray(lines, dtype=np.float64))) if lines else []

    def _covers(self, shapes: BaseGeometry | npt.NDArray[np.object_]) -> list[bool]:
        return [bool(one) for one in np.atleast_1d(shapely.covers(self.shape, shapes))]

    def stretch_inside(self, start: Point, end: Point) -> tuple[Point, Point] | None:
        """The longest stretch of a straight line that lies inside, if any.

        >>> Region.rectangle((0, 0), (4, 3)).stretch_inside((-5, 1), (2, 1))
        ((0.0, 1.0), (2.0, 1.0))
        """
        inside = shapely.intersection(self.shape, shapely.LineString([start, end]), grid_size=GRID_MM)
        parts = [part for part in shapely.get_parts(inside) if part.geom_type == "LineString" and part.length > 0]
        if not parts:
            return None
        (ax, ay), (bx, by) = max(parts, key=lambda part: float(part.length)).coords
        return (float(ax), float(ay)), (float(bx), float(by))


def ring_fault(ring: Ring) -> str:
    """Why this ring encloses no usable area, in plain words; empty if it does.

    >>> ring_fault([(0, 0), (2, 2), (2, 0), (0, 2)])
    'crosses itself near (1, 1)'
    >>> ring_fault([(0, 0), (1, 0), (1, 1)]), ring_fault([(0, 0), (1, 1), (3, 3)])
    ('', 'encloses no area')
    """
    if not (np.abs(np.asarray(ring, dtype=np.float64)) <= FURTHEST_MM).all():
        return "has a corner that is not a number within 10 km"
    if len(set(ring)) < 3:
        return "has fewer than three different corners"
    polygon = _polygon(ring)
    if polygon.is_valid and polygon.area > LEAST_AREA_MM2:
        return ""
    if polygon.convex_hull.area < LEAST_AREA_MM2:
        return "encloses no area"
    if not polygon.is_valid:
        reason = shapely.is_valid_reason(polygon)
        where = reason.partition("[")[2].rstrip("]").split()
        return f"crosses itself near ({', '.join(f'{float(n):g}' for n in where[:2])})" if where else "crosses itself"
    return "encloses no area"


def _polygon(ring: Ring | npt.NDArray[np.floating]) -> Polygon:
    """As `Polygon(ring)`, but three times as fast."""
    polygon = shapely.polygons(np.asarray(ring, dtype=np.float64))
    assert isinstance(polygon, Polygon)
    return polygon


def _rings_of(polygon: BaseGeometry) -> list[BaseGeometry]:
    """Its boundaries; without the dear call for all of them where there is only one."""
    if shapely.get_num_interior_rings(polygon) == 0:
        return [cast(BaseGeometry, shapely.get_exterior_ring(polygon))]
    rings: list[BaseGeometry] = shapely.get_rings(polygon).tolist()
    return rings
