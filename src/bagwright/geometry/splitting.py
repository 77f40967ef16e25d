"""Curves and edges cut in two at a distance along them."""

from __future__ import annotations

import itertools
import math

from bagwright.geometry.curves import Arc, Cubic, Curve, Line, Point
from bagwright.geometry.outline import Edge

_JOINT_MM = 1e-6
_CHORD_MM = 1e-5


def split_curve(curve: Curve, at_mm: float) -> tuple[Curve, Curve]:
    """What of the curve lies before `at_mm` and what after, each of the same kind; `at_mm` lies within its length.

    >>> split_curve(Line((0, 0), (8, 0)), 2)
    (Line(start=(0, 0), end=(2.0, 0.0)), Line(start=(2.0, 0.0), end=(8, 0)))
    """
    match curve:
        case Line():
            middle = curve.at(at_mm)
            return Line(curve.start, middle), Line(middle, curve.end)
        case Arc():
            sweep = curve.sweep_deg * at_mm / curve.length_mm
            return Arc(curve.start, curve.centre, sweep), Arc(curve.at(at_mm), curve.centre, curve.sweep_deg - sweep)
        case Cubic():
            return _split_cubic(curve, _share_at(curve, at_mm))


def _share_at(cubic: Cubic, at_mm: float) -> float:
    points = cubic.points(_CHORD_MM)
    for number, (a, b) in enumerate(itertools.pairwise(points)):
        step = math.dist(a, b)
        if at_mm <= step:
            return (number + at_mm / step) / (len(points) - 1) if step else number / (len(points) - 1)
        at_mm -= step
    return 1.0


def _split_cubic(cubic: Cubic, share: float) -> tuple[Cubic, Cubic]:
    """By the construction of de Casteljau."""
    a, b, c = (
        _between(cubic.start, cubic.first, share),
        _between(cubic.first, cubic.second, share),
        _between(cubic.second, cubic.end, share),
    )
    d, e = _between(a, b, share), _between(b, c, share)
    middle = _between(d, e, share)
    return Cubic(cubic.start, a, d, middle), Cubic(middle, e, c, cubic.end)


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def split_curves(curves: tuple[Curve, ...], at_mm: float) -> tuple[tuple[Curve, ...], tuple[Curve, ...]]:
    """The same for a run of curves end to end. Where two curves meet within 1e-6 mm of `at_mm`, none is cut."""
    for number, curve in enumerate(curves):
        length = curve.length_mm
        if at_mm <= _JOINT_MM:
            return curves[:number], curves[number:]
        if at_mm < length - _JOINT_MM:
            before, after = split_curve(curve, at_mm)
            return (*curves[:number], before), (after, *curves[number + 1 :])
        at_mm -= length
    return curves, ()


def split_edge(edge: Edge, at_mm: float, names: tuple[str, str]) -> tuple[Edge, Edge]:
    """The edge as two of those names; `at_mm` lies within it, away from both ends."""
    before, after = split_curves(edge.curves, at_mm)
    return Edge(names[0], before), Edge(names[1], after)
