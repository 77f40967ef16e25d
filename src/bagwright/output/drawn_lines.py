"""What a reader of drawings hands on: lines and points in mm, y upwards, with their places in the file and meanings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.chains import Run
from bagwright.geometry.curves import Arc, Cubic, Curve, Point, steps_length_mm

MOST_LINES = 3_000
MOST_CURVES = 20_000
MOST_CHORDS = 300_000
"""Chords that all curves of a file may need when they are flattened to 0.01 mm."""
FURTHEST_MM = 100_000.0
_CHORD_MM = 0.01


class Meaning(StrEnum):
    """What a line stands for, as far as the file says so."""

    UNTOLD = "line"
    CUT = "cut line"
    STITCH = "stitch line"
    FOLD = "fold line"
    GRAIN = "grain line"
    NOTCH = "notch"
    MARK = "marked line"
    CUT_OUT = "cut-out"

    @property
    def may_bound(self) -> bool:
        """Whether a closed line of this kind can be the outer line of a piece."""
        return self in (Meaning.UNTOLD, Meaning.CUT, Meaning.STITCH)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLine:
    """Curves end to end. `is_closed`: the file says that its end is joined to its start. `name`: as the file has it."""

    place: str
    run: Run
    is_closed: bool
    meaning: Meaning = Meaning.UNTOLD
    name: str = ""


@dataclass(frozen=True, slots=True)
class DrawnPoint:
    """A point marked on a piece: a notch, or else a hole."""

    place: str
    at: Point
    meaning: Meaning = Meaning.MARK


def refuse_floods(lines: Sequence[DrawnLine]) -> None:
    """Raise `FaultyInput` for a drawing of more or larger lines than any pattern has."""
    problems = [*_flood(len(lines), MOST_LINES, "lines")]
    problems += _flood(sum(len(line.run) for line in lines), MOST_CURVES, "curves")
    problems += [_far(line) for line in lines if not _is_near(line.run)]
    if not problems:
        chords = math.fsum(_chords(curve) for line in lines for curve in line.run)
        problems += _flood(round(chords), MOST_CHORDS, "chords when its curves are flattened")
    if problems:
        raise FaultyInput(problems)


def _flood(count: int, most: int, what: str) -> Iterable[Problem]:
    if count > most:
        yield Problem(
            place="file",
            value=f"{count}",
            what=f"{what} are more than any pattern has",
            allowed=f"at most {most} {what}",
            remedy="Take out what is no outline, or split the file.",
        )


def _is_near(run: Run) -> bool:
    points = [point for curve in run for point in _points_of(curve)]
    return all(abs(number) <= FURTHEST_MM for point in points for number in point)


def _far(line: DrawnLine) -> Problem:
    worst = max((n for curve in line.run for point in _points_of(curve) for n in point), key=_size)
    return Problem(
        place=line.place,
        value=f"{worst:g} mm",
        what="lies too far out" if math.isfinite(worst) else "is not a number that can be reckoned with",
        allowed=f"at most {FURTHEST_MM:g} mm from the middle of the file",
        remedy="Check the scale of the file, or move the drawing there.",
    )


def _size(number: float) -> float:
    return math.inf if math.isnan(number) else abs(number)


def _points_of(curve: Curve) -> tuple[Point, ...]:
    match curve:
        case Arc():  # a flat one has its centre far away
            return (curve.start, curve.end)
        case Cubic():
            return (curve.start, curve.first, curve.second, curve.end)
        case _:
            return (curve.start, curve.end)


def _chords(curve: Curve) -> float:
    """About as many chords as the curve is flattened to."""
    if isinstance(curve, Arc):
        return 1 + abs(math.radians(curve.sweep_deg)) * math.sqrt(curve.radius_mm / (8 * _CHORD_MM))
    points = _points_of(curve)
    if len(points) == 2:
        return 1
    return 1 + math.sqrt(1.5 * steps_length_mm(points) / _CHORD_MM)


def is_straight(run: Run, *, within_mm: float = 0.05) -> bool:
    """Whether the run is one straight stroke, give or take `within_mm`."""
    (ax, ay), (bx, by) = run[0].start, run[-1].end
    reach = math.dist((ax, ay), (bx, by))
    points = [point for curve in run for point in curve.points(within_mm)]
    return reach > within_mm and all(
        abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) <= within_mm * reach
        and -within_mm <= ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / reach <= reach + within_mm
        for x, y in points
    )
