"""A paper template's traced edge made clean: straight runs straight, corners sharp, curves smooth. All in mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from bagwright.capture.plane import Floats

_STEP: Final = 0.5
_ARM: Final = 4.0
_CORNER_DEG: Final = 30.0
_TRIMMED: Final = 1.5
"""By so much a run is left out of account at a corner, which the lens rounds."""
_LEAST_STRAIGHT: Final = 18.0
_WINDOW: Final = 6.0


@dataclass(frozen=True, slots=True)
class _Run:
    """A stretch between two corners: smooth points, and the lines that its ends run along, as point and direction."""

    points: Floats
    start: tuple[Floats, Floats]
    end: tuple[Floats, Floats]


def cleaned(ring: Floats, straight_mm: float) -> Floats:
    """The ring with its runs made straight or smooth and its corners where they meet.

    A run is straight if no point lies further than `straight_mm` from a straight line.
    """
    even = _even(ring)
    corners = _corners(even)
    if not corners:
        return _smooth_round(even)
    runs = []
    for i, j in zip(corners, [*corners[1:], corners[0] + len(even)], strict=True):
        runs.append(_run(np.take(even, range(i, j + 1), axis=0, mode="wrap"), straight_mm))
    points: list[Floats] = []
    for index, run in enumerate(runs):
        before = runs[index - 1]
        raw = even[corners[index]]
        points.append(_meeting(before.end, run.start, raw)[None])
        points.append(run.points)
    return np.concatenate(points)


def _even(ring: Floats) -> Floats:
    closed = np.concatenate([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = np.linspace(0, along[-1], max(24, round(along[-1] / _STEP)), endpoint=False)
    return np.stack([np.interp(at, along, closed[:, 0]), np.interp(at, along, closed[:, 1])], axis=1)


def _corners(even: Floats) -> list[int]:
    """Where the edge turns sharply: the sharpest first, none within an arm of another."""
    arm = round(_ARM / _STEP)
    back, ahead = even - np.roll(even, arm, axis=0), np.roll(even, -arm, axis=0) - even
    turn = np.arctan2(back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0], (back * ahead).sum(axis=1))
    sharp = np.abs(np.degrees(turn))
    found: list[int] = []
    for index in np.argsort(-sharp):
        if sharp[index] < _CORNER_DEG:
            break
        if all(min(abs(index - i), len(even) - abs(index - i)) > 1.5 * arm for i in found):
            found.append(int(index))
    return sorted(found)


def _run(points: Floats, straight_mm: float) -> _Run:
    trim = min(round(_TRIMMED / _STEP), (len(points) - 3) // 2)
    inner = points[max(trim, 0) : len(points) - max(trim, 0)]
    if _bow(inner) < straight_mm:
        through = _line(inner)
        return _Run(np.empty((0, 2)), through, through)
    first, last = (_straight_length(side, straight_mm / 2) for side in (inner, inner[::-1]))
    if first + last >= len(inner):
        first = last = 0
    curve = _smooth(inner[first : len(inner) - last])
    ends = min(len(curve), 1 + round(2.0 / _STEP))
    start = _line(inner[:first]) if first else (curve[0], curve[ends - 1] - curve[0])
    end = _line(inner[len(inner) - last :]) if last else (curve[-1], curve[-1] - curve[-ends])
    return _Run(curve, start, end)


def _line(points: Floats) -> tuple[Floats, Floats]:
    """The straight line nearest to points."""
    middle = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points - middle, full_matrices=False)
    along = axes[0] * (1 if axes[0] @ (points[-1] - points[0]) >= 0 else -1)
    return middle, along


def _bow(points: Floats) -> float:
    """How far points lie from their nearest line at most."""
    if len(points) < 3:
        return 0.0
    middle, along = _line(points)
    off = points - middle
    return float(np.abs(off[:, 0] * along[1] - off[:, 1] * along[0]).max())


def _straight_length(points: Floats, within_mm: float) -> int:
    """How many of the first points lie on one straight line; 0 if fewer than make a straight edge."""
    low, high = round(_LEAST_STRAIGHT / _STEP), len(points)
    if high <= low or _bow(points[:low]) > within_mm:
        return 0
    while low < high - 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _bow(points[:middle]) <= within_mm else (low, middle)
    return low


def _smooth(points: Floats) -> Floats:
    """Each point moved onto the parabola nearest to its neighbours; ends too."""
    half = min(round(_WINDOW / _STEP), (len(points) - 1) // 2)
    if half < 2:
        return points
    answer = np.empty_like(points)
    for index in range(len(points)):
        low = min(max(0, index - half), len(points) - 2 * half - 1)
        at = np.arange(low, low + 2 * half + 1) - index
        answer[index] = np.polynomial.polynomial.polyfit(at, points[low : low + 2 * half + 1], 2)[0]
    return answer


def _smooth_round(points: Floats) -> Floats:
    """The same for an edge without a corner."""
    half = min(round(_WINDOW / _STEP), (len(points) - 1) // 2)
    wide = np.concatenate([points[-half:], points, points[:half]])
    return _smooth(wide)[half:-half]


def _meeting(one: tuple[Floats, Floats], other: tuple[Floats, Floats], raw: Floats) -> Floats:
    """Where two lines cross, if that is near the corner as it was seen."""
    (p, u), (q, v) = one, other
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 0.05 * np.hypot(*u) * np.hypot(*v):
        return raw
    spot = p + u * ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / cross
    return np.asarray(spot if np.hypot(*(spot - raw)) < 3.0 else raw)
