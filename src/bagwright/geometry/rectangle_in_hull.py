"""Where rectangles lie best in convex outlines, many at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
_HALVINGS = 50
"""The place along x is found to a part in 2^50 of the outline's width: less than rounding."""


@dataclass(frozen=True, slots=True)
class Rooms:
    """For each outline and size: how far the rectangle could still be moved along y where it has most room, in mm.

    Below 0 it fits nowhere. From 0 on its lower left corner may lie at `x_mm`, `y_mm`, as much room above as below.
    """

    room_mm: Floats
    x_mm: Floats
    y_mm: Floats


@dataclass(frozen=True, slots=True)
class _Lines:
    """What bounds the lower left corner: lines above and below of these slopes and heights, an edge a column."""

    slope: Floats
    above: Floats
    below: Floats


def best_rooms(hulls: Sequence[Floats], sizes_mm: Floats) -> Rooms:
    """Where an upright rectangle lies best in each convex outline.

    `hulls`: one or more, the corners of each counter-clockwise, shape (n, 2), in mm; `sizes_mm`: length along x and
    width along y for each, shape (len(hulls), 2). A rectangle lies in a convex outline if it lies on the inner side of
    the line of every edge. At any x these bound y from both sides; what is left between is a concave function of x, so
    halving towards where it grows leads to the most.

    >>> square = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    >>> best_rooms([square, square], np.array([(4.0, 7.0), (7.0, 11.0)])).room_mm.tolist()
    [3.0, -1.0]
    """
    lines, low_x, high_x = _bounds(hulls, sizes_mm)
    x = (_peak(lines, low_x, high_x, last=False) + _peak(lines, low_x, high_x, last=True)) / 2
    low_y, room, _ = _between(lines, x)
    return Rooms(np.where(high_x >= low_x, room, high_x - low_x), x, low_y + np.maximum(room, 0.0) / 2)


def _bounds(hulls: Sequence[Floats], sizes_mm: Floats) -> tuple[_Lines, Floats, Floats]:
    """The lines, and the lowest and highest x of the lower left corner."""
    most = max(len(hull) for hull in hulls)
    ends = np.stack([np.concatenate([hull, np.repeat(hull[:1], most - len(hull), axis=0)]) for hull in hulls])
    along = np.roll(ends, -1, axis=1) - ends
    runs = along[:, :, 0]
    slope = np.divide(along[:, :, 1], runs, out=np.zeros_like(runs), where=runs != 0)
    height, long, wide = ends[:, :, 1] - slope * ends[:, :, 0], sizes_mm[:, :1], sizes_mm[:, 1:]
    above = np.where(runs < 0, height - wide + np.minimum(slope * long, 0.0), np.inf)
    below = np.where(runs > 0, height + np.maximum(slope * long, 0.0), -np.inf)
    return _Lines(slope, above, below), ends[:, :, 0].min(axis=1), ends[:, :, 0].max(axis=1) - sizes_mm[:, 0]


def _peak(lines: _Lines, low_x: Floats, high_x: Floats, *, last: bool) -> Floats:
    """The first or the last x at which there is most between the lines."""
    for _ in range(_HALVINGS):
        middle = (low_x + high_x) / 2
        _, _, growth = _between(lines, middle)
        goes_on = growth >= 0 if last else growth > 0
        low_x, high_x = np.where(goes_on, middle, low_x), np.where(goes_on, high_x, middle)
    return (low_x + high_x) / 2


def _between(lines: _Lines, x: Floats) -> tuple[Floats, Floats, Floats]:
    """The lowest y at each x, how far it is from there to the highest, and how that grows along x."""
    rise = lines.slope * x[:, None]
    high, low = rise + lines.above, rise + lines.below
    at_high, at_low, rows = high.argmin(axis=1), low.argmax(axis=1), np.arange(len(x))
    low_y = low[rows, at_low]
    return low_y, high[rows, at_high] - low_y, lines.slope[rows, at_high] - lines.slope[rows, at_low]
