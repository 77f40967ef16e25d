"""Points and rigid motions in space, mm; the motion that lays one set of points best on another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Point

Point3 = tuple[float, float, float]
Rows = tuple[Point3, Point3, Point3]
_UNIT: Rows = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True)
class Motion:
    """A rotation (its matrix by rows), then a shift. Never mirrors."""

    rows: Rows = _UNIT
    shift: Point3 = (0.0, 0.0, 0.0)

    def apply(self, point: Point3) -> Point3:
        """Where the point goes."""
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = self.rows
        (x, y, z), (dx, dy, dz) = point, self.shift
        return ax * x + ay * y + az * z + dx, bx * x + by * y + bz * z + dy, cx * x + cy * y + cz * z + dz

    def lift(self, point: Point) -> Point3:
        """Where a point of the plane z = 0 goes."""
        return self.apply((point[0], point[1], 0.0))

    def turned(self, vector: Point3) -> Point3:
        """Where a direction goes."""
        a, b, c = self.rows
        return dot(a, vector), dot(b, vector), dot(c, vector)

    def after(self, first: Motion) -> Motion:
        """`first`, then this one."""
        columns = [self.turned((row[0], row[1], row[2])) for row in zip(*first.rows, strict=True)]
        a, b, c = zip(*columns, strict=True)
        return Motion((a, b, c), self.apply(first.shift))


def dot(a: Point3, b: Point3) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Point3, b: Point3) -> Point3:
    """Vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def along(start: Point3, direction: Point3, distance_mm: float) -> Point3:
    """The point `distance_mm` from `start` in units of `direction`."""
    return (
        start[0] + direction[0] * distance_mm,
        start[1] + direction[1] * distance_mm,
        start[2] + direction[2] * distance_mm,
    )


def minus(a: Point3, b: Point3) -> Point3:
    """From `b` to `a`."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def opposite(vector: Point3) -> Point3:
    """The other way."""
    return -vector[0], -vector[1], -vector[2]


def unit(vector: Point3) -> Point3:
    """The same direction, one long."""
    length = math.hypot(*vector)
    if length == 0:
        raise BrokenPromise("a direction has no length")
    return vector[0] / length, vector[1] / length, vector[2] / length


def across(vector: Point3, axis: Point3) -> Point3:
    """What of `vector` is square to the unit vector `axis`, one long."""
    return unit(along(vector, axis, -dot(vector, axis)))


def mean(points: Sequence[Point3]) -> Point3:
    """The middle of all points."""
    xs, ys, zs = zip(*points, strict=True)
    return math.fsum(xs) / len(xs), math.fsum(ys) / len(ys), math.fsum(zs) / len(zs)


def tuple_of(array: NDArray[np.float64]) -> Point3:
    """Three plain numbers."""
    return float(array[0]), float(array[1]), float(array[2])


def turn_about(start: Point, end: Point, angle_deg: float) -> Motion:
    """The turn about a line in the plane z = 0, right-handed about the direction from `start` to `end`.

    Rodrigues' formula.

    >>> [round(v, 6) + 0.0 for v in turn_about((0, 0), (0, 5), 90).apply((1, 2, 0))]
    [0.0, 2.0, -1.0]
    """
    run = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / run, (end[1] - start[1]) / run
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    rows = (
        (c + ux * ux * (1 - c), ux * uy * (1 - c), uy * s),
        (ux * uy * (1 - c), c + uy * uy * (1 - c), -ux * s),
        (-uy * s, ux * s, c),
    )
    about = Motion(rows)
    fixed = (start[0], start[1], 0.0)
    return Motion(rows, minus(fixed, about.apply(fixed)))


def spread_mm(points: Sequence[Point3]) -> tuple[float, float]:
    """How far the points reach along and across their main direction (root mean square).

    >>> spread_mm([(0, 0, 0), (2, 0, 0)])
    (1.0, 0.0)
    """
    placed = np.array(points)
    values = np.linalg.svd(placed - placed.mean(axis=0), compute_uv=False) / math.sqrt(len(points))
    return float(values[0]), float(values[1]) if len(values) > 1 else 0.0


def best_motion(points: Sequence[Point3], targets: Sequence[Point3]) -> Motion:
    """The rigid motion without mirroring that brings `points` closest to `targets` (least squares).

    Method of Kabsch (1976), Acta Crystallographica A32:922; citation from memory. The points must not lie in one line.
    """
    p, q = np.array(points), np.array(targets)
    p_mid, q_mid = p.mean(axis=0), q.mean(axis=0)
    u, _, vt = np.linalg.svd((p - p_mid).T @ (q - q_mid))
    keep = np.diag([1.0, 1.0, float(np.sign(np.linalg.det(u @ vt)))])
    rotation = vt.T @ keep @ u.T
    a, b, c = (tuple_of(row) for row in rotation)
    return Motion((a, b, c), tuple_of(q_mid - rotation @ p_mid))


def frame_motion(own: tuple[Point3, Point3, Point3], wanted: tuple[Point3, Point3, Point3]) -> Motion:
    """The motion that brings a point, a direction and a second direction square to it onto others.

    Directions are unit vectors; the wanted second one is made square to the wanted first.
    """
    (origin, first, second), (goal, to_first, to_second) = own, wanted
    second, to_second = across(second, first), across(to_second, to_first)
    source = np.array([first, second, cross(first, second)])
    target = np.array([to_first, to_second, cross(to_first, to_second)])
    rotation = target.T @ source
    a, b, c = (tuple_of(row) for row in rotation)
    return Motion((a, b, c), tuple_of(np.array(goal) - rotation @ np.array(origin)))
