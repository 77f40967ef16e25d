"""Closed lines out of drawn ones: small gaps closed, loose lines chained, what cannot be a piece told as a fault."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from bagwright.errors import Problem
from bagwright.geometry.chains import chained
from bagwright.geometry.corners import flat_loop, loop_fault
from bagwright.geometry.curves import Line, Point
from bagwright.geometry.region import Region
from bagwright.output.drawn_lines import DrawnLine, Meaning, is_straight

CHAIN_MM = 0.1
"""Loose lines whose ends are this near are one."""
GAP_MM = 0.5
"""A line that comes back to its start as near as this is closed."""
LEAST_ACROSS_MM = 5.0
"""What is smaller both ways is an arrow head or a dot, no piece."""
FURTHEST_ACROSS_MM = 10_000.0
_SEEN_MM = 0.01


@dataclass(frozen=True, slots=True)
class Loop:
    """A closed line that encloses an area."""

    line: DrawnLine
    region: Region
    notes: tuple[str, ...] = ()


@dataclass(slots=True)
class Sorted:
    """Closed lines, those left open, and what was found wrong or left out on the way."""

    loops: list[Loop] = field(default_factory=list)
    open_lines: list[DrawnLine] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def sort_lines(lines: Sequence[DrawnLine]) -> Sorted:
    """Tell closed lines from open ones, after chaining loose ones of the same meaning."""
    found = Sorted()
    for line in _chained_by_meaning([line for line in lines if line.run]):
        _sort(line, found)
    _close_by_folds(found)
    return found


def _close_by_folds(found: Sorted) -> None:
    """A cut line that is left open along a fold is closed by the fold line, if that is drawn."""
    folds = [line for line in found.open_lines if line.meaning is Meaning.FOLD and is_straight(line.run)]
    for line in [line for line in found.open_lines if line.meaning in (Meaning.CUT, Meaning.UNTOLD)]:
        ends = {line.run[0].start, line.run[-1].end}
        if any(_span_the_same(ends, {fold.run[0].start, fold.run[-1].end}) for fold in folds):
            found.open_lines.remove(line)
            _sort(replace(line, is_closed=True), found)


def _span_the_same(one: set[Point], other: set[Point]) -> bool:
    return all(min(math.dist(a, b) for b in other) < GAP_MM for a in one)


def _chained_by_meaning(lines: Sequence[DrawnLine]) -> Iterable[DrawnLine]:
    for meaning in dict.fromkeys(line.meaning for line in lines):
        same = [line for line in lines if line.meaning is meaning]
        if not meaning.may_bound:
            yield from same
            continue
        yield from (line for line in same if _comes_back(line))
        loose = [line for line in same if not _comes_back(line)]
        for number, run in chained([line.run for line in loose], within_mm=CHAIN_MM):
            yield replace(loose[number], run=run)


def _comes_back(line: DrawnLine) -> bool:
    return line.is_closed or math.dist(line.run[0].start, line.run[-1].end) <= CHAIN_MM


def _sort(line: DrawnLine, found: Sorted) -> None:
    gap_mm = math.dist(line.run[0].start, line.run[-1].end)
    encloses = line.meaning.may_bound or line.meaning is Meaning.CUT_OUT
    if line.is_closed:
        if encloses:  # else it is the head of an arrow or the like
            ends = (Line(line.run[-1].end, line.run[0].start),) if gap_mm > CHAIN_MM else ()
            _add_loop(replace(line, run=(*line.run, *ends)), found, gap_mm=0.0)
    elif gap_mm < GAP_MM and encloses and len(line.run) > 1:
        _add_loop(line, found, gap_mm=gap_mm) if not _is_dust(line) else found.notes.append(_too_small(line))
    else:
        found.open_lines.append(line)


def _is_dust(line: DrawnLine) -> bool:
    """Whether an open line is so short that its ends are near one another only for that."""
    return math.fsum(curve.length_mm for curve in line.run) < 3 * GAP_MM


def _too_small(line: DrawnLine) -> str:
    return f"{line.place}: left out, too small to be a piece."


def _add_loop(line: DrawnLine, found: Sorted, *, gap_mm: float) -> None:
    fault = loop_fault(line.run)
    if fault:
        found.problems.append(_faulty(line, fault))
        return
    region = Region.from_ring(flat_loop(line.run))
    across_mm = max(region.width_mm, region.height_mm)
    if across_mm < LEAST_ACROSS_MM:
        found.notes.append(_too_small(line))
    elif across_mm > FURTHEST_ACROSS_MM:
        found.problems.append(_too_large(line, across_mm))
    else:
        notes = (f"A gap of {gap_mm:.2f} mm in its outline was closed.",) if gap_mm > _SEEN_MM else ()
        found.loops.append(Loop(line, region, notes))


def _faulty(line: DrawnLine, fault: str) -> Problem:
    allowed = "a closed line that neither crosses nor touches itself"
    remedy = "Correct it in the drawing, or take it out."
    return Problem(place=line.place, value=line.name, what=fault, allowed=allowed, remedy=remedy)


def _too_large(line: DrawnLine, across_mm: float) -> Problem:
    return Problem(
        place=line.place,
        value=f"{across_mm:.0f} mm",
        what="across is more than any piece of a bag",
        allowed=f"at most {FURTHEST_ACROSS_MM:.0f} mm",
        remedy="Say how large one unit of the file is.",
    )


def still_open(line: DrawnLine) -> Problem:
    """What is said of a line that ought to be the outline of a piece, but is open."""
    (ax, ay), (bx, by) = line.run[0].start, line.run[-1].end
    gap_mm = math.dist((ax, ay), (bx, by))
    return Problem(
        place=line.place,
        value=line.name,
        what=f"is open: it runs from ({ax:.2f}, {ay:.2f}) to ({bx:.2f}, {by:.2f}), {gap_mm:.2f} mm apart",
        allowed=f"closed outlines, with gaps under {GAP_MM:g} mm",
        remedy="Close it in the drawing, or take it out.",
    )
