"""Which cells of a grid of upright and level lines lie within a region."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Cells = npt.NDArray[np.bool_]


def free_cells(rings: Sequence[Floats], xs: Floats, ys: Floats, *, slack_mm: float) -> Cells:
    """For each cell between neighbouring lines, x first, whether it lies within the region, less `slack_mm` all round.

    `rings`: every boundary of the region, as `Region.rings` has them. No edge runs through such a cell, and its middle
    lies inside: in each column, edges mark the rows that they run through, and those that cross the middle of the
    column tell inside from outside.

    >>> ell = np.array([(0.0, 0.0), (9.0, 0.0), (9.0, 2.0), (4.0, 2.0), (4.0, 6.0), (0.0, 6.0)])
    >>> xs, ys = np.array([0.0, 4.0, 9.0]), np.array([0.0, 2.0, 6.0])
    >>> free_cells([ell], xs, ys, slack_mm=1e-6).tolist()
    [[True, True], [True, False]]
    """
    starts, ends = _edges(rings)
    return _inside(starts, ends, xs, ys) & ~_crossed(starts, ends, (xs, ys), slack_mm)


def _edges(rings: Sequence[Floats]) -> tuple[Floats, Floats]:
    """Both ends of every edge, the end with the lower x first."""
    one, other = np.concatenate(rings), np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    turned = (one[:, 0] > other[:, 0])[:, None]
    return np.where(turned, other, one), np.where(turned, one, other)


def _crossed(starts: Floats, ends: Floats, lines: tuple[Floats, Floats], slack_mm: float) -> Cells:
    """The cells that an edge runs through."""
    xs, ys = lines
    left, right = xs[:-1] + slack_mm, xs[1:] - slack_mm
    from_x, to_x = starts[:, :1], ends[:, :1]
    edge, column = np.nonzero((from_x < right) & (to_x > left))
    (ax, ay), (bx, by) = starts[edge].T, ends[edge].T
    run = bx - ax
    steep = np.divide(by - ay, run, out=np.zeros_like(run), where=run > 0)
    y_in = np.where(run > 0, ay + steep * (np.maximum(ax, left[column]) - ax), ay)
    y_out = np.where(run > 0, ay + steep * (np.minimum(bx, right[column]) - ax), by)
    first = np.searchsorted(ys[1:] - slack_mm, np.minimum(y_in, y_out), side="right")
    last = np.searchsorted(ys[:-1] + slack_mm, np.maximum(y_in, y_out), side="left")
    marks = np.zeros((len(xs) - 1, len(ys) + 1), dtype=np.int64)
    runs = last > first
    np.add.at(marks, (column[runs], first[runs]), 1)
    np.add.at(marks, (column[runs], last[runs]), -1)
    crossed: Cells = np.cumsum(marks, axis=1)[:, : len(ys) - 1] > 0
    return crossed


def _inside(starts: Floats, ends: Floats, xs: Floats, ys: Floats) -> Cells:
    """The cells whose middle lies inside: an odd number of edges runs below it."""
    middle = (xs[:-1] + xs[1:]) / 2
    edge, column = np.nonzero((starts[:, :1] <= middle) & (ends[:, :1] > middle))
    (ax, ay), (bx, by) = starts[edge].T, ends[edge].T
    y = ay + (by - ay) * (middle[column] - ax) / (bx - ax)
    below = np.zeros((len(xs) - 1, len(ys)), dtype=np.int64)
    np.add.at(below, (column, np.searchsorted((ys[:-1] + ys[1:]) / 2, y)), 1)
    inside: Cells = np.cumsum(below, axis=1)[:, :-1] % 2 == 1
    return inside
