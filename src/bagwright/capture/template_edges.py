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
_TANGENT: Final = 2.0
_BENDS_FROM: Final = 0.55
_BENDS_TO: Final = 2.0
_BENDS_DEG: Final = 22.0
_LEAST_BENDS_DEG: Final = 6.0
_FEWEST_BENT: Final = 6
"""Two sides that turn on so much together, each by the least, between so many times the lens's rounding from a tip, are
one curve with it."""
_STILL_TURNS_DEG: Final = 7.0
"""Two arms of that length that turn by less belong to no rounded corner."""
_MOST_TURNING: Final = 99
"""Steps that a rounded corner with no other on its ring may take either way."""
_LEAST_CUT_OFF: Final = 0.3
_MOST_CUT_OFF: Final = 12.0
"""So far a pointed tip may stay behind where its sides meet."""
_LEAST_STRAIGHT: Final = 18.0
_WINDOW: Final = 6.0
_ROUND_WINDOW: Final = 1.5
_FITS: Final = 0.15
"""A parabola fits if points lie no further off, in the root mean square."""


@dataclass(frozen=True, slots=True)
class _End:
    """Where a run ends: at a sharp corner, or where a rounded one begins (`is_round`: it begins here)."""

    at: int
    is_sharp: bool
    is_round: bool = False


@dataclass(frozen=True, slots=True)
class _Run:
    """A stretch between two ends: smooth points, and the lines that its ends run along, as point and direction."""

    points: Floats
    start: tuple[Floats, Floats]
    end: tuple[Floats, Floats]


def cleaned(ring: Floats, straight_mm: float, rounding_mm: float) -> Floats:
    """The ring with its runs made straight or smooth and its corners where they meet.

    A run is straight if no point lies further than `straight_mm` from a straight line. A corner is sharp if it is
    rounded by no more than `rounding_mm`, as the lens rounds every corner.
    """
    even = _even(ring)
    ends = _ends(even, _corners(even), rounding_mm)
    if not ends:
        return _smooth_round(even)
    runs = []
    for one, other in zip(ends, [*ends[1:], ends[0]], strict=True):
        last = other.at if other.at > one.at else other.at + len(even)
        runs.append(_run(np.take(even, range(one.at, last + 1), axis=0, mode="wrap"), (one, other), straight_mm))
    points: list[Floats] = []
    for index, (run, end) in enumerate(zip(runs, ends, strict=True)):
        if end.is_sharp:
            points.append(_meeting(runs[index - 1].end, run.start, even[end.at])[None])
        points.append(run.points)
    return np.concatenate(points)


def _ends(even: Floats, corners: list[int], rounding_mm: float) -> list[_End]:
    """Each sharp corner, and both ends of each rounded one, round the ring."""
    count, ends = len(even), []
    for index, corner in enumerate(corners):
        most = [_half_way(corners, index, way, count) or _MOST_TURNING for way in (-1, 1)]
        if _radius(even, corner) <= rounding_mm and not _is_curve(even, corner, most, rounding_mm):
            ends.append(_End(corner, is_sharp=True))
            continue
        back, ahead = (_still_turning(even, corner, way, steps) for way, steps in zip((-1, 1), most, strict=True))
        ends += [_End((corner - back) % count, False, is_round=True), _End((corner + ahead) % count, False)]
    first = min(range(len(ends)), key=lambda i: ends[i].at, default=0)
    return ends[first:] + ends[:first]


