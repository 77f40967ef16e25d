"""Which place along a run of curves lies nearest to a point."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from bagwright.geometry.curves import Curve, Point

_CHORD_MM = 0.01


def nearest_place(run: Sequence[Curve], point: Point) -> tuple[float, float]:
    """How far along the run its point nearest to `point` lies, and how far from `point` that is. [mm, mm]

    >>> from bagwright.geometry.curves import Line
    >>> nearest_place([Line((0, 0), (10, 0)), Line((10, 0), (10, 10))], (13, 4))
    (14.0, 3.0)
    """
    best, passed = (0.0, math.inf), 0.0
    for curve in run:
        for a, b in itertools.pairwise(curve.points(_CHORD_MM)):
            step = math.dist(a, b)
            share = _foot(point, a, b, step)
            off = math.dist(point, (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
            if off < best[1]:
                best = (passed + share * step, off)
            passed += step
    return best


def _foot(point: Point, a: Point, b: Point, step: float) -> float:
    """Which share of the chord lies before the foot of the perpendicular, kept on the chord."""
    if step == 0:
        return 0.0
    along = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / step**2
    return min(max(along, 0.0), 1.0)
