"""Entities of DXF as curves in mm; the part of reading that knows the library's entities."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.math import OCS, BSpline, Vec3, cubic_bezier_from_ellipse

from bagwright.geometry.chains import Run
from bagwright.geometry.curves import Arc, Cubic, Curve, Line, Point
from bagwright.output._svg_paths import arc_step_rad

SPLINE_MM = 0.005
"""How far chords may lie from a spline that is no plain cubic one."""
MOST_SPLINE_POINTS = 2_000
_FLAT_MM = 1e-4
"""A bulge that leaves its chord by less is straight."""
_UPRIGHT = 1e-6


class OddEntity(Exception):
    """An entity that cannot be a flat line; its text says why."""


@dataclass(frozen=True, slots=True)
class Pen:
    """Turns an entity's own coordinates into mm on the plane, `factor` mm to a unit."""

    factor: float
    ocs: OCS
    mirrors: bool

    @classmethod
    def of(cls, entity: DXFEntity, factor: float) -> Pen:
        """The pen for an entity, which may be drawn from behind. Raises `OddEntity` if it lies aslant."""
        up = Vec3(entity.dxf.get("extrusion", (0, 0, 1)))
        if math.hypot(up.x, up.y) > _UPRIGHT * abs(up.z):
            raise OddEntity("lies aslant in space")
        return cls(factor, OCS(up), up.z < 0)

    def put(self, x: float, y: float) -> Point:
        """A point of the entity on the plane."""
        at = self.ocs.to_wcs(Vec3(x, y, 0))
        return at.x * self.factor, at.y * self.factor

    def arc(self, centre: Vec3, radius: float, start_deg: float, sweep_deg: float) -> Arc:
        """An arc that runs counter-clockwise by `sweep_deg` as its entity sees it."""
        turn = math.radians(start_deg)
        start = self.put(centre.x + radius * math.cos(turn), centre.y + radius * math.sin(turn))
        return Arc(start, self.put(centre.x, centre.y), -sweep_deg if self.mirrors else sweep_deg)


def run_of(entity: DXFEntity, factor: float) -> tuple[Run, bool] | None:
    """Curves of a line, arc, circle, ellipse, spline or polyline, and whether it is closed; None for anything else.

    Raises `OddEntity`, and what the library raises for broken values.
    """
    kind, made = entity.dxftype(), _MAKERS.get(entity.dxftype())
    if made is None or (kind == "POLYLINE" and not _is_polyline(entity)):
        return None
    return made(entity, factor)


def _is_polyline(entity: Any) -> bool:
    return bool(entity.is_2d_polyline or entity.is_3d_polyline)


def _flat(point: Vec3, factor: float) -> Point:
    return point.x * factor, point.y * factor


def _line(entity: Any, factor: float) -> tuple[Run, bool]:
    return (Line(_flat(entity.dxf.start, factor), _flat(entity.dxf.end, factor)),), False


def _arc(entity: Any, factor: float) -> tuple[Run, bool]:
    dxf = entity.dxf
    sweep = (dxf.end_angle - dxf.start_angle) % 360 or 360.0
    return (Pen.of(entity, factor).arc(dxf.center, dxf.radius, dxf.start_angle, sweep),), sweep == 360.0


def _circle(entity: Any, factor: float) -> tuple[Run, bool]:
    return (Pen.of(entity, factor).arc(entity.dxf.center, abs(entity.dxf.radius), 0.0, 360.0),), True


def _ellipse(entity: Any, factor: float) -> tuple[Run, bool]:
    Pen.of(entity, factor)
    tool = entity.construction_tool()
    reach = min(tool.major_axis.magnitude * factor, 1e6)
    count = max(1, math.ceil(abs(tool.param_span) / arc_step_rad(reach)))
    cubics = [_cubic(bezier.control_points, factor) for bezier in cubic_bezier_from_ellipse(tool, count)]
    return tuple(cubics), abs(tool.param_span - math.tau) < 1e-9


def _cubic(points: Sequence[Vec3], factor: float) -> Cubic:
    return Cubic(*(_flat(point, factor) for point in points))


def _spline(entity: Any, factor: float) -> tuple[Run, bool]:
    if max(entity.control_point_count(), entity.fit_point_count()) > MOST_SPLINE_POINTS:
        raise OddEntity(f"is a spline of more than {MOST_SPLINE_POINTS} points")
    tool: BSpline = entity.construction_tool()
    if tool.degree == 3 and not tool.is_rational and tool.is_clamped:
        return tuple(_cubic(list(points), factor) for points in tool.bezier_decomposition()), bool(entity.closed)
    points = [_flat(point, factor) for point in tool.flattening(SPLINE_MM / factor)]
    return tuple(Line(a, b) for a, b in itertools.pairwise(points)), bool(entity.closed)


def _lwpolyline(entity: Any, factor: float) -> tuple[Run, bool]:
    points = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    return _bulged(points, Pen.of(entity, factor), is_closed=bool(entity.closed))


def _polyline(entity: Any, factor: float) -> tuple[Run, bool]:
    # Vertices with this flag only steer a spline; the curve itself has vertices of its own.
    kept = [vertex for vertex in entity.vertices if not vertex.dxf.flags & vertex.SPLINE_FRAME_CONTROL_POINT]
    points = [(vertex.dxf.location.x, vertex.dxf.location.y, vertex.dxf.bulge) for vertex in kept]
    return _bulged(points, Pen.of(entity, factor), is_closed=bool(entity.is_closed))


def _bulged(points: Sequence[tuple[float, float, float]], pen: Pen, *, is_closed: bool) -> tuple[Run, bool]:
    """Straight lines and arcs between points; the bulge of a point is the tangent of a quarter of the arc's angle."""
    following = [*points[1:], *points[: 1 if is_closed else 0]]
    curves: list[Curve] = []
    for (ax, ay, bulged), (bx, by, _) in zip(points, following, strict=False):
        a, b = pen.put(ax, ay), pen.put(bx, by)
        chord, bulge = math.dist(a, b), -bulged if pen.mirrors else bulged
        if chord == 0:
            continue
        if not abs(bulge) * chord / 2 >= _FLAT_MM:  # so is what is no number: it is told later
            curves.append(Line(a, b))
            continue
        aside = (1 - bulge * bulge) / (4 * bulge)
        centre = ((a[0] + b[0]) / 2 - (b[1] - a[1]) * aside, (a[1] + b[1]) / 2 + (b[0] - a[0]) * aside)
        curves.append(Arc(a, centre, math.degrees(4 * math.atan(bulge))))
    return tuple(curves), is_closed


_MAKERS = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
}


def point_of(entity: DXFEntity, factor: float) -> Point | None:
    """Where a point entity lies."""
    return _flat(entity.dxf.location, factor) if entity.dxftype() == "POINT" else None