def _half_way(corners: list[int], index: int, way: int, count: int) -> int:
    """How many of the `count` steps of the ring are nearer to a corner than to the next one that way; 0 if alone."""
    to_next = (corners[(index + way) % len(corners)] - corners[index]) * way % count
    return max(1, to_next // 2 - 1) if to_next else 0


def _radius(even: Floats, corner: int) -> float:
    """The radius that a corner seems to be rounded by, from how far it stays behind where its two sides would meet."""
    low, high = round(_TRIMMED / _STEP), round(_ARM / _STEP) + 1
    back, ahead = (
        _line(np.take(even, range(corner + way * low, corner + way * high, way), axis=0, mode="wrap"))
        for way in (-1, 1)
    )
    spot = _meeting((back[0], -back[1]), ahead, even[corner])
    cut_off = float(np.hypot(*(spot - even[corner])))
    if cut_off < _LEAST_CUT_OFF:
        return 0.0
    half_turn_cos = float(np.cos(np.arccos(np.clip(-back[1] @ ahead[1], -1.0, 1.0)) / 2))
    return cut_off / max(1 / max(half_turn_cos, 1e-3) - 1, 1e-6)


def _is_curve(even: Floats, corner: int, most: list[int], rounding_mm: float) -> bool:
    """Whether the sides bend on into the tip, as those of a slender ellipse do: lines would meet far outside of it."""
    low = round(_BENDS_FROM * rounding_mm / _STEP)
    highs = [min(steps, round(_BENDS_TO * rounding_mm / _STEP)) + 1 for steps in most]
    back = _bend_deg(even, range(corner - low, corner - highs[0], -1))
    ahead = _bend_deg(even, range(corner + low, corner + highs[1]))
    least, both = min(-back, ahead), ahead - back
    if ahead < 0:
        least, both = min(back, -ahead), -both
    return least > _LEAST_BENDS_DEG and both > _BENDS_DEG


def _bend_deg(even: Floats, along_side: range) -> float:
    """How far a side turns to the left as it is walked; 0 if it is too short to tell."""
    if len(along_side) < _FEWEST_BENT:
        return 0.0
    side = np.take(even, along_side, axis=0, mode="wrap")
    middle, along = _line(side)
    x, y = (side - middle) @ along, (side - middle) @ np.array([-along[1], along[0]])
    return float(np.degrees(2 * np.polyfit(x, y, 2)[0] * (x[-1] - x[0])))


def _still_turning(even: Floats, corner: int, way: int, most: int) -> int:
    """How many steps from a corner the edge turns on."""
    arm = round(_TANGENT / _STEP)
    for steps in range(arm, most):
        here, behind, ahead = (even[(corner + way * (steps + add)) % len(even)] for add in (0, -arm, arm))
        (u, v), (x, y) = here - behind, ahead - here
        if abs(np.degrees(np.arctan2(u * y - v * x, u * x + v * y))) < _STILL_TURNS_DEG:
            return min(steps + arm // 2, most)
    return most


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


def _run(points: Floats, ends: tuple[_End, _End], straight_mm: float) -> _Run:
    if ends[0].is_round:
        return _as_curve(_smooth(points, _ROUND_WINDOW))
    first, last = (min(round(_TRIMMED / _STEP), (len(points) - 3) // 2) if end.is_sharp else 0 for end in ends)
    inner = points[max(first, 0) : len(points) - max(last, 0)]
    if _bow(inner) < straight_mm:
        through = _line(inner)
        shown = [inner[i] for i, end in ((0, ends[0]), (-1, ends[1])) if not end.is_sharp]
        return _Run(_onto(through, np.array(shown).reshape(-1, 2)), through, through)
    first, last = (_straight_length(side, straight_mm / 2) for side in (inner, inner[::-1]))
    if first + last >= len(inner):
        first = last = 0
    curve = _as_curve(_smooth(inner[first : len(inner) - last], _WINDOW))
    start, end = (_line(part) if len(part) else None for part in (inner[:first], inner[len(inner) - last :]))
    shown = [curve.points]
    if start is not None and not ends[0].is_sharp:
        shown.insert(0, _onto(start, inner[:1]))
    if end is not None and not ends[1].is_sharp:
        shown.append(_onto(end, inner[-1:]))
    return _Run(np.concatenate(shown), start or curve.start, end or curve.end)


def _as_curve(curve: Floats) -> _Run:
    """A curve, with the ways that it sets out and arrives."""
    ends = min(len(curve), 1 + round(_TANGENT / _STEP))
    return _Run(curve, (curve[0], curve[ends - 1] - curve[0]), (curve[-1], curve[-1] - curve[-ends]))


def _onto(line: tuple[Floats, Floats], points: Floats) -> Floats:
    """Points moved onto a line, by the shortest way."""
    middle, along = line
    return np.asarray(middle + ((points - middle) @ along)[:, None] * along)


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


def _smooth(points: Floats, window: float) -> Floats:
    """Each point moved onto the parabola nearest to its neighbours; ends too. Fewer neighbours where it bends more."""
    answer = points
    for half in sorted({min(round(part * window / _STEP), (len(points) - 1) // 2) for part in (0.25, 0.5, 1.0)}):
        if half < 2:
            continue
        wider, off = _on_parabolas(points, half)
        near = (off < _FITS)[:, None] if half > 2 and answer is not points else np.ones((len(points), 1), dtype=bool)
        answer = np.where(near, wider, answer)
    return answer


def _on_parabolas(points: Floats, half: int) -> tuple[Floats, Floats]:
    """Each point on the parabola through `half` neighbours on either side, and how far those lie off in the mean."""
    size, index = 2 * half + 1, np.arange(len(points))
    basis, _ = np.linalg.qr(np.vander(np.arange(size) - half, 3).astype(np.float64))
    seen = np.lib.stride_tricks.sliding_window_view(points, size, axis=0)
    fitted = seen @ basis @ basis.T
    low = np.clip(index - half, 0, len(points) - size)
    off = np.sqrt(np.square(seen - fitted).sum(axis=1).mean(axis=1))
    return np.asarray(fitted[low, :, index - low]), np.asarray(off[low])


def _smooth_round(points: Floats) -> Floats:
    """The same for an edge without a corner."""
    half = min(round(_WINDOW / _STEP), (len(points) - 1) // 2)
    wide = np.concatenate([points[-half:], points, points[:half]])
    return _smooth(wide, _WINDOW)[half:-half]


def _meeting(one: tuple[Floats, Floats], other: tuple[Floats, Floats], raw: Floats) -> Floats:
    """Where two lines cross, if that is near the corner as it was seen."""
    (p, u), (q, v) = one, other
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) <= 0.05 * np.hypot(*u) * np.hypot(*v):
        return raw
    spot = p + u * ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / cross
    return np.asarray(spot if np.hypot(*(spot - raw)) < _MOST_CUT_OFF else raw)
