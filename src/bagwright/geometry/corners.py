"""From a closed run of curves to an outline: walked counter-clockwise, split into edges at its corners."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from bagwright.geometry.chains import Run, closed_up, turned_round
from bagwright.geometry.curves import Arc, Cubic, Curve, Line, Point
from bagwright.geometry.outline import Edge, Outline
from bagwright.geometry.region import ring_fault
from bagwright.geometry.splitting import split_curves

CORNER_DEG = 20.0
"""Where a walk turns by more than this, an edge ends."""
LEAST_CURVE_MM = 0.002
_STRAIGHT_MM = 0.001
_STRAIGHT_DEG = 5.0
_MOST_PASSED = 64


def outline_of_run(run: Sequence[Curve], *, smooth_at: Iterable[Point] = ()) -> Outline:
    """The outline that a closed run of curves draws; small gaps in it are closed.

    Its edges end where it turns by more than `CORNER_DEG`, but not at points `smooth_at`. They are called edge_1,
    edge_2 and so on, counter-clockwise from the corner that lies lowest and furthest left. An outline with fewer than
    two corners is cut in two halves.
    Ask `loop_fault` first: of a run that encloses nothing, `BrokenPromise` is raised.

    >>> square = [Line((0, 0), (0, 9)), Line((0, 9), (9, 9)), Line((9, 9), (9, 0)), Line((9, 0), (0, 0))]
    >>> [(edge.name, edge.start) for edge in outline_of_run(square).edges]
    [('edge_1', (0, 0)), ('edge_2', (9, 0)), ('edge_3', (9, 9)), ('edge_4', (0, 9))]
    """
    loop = closed_up(run, least_mm=LEAST_CURVE_MM)
    if math.fsum(curve.swept_area_mm2() for curve in loop) < 0:
        loop = turned_round(loop)
    loop = _without_needless_joints(_rotated(loop, _lowest(loop, range(len(loop)))))
    smooth = {_rounded(point) for point in smooth_at}
    turns = [n for n in range(len(loop)) if abs(turn_deg(loop[n - 1], loop[n])) > CORNER_DEG]
    corners = [n for n in turns if _rounded(loop[n].start) not in smooth]
    first = _lowest(loop, corners or range(len(loop)))
    loop = _rotated(loop, first)
    cuts = [*sorted((n - first) % len(loop) for n in corners), len(loop)]
    edges = [loop[a:b] for a, b in itertools.pairwise(cuts)] if len(corners) > 1 else _halves(loop)
    return Outline(tuple(Edge(f"edge_{number}", curves) for number, curves in enumerate(edges, start=1)))


def loop_fault(run: Sequence[Curve]) -> str:
    """Why this closed run encloses no usable area, in plain words; empty if it does."""
    if not all(math.isfinite(number) for curve in run for point in (curve.start, curve.end) for number in point):
        return "has a corner that is not a number within 10 km"
    ring = flat_loop(run)
    return ring_fault(ring) if len(ring) > 2 else "encloses no area"


def flat_loop(run: Sequence[Curve], tolerance_mm: float = 0.01) -> list[Point]:
    """The corners of a closed run of curves, its small gaps closed, as chords."""
    loop = closed_up(run, least_mm=LEAST_CURVE_MM)
    return [point for curve in loop for point in curve.points(tolerance_mm)[:-1]]


def _lowest(loop: Run, joints: Sequence[int]) -> int:
    return min(joints, key=lambda n: (round(sum(loop[n].start), 3), round(loop[n].start[1], 3)))


def _rotated(loop: Run, first: int) -> Run:
    return (*loop[first:], *loop[:first])


def _rounded(point: Point) -> Point:
    return round(point[0], 3), round(point[1], 3)


def _halves(loop: Run) -> list[Run]:
    return list(split_curves(loop, math.fsum(curve.length_mm for curve in loop) / 2))


def _without_needless_joints(loop: Run) -> Run:
    """Straight curves that go on in the same direction become one."""
    merged: list[Curve] = []
    passed: list[Point] = []
    for curve in loop:
        before = merged[-1] if merged else None
        if isinstance(before, Line) and isinstance(curve, Line) and _goes_on(before, curve, passed):
            passed.append(curve.start)
            merged[-1] = Line(before.start, curve.end)
        else:
            passed = []
            merged.append(curve)
    return tuple(merged)


def _goes_on(before: Line, line: Line, passed: Sequence[Point]) -> bool:
    """Whether one straight line can stand for both, and for the joints that were left out of the first."""
    if len(passed) >= _MOST_PASSED or abs(turn_deg(before, line)) > _STRAIGHT_DEG:
        return False
    (ax, ay), (bx, by) = before.start, line.end
    reach = math.dist(before.start, line.end)
    return reach > 0 and all(
        abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) <= _STRAIGHT_MM * reach for x, y in (*passed, line.start)
    )


def turn_deg(before: Curve, after: Curve) -> float:
    """By how much a walk turns from one curve into the next, counter-clockwise above 0.

    >>> turn_deg(Line((0, 0), (5, 0)), Line((5, 0), (5, 5)))
    90.0
    """
    (ux, uy), (vx, vy) = heading(before, at_end=True), heading(after)
    return math.degrees(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy))


def heading(curve: Curve, *, at_end: bool = False) -> Point:
    """Direction of the walk where the curve starts, or where it ends; its size means nothing."""
    if at_end:
        dx, dy = heading(curve.reversed())
        return -dx, -dy
    if isinstance(curve, Arc):
        dx, dy = curve.start[0] - curve.centre[0], curve.start[1] - curve.centre[1]
        return (-dy, dx) if curve.sweep_deg > 0 else (dy, -dx)
    towards = (curve.first, curve.second, curve.end) if isinstance(curve, Cubic) else (curve.end,)
    # A control point that lies on the start says nothing of the direction: the next one does.
    aim = next((point for point in towards if math.dist(point, curve.start) > LEAST_CURVE_MM / 100), curve.end)
    return aim[0] - curve.start[0], aim[1] - curve.start[1]
