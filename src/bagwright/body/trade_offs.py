"""Of many things measured several ways: those that no other beats in one way without losing in another."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_Numbers = NDArray[np.float64]
_Ranks = NDArray[np.uint32]
Indices = NDArray[np.intp]

_DECIMALS = 9
_CLEARLY = 2e-9
_MOST_CELLS = 250_000
_FEW = 4_000
_BLOCK = 256
_SAMPLED = 4_096


def best_trade_offs(points: _Numbers) -> Indices:
    """Indices, rising, of the rows that no other row beats: none is at most as large everywhere and smaller somewhere.

    Smaller is better in every column. Rows that agree to nine decimals are equal, and all of them stay. Exact: rows
    are first dropped where a cell of a coarse grid that lies wholly below theirs holds a better one, in rounds; what is
    left is compared row by row.

    >>> best_trade_offs(np.array([[1.0, 5.0], [2.0, 2.0], [3.0, 3.0], [2.0, 2.0]])).tolist()
    [0, 1, 3]
    """
    left: Indices = np.arange(len(points))
    columns = points.T
    while len(left) > _FEW:
        stays = _beaten_by_no_cell(columns[:, left])
        before, left = len(left), left[stays]
        if len(left) > 0.7 * before:
            break
    rows, first = np.unique(np.round(points[left], _DECIMALS), axis=0, return_inverse=True)
    return left[_unbeaten(rows)[first.ravel()]]


def beaten_by(best: _Numbers, points: _Numbers) -> NDArray[np.bool_]:
    """Which of `points` some row of `best` beats: at most as large everywhere and smaller somewhere.

    >>> beaten_by(np.array([[1.0, 5.0]]), np.array([[1.0, 6.0], [1.0, 5.0], [0.0, 9.0]])).tolist()
    [True, False, False]
    """
    best, points = np.round(best, _DECIMALS), np.round(points, _DECIMALS)
    beaten = np.zeros(len(points), dtype=bool)
    for start in range(0, len(points), _BLOCK):
        some = points[start : start + _BLOCK]
        at_most = np.ones((len(best), len(some)), dtype=bool)
        less = np.zeros((len(best), len(some)), dtype=bool)
        for one, other in zip(best.T, some.T, strict=True):
            at_most &= one[:, None] <= other
            less |= one[:, None] < other
        beaten[start : start + _BLOCK] = (at_most & less).any(axis=0)
    return beaten


def _beaten_by_no_cell(columns: _Numbers) -> NDArray[np.bool_]:
    """False for points that some point in a cell lower in every column but the last beats in the last, too, clearly."""
    *gridded, last = columns
    parts = int(_MOST_CELLS ** (1 / max(len(gridded), 1)))
    cell = np.zeros(columns.shape[1], dtype=np.intp)
    for values in gridded:
        cell = cell * parts + _part_of(values, parts)
    least = np.full(parts ** len(gridded), np.inf)
    np.minimum.at(least, cell, last)
    least = least.reshape((parts,) * len(gridded))
    for axis in range(len(gridded)):
        np.minimum.accumulate(least, axis=axis, out=least)
    below = np.full((parts + 1,) * len(gridded), np.inf)
    below[(slice(1, None),) * len(gridded)] = least
    rest: NDArray[np.bool_] = below[(slice(0, parts),) * len(gridded)].ravel()[cell] > last - _CLEARLY
    return rest


def _part_of(values: _Numbers, parts: int) -> Indices:
    """Which of `parts` about equally filled stretches each value lies in, lowest first."""
    sample = np.sort(values[:: max(1, len(values) // _SAMPLED)])
    cuts = np.unique(sample[np.linspace(0, len(sample) - 1, parts + 1).astype(np.intp)[1:-1]])
    return np.searchsorted(cuts, values, side="right")


def _unbeaten(rows: _Numbers) -> NDArray[np.bool_]:
    """Which of these rows, all different, no other beats: compared with the best so far, block by block.

    In the order of the sum of their ranks a row can only be beaten by one before it.
    """
    ranks: _Ranks = np.stack([np.unique(column, return_inverse=True)[1].ravel() for column in rows.T]).astype(np.uint32)
    order = np.argsort(ranks.sum(axis=0, dtype=np.int64), kind="stable")
    best = ranks[:, :0]
    unbeaten = np.zeros(len(rows), dtype=bool)
    for start in range(0, len(rows), _BLOCK):
        block = order[start : start + _BLOCK]
        block = block[~_any_at_most(best, ranks[:, block])]
        block = block[~_any_at_most(ranks[:, block], ranks[:, block], apart=True)]
        unbeaten[block] = True
        best = np.concatenate([best, ranks[:, block]], axis=1)
    return unbeaten


def _any_at_most(some: _Ranks, others: _Ranks, *, apart: bool = False) -> NDArray[np.bool_]:
    """For each of `others` whether any of `some` is at most as large everywhere; `apart`: any but itself."""
    at_most = np.logical_and.reduce([one[:, None] <= other for one, other in zip(some, others, strict=True)])
    if apart:
        np.fill_diagonal(at_most, False)
    found: NDArray[np.bool_] = at_most.any(axis=0)
    return found
