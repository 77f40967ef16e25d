"""Runs of curves from outside: put end to end, their small gaps closed."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Arc, Cubic, Curve, Line, Point

Run = tuple[Curve, ...]
TOUCHING_MM = 1e-9
_SLIGHT_MM = 0.002
_LARGEST_SWEEP_DEG = 30.0
"""An arc of 30 degrees leaves its cubic by less than a millionth of its radius."""


def turned_round(run: Sequence[Curve]) -> Run:
    """The same run walked backwards."""
    return tuple(curve.reversed() for curve in reversed(run))


def arc_as_cubics(arc: Arc) -> Run:
    """The arc as cubics, within a millionth of its radius."""
    count = max(1, math.ceil(abs(arc.sweep_deg) / _LARGEST_SWEEP_DEG))
    step = arc.sweep_deg / count
    handle = 4 / 3 * math.tan(math.radians(step) / 4)
    (cx, cy), cubics, start = arc.centre, [], arc.start
    for number in range(1, count + 1):
        end = Arc(arc.start, arc.centre, step * number).end if number < count else arc.end
        first = (start[0] - handle * (start[1] - cy), start[1] + handle * (start[0] - cx))
        second = (end[0] + handle * (end[1] - cy), end[1] - handle * (end[0] - cx))
        cubics.append(Cubic(start, first, second, end))
        start = end
    return tuple(cubics)


def with_end_at(curve: Curve, end: Point) -> Run:
    """The curve bent a little so that it ends there. An arc that has to move visibly becomes cubics."""
    if isinstance(curve, Arc) and math.dist(curve.end, end) <= _SLIGHT_MM < math.dist(curve.start, end):
        return (_arc_to(curve, end),)
    *before, last = arc_as_cubics(curve) if isinstance(curve, Arc) else (curve,)
    return (*before, _ending(last, end))


def _arc_to(arc: Arc, end: Point) -> Arc:
    """The arc that ends there, its centre as near to the old one as it can be."""
    (ax, ay), (bx, by) = arc.start, end
    chord = math.dist(arc.start, end)
    nx, ny = (ay - by) / chord, (bx - ax) / chord
    middle = (ax + bx) / 2, (ay + by) / 2
    reach = (arc.centre[0] - middle[0]) * nx + (arc.centre[1] - middle[1]) * ny
    centre = middle[0] + nx * reach, middle[1] + ny * reach
    turn = math.atan2(by - centre[1], bx - centre[0]) - math.atan2(ay - centre[1], ax - centre[0])
    return Arc(arc.start, centre, arc.sweep_deg + math.remainder(math.degrees(turn) - arc.sweep_deg, 360.0))


def _ending(curve: Curve, end: Point) -> Curve:
    if isinstance(curve, Cubic):
        dx, dy = end[0] - curve.end[0], end[1] - curve.end[1]
        return Cubic(curve.start, curve.first, (curve.second[0] + dx, curve.second[1] + dy), end)
    return Line(curve.start, end)


def closed_up(run: Sequence[Curve], *, least_mm: float) -> Run:
    """The run as a closed loop whose curves meet exactly; curves shorter than `least_mm` go.

    Straight curves take up the gaps, for they stay straight; where two curves meet, the first is bent a little.
    """
    return tuple(itertools.chain(*closed_edges([(curve,) for curve in run if curve.length_mm >= least_mm])))


def closed_edges(edges: Sequence[Run]) -> list[Run]:
    """The same for edges that make up a closed loop, each a run by itself; none goes."""
    owners = [number for number, edge in enumerate(edges) for _ in edge]
    kept = [curve for edge in edges for curve in edge]
    closed: list[list[Curve]] = [[] for _ in edges]
    for number, owner in enumerate(owners):
        curve, following = kept[number], (number + 1) % len(kept)
        after = kept[following]
        if math.dist(curve.end, after.start) <= TOUCHING_MM:
            closed[owner].append(curve)
        elif isinstance(after, Line) and following:
            kept[following] = Line(curve.end, after.end)
            closed[owner].append(curve)
        else:
            closed[owner] += with_end_at(curve, after.start)
    return [tuple(edge) for edge in closed]


def chained(runs: Sequence[Run], *, within_mm: float) -> list[tuple[int, Run]]:
    """Runs whose ends lie within `within_mm` of one another joined to longer ones, turned round where need be.

    Each comes with the number of the run it began with. A run that is closed stays by itself. Where more than two
    ends meet, the run that comes first goes on.
    """
    ends = _Ends(runs, within_mm)
    longer = []
    for number, run in enumerate(runs):
        if not ends.take(number):
            continue
        chain = run
        if not _is_closed(chain, within_mm):
            chain = _grown(_grown(chain, ends), ends, backwards=True)
        longer.append((number, chain))
    return longer


def _is_closed(run: Run, within_mm: float) -> bool:
    return math.dist(run[0].start, run[-1].end) <= within_mm


def _grown(chain: Run, ends: _Ends, *, backwards: bool = False) -> Run:
    """The chain with all that goes on from its end (or, walked `backwards`, before its start)."""
    chain = turned_round(chain) if backwards else chain
    while not _is_closed(chain, ends.within_mm) and (found := ends.next_at(chain[-1].end)):
        chain = (*chain, *found)
    return turned_round(chain) if backwards else chain


class _Ends:
    """Which runs are still free, found by where they start or end."""

    def __init__(self, runs: Sequence[Run], within_mm: float) -> None:
        self.within_mm = within_mm
        self._runs, self._free = runs, set(range(len(runs)))
        self._cells: defaultdict[tuple[int, int], dict[int, None]] = defaultdict(dict)
        for number, run in enumerate(runs):
            for end in (run[0].start, run[-1].end):
                self._cells[self._cell(end)][number] = None

    def _cell(self, point: Point) -> tuple[int, int]:
        return math.floor(point[0] / self.within_mm), math.floor(point[1] / self.within_mm)

    def take(self, number: int) -> bool:
        """Whether the run was free; it is not any more."""
        if number not in self._free:
            return False
        self._free.remove(number)
        for end in (self._runs[number][0].start, self._runs[number][-1].end):
            self._cells[self._cell(end)].pop(number, None)
        return True

    def _near(self, point: Point) -> Iterator[int]:
        x, y = self._cell(point)
        for cell in ((x + dx, y + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            yield from self._cells.get(cell, ())

    def next_at(self, point: Point) -> Run | None:
        """A free open run that starts there, turned round if it ends there; it is taken."""
        for number in self._near(point):
            run = self._runs[number]
            starts, stops = (math.dist(end, point) <= self.within_mm for end in (run[0].start, run[-1].end))
            if (starts or stops) and not _is_closed(run, self.within_mm):
                self.take(number)
                return run if starts else turned_round(run)
        return None
