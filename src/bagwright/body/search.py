"""The largest value of a smooth quantity over a box of ranges."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

_Numbers = NDArray[np.float64]
Measure = Callable[[_Numbers], _Numbers]
"""A number for every row: from (boxes, rows, numbers) to (boxes, rows)."""

_STEPS = np.linspace(-1, 1, 13)
_REACHES = (1.0, 1 / 6, 1 / 36, 1 / 216)
_MOST_SWEEPS = 20
_MOST_STARTS = 16
_MASKS = (1, 2, 4, 8, 15, 7, 11, 13, 14, 3, 5, 6, 9, 10, 12)
_KEPT = 4
_STILL = 1e-10


def highest(measure: Measure, low: _Numbers, high: _Numbers, *, has_ridges: bool = False) -> _Numbers:
    """Largest `measure` in each of many boxes: of rows of numbers that each lie between `low` and `high`.

    `low` and `high` have a row for every box; the answer has a number for every box. From the low ends, the middles,
    the high ends and a fixed choice of corners: number by number over its whole range, then finer and finer about the
    best found, until nothing is gained; the best few starts go on to the end. Every value looked at is one that the
    quantity can take, so the answer is never too high. It can be too low only where several peaks lie within a box and
    no start leads to the largest. `has_ridges`: a limit bends the quantity somewhere in the box. On such a ridge no
    number can be moved alone, so what is moved first decides where a start comes to rest: the first round is then
    gone both ways.

    >>> peak = highest(lambda rows: rows[..., 0] - (rows[..., 1] - 0.3) ** 2, np.zeros((1, 2)), np.ones((1, 2)))
    >>> round(float(peak[0]), 6)
    1.0
    """
    free = np.flatnonzero((high > low).any(axis=0))
    starts = _starts(low, high, free)
    moves = [(int(i), reach) for reach in _REACHES for i in free]
    one_by_one = [(int(i), reach) for i in free[::-1] for reach in _REACHES]
    rounds = (moves, one_by_one) if has_ridges else (moves,)
    swept = [_swept(order, starts, measure, (low, high)) for order in rounds]
    rows, best = (np.concatenate(both, axis=1) for both in zip(*swept, strict=True))
    kept = np.argsort(-best, axis=1, kind="stable")[:, :_KEPT]
    rows, best = np.take_along_axis(rows, kept[:, :, None], axis=1), np.take_along_axis(best, kept, axis=1)
    for _ in range(_MOST_SWEEPS if free.size else 0):
        before = best
        rows, best = _swept(moves, rows, measure, (low, high))
        if np.all(best - before <= _STILL * np.abs(best)):
            break
    peak: _Numbers = best.max(axis=1)
    return peak


def _swept(
    moves: Sequence[tuple[int, float]], rows: _Numbers, measure: Measure, ends: tuple[_Numbers, _Numbers]
) -> tuple[_Numbers, _Numbers]:
    """Each row with its numbers moved, one move after the other, to where it measures most; and how much that is."""
    best = measure(rows)
    for i, reach in moves:
        rows, best = _along(i, reach, rows, measure, ends)
    return rows, best


def _starts(low: _Numbers, high: _Numbers, free: NDArray[np.intp]) -> _Numbers:
    """Ends, middles, and corners in which any two numbers meet with every pair of ends (all corners of up to four)."""
    corners = min(_MOST_STARTS, 2**free.size)
    masks = np.array([_MASKS[place % len(_MASKS)] for place in range(free.size)], dtype=np.int64)
    at_high = np.zeros((corners, low.shape[-1]), dtype=bool)
    at_high[:, free] = np.bitwise_count(np.arange(corners)[:, None] & masks) % 2 == 1
    share = np.vstack([np.full(low.shape[-1], 0.5), np.ones(low.shape[-1]), at_high])
    return low[:, None, :] + share * (high - low)[:, None, :]


def _along(
    i: int, reach: float, rows: _Numbers, measure: Measure, ends: tuple[_Numbers, _Numbers]
) -> tuple[_Numbers, _Numbers]:
    """Each row with its number `i` moved, by up to that share of its range, to where it measures most; and how much."""
    low, high = (end[:, None, None, i] for end in ends)
    boxes, count, numbers = rows.shape
    many = np.repeat(rows[:, :, None, :], _STEPS.size, axis=2)
    many[..., i] = np.clip(rows[:, :, None, i] + reach * (high - low) * _STEPS, low, high)
    measured = measure(many.reshape(boxes, -1, numbers)).reshape(boxes, count, -1)
    chosen = np.arange(boxes)[:, None], np.arange(count), measured.argmax(axis=2)
    return many[chosen], measured[chosen]
