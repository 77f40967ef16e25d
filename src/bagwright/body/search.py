"""The largest value of a smooth quantity over a box of ranges."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

_Numbers = NDArray[np.float64]
Measure = Callable[[_Numbers], _Numbers]
"""A number for every row."""

_STEPS = np.linspace(-1, 1, 13)
_REACHES = (1.0, 1 / 6, 1 / 36, 1 / 216)
_MOST_SWEEPS = 20
_MOST_STARTS = 16
_MASKS = (1, 2, 4, 8, 15, 7, 11, 13, 14, 3, 5, 6, 9, 10, 12)
_KEPT = 4
_STILL = 1e-10


def highest(measure: Measure, low: _Numbers, high: _Numbers) -> float:
    """Largest `measure` of a row of numbers that each lie between `low` and `high`.

    From the low ends, the middles, the high ends and a fixed choice of corners: number by number over its whole range,
    then finer and finer about the best found, until nothing is gained; the best few starts go on to the end. Every
    value looked at is one that the quantity can take, so the answer is never too high. It can be too low only where
    several peaks lie within the box and no start leads to the largest.

    >>> round(highest(lambda rows: rows[..., 0] - (rows[..., 1] - 0.3) ** 2, np.zeros(2), np.ones(2)), 6)
    1.0
    """
    free = np.flatnonzero(high > low)
    rows = _starts(low, high, free)
    best = measure(rows)
    for sweep in range(_MOST_SWEEPS if free.size else 0):
        before = best
        for reach in _REACHES:
            for i in free:
                many = np.repeat(rows[:, None, :], _STEPS.size, axis=1)
                many[:, :, i] = np.clip(rows[:, None, i] + reach * (high[i] - low[i]) * _STEPS, low[i], high[i])
                rows, best = _best_of(many, measure)
        if sweep == 0:
            rows, first = np.unique(rows, axis=0, return_index=True)
            kept = np.argsort(-best[first], kind="stable")[:_KEPT]
            rows, best = rows[kept], best[first][kept]
        elif np.all(best - before <= _STILL * np.abs(best)):
            break
    return float(best.max())


def _starts(low: _Numbers, high: _Numbers, free: NDArray[np.intp]) -> _Numbers:
    """Ends, middles, and corners in which any two numbers meet with every pair of ends (all corners of up to four)."""
    masks = np.array([_MASKS[place % len(_MASKS)] for place in range(free.size)], dtype=np.int64)
    ends = np.zeros((_MOST_STARTS, low.size), dtype=bool)
    ends[:, free] = np.bitwise_count(np.arange(_MOST_STARTS)[:, None] & masks) % 2 == 1
    rows = np.vstack([low, (low + high) / 2, high, np.where(ends, high, low)])
    return np.unique(rows, axis=0)


def _best_of(many: _Numbers, measure: Measure) -> tuple[_Numbers, _Numbers]:
    """Of each list of rows (what was had before is among them) the best one, and what it measures."""
    measured = measure(many)
    chosen = measured.argmax(axis=1)
    each = np.arange(len(many))
    return many[each, chosen], measured[each, chosen]
