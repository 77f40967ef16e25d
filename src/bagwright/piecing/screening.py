"""A raster of what is still bare, to look up many points at once; sample points of scraps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bagwright.piecing.rings import Flags, ManyPoints, Points, Whole, rolled

_STEP_MM = 1.0
_MOST_CELLS = 4_000_000
"""A raster of more squares would fill the memory: theirs are drawn larger."""


@dataclass(frozen=True, slots=True)
class Mask:
    """Which squares of a raster have their middle inside; one square wide around it is outside."""

    cells: Flags
    low: Points
    step_mm: float

    @classmethod
    def of(cls, rings: Sequence[Points], *, step_mm: float = _STEP_MM) -> Mask:
        """Fill rings by the even-odd rule.

        >>> square = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]])
        >>> int(Mask.of([square]).cells.sum())
        12
        """
        everything = np.concatenate(rings)
        span = everything.max(axis=0) - everything.min(axis=0)
        while float(np.prod(span / step_mm + 3)) > _MOST_CELLS:
            step_mm *= 2
        low = everything.min(axis=0) - 1.0 * step_mm
        size = np.ceil((everything.max(axis=0) - low) / step_mm).astype(np.intp) + 2
        flips = np.zeros((int(size[1]), int(size[0]) + 1), dtype=np.int32)
        for ring in rings:
            _flip(flips, (ring - low) / step_mm)
        inside = (np.cumsum(flips, axis=1) % 2).astype(np.bool_)
        return cls(inside[:, :-1], low, step_mm)

    def holds(self, points: Points | ManyPoints) -> Flags:
        """Whether each point lies inside; any shape of array with x, y last."""
        rows, columns = self.cells.shape
        x, y = self._steps_to(points, 0, columns - 1), self._steps_to(points, 1, rows - 1)
        y *= columns
        y += x
        return np.asarray(self.cells.ravel().take(y))

    def _steps_to(self, points: Points | ManyPoints, axis: int, last: int) -> Whole:
        """Numbers of columns or rows, those off the raster moved onto its rim."""
        steps: Whole = ((points[..., axis] - float(self.low[axis])) / self.step_mm).astype(np.intp)
        np.maximum(steps, 0, out=steps)
        np.minimum(steps, last, out=steps)
        return steps

    def thinned(self, most: int) -> Mask:
        """With larger squares, if more than so many lie inside: every second, third ... of them, each way.

        >>> everything = Mask(np.ones((40, 40), dtype=np.bool_), np.zeros(2), 1.0)
        >>> everything.thinned(400).step_mm, int(everything.thinned(400).cells.sum())
        (2.0, 400)
        """
        every = max(1, int(np.ceil(np.sqrt(self.cells.sum() / most))))
        half = every // 2
        low = self.low + (half + 0.5 - every / 2) * self.step_mm
        return Mask(self.cells[half::every, half::every], low, every * self.step_mm)

    def middles(self) -> Points:
        """Middles of all squares inside, row by row."""
        rows, columns = np.nonzero(self.cells)
        return np.asarray(np.column_stack([columns, rows]) * self.step_mm + self.low + self.step_mm / 2)


def _flip(flips: np.ndarray[tuple[int, int], np.dtype[np.int32]], ring: Points) -> None:
    """Count, in each row, the crossing of every edge at the first square whose middle lies right of it."""
    ends = rolled(ring, -1)
    low_y, high_y = np.minimum(ring[:, 1], ends[:, 1]), np.maximum(ring[:, 1], ends[:, 1])
    first = np.ceil(low_y - 0.5).astype(np.intp)
    count = np.maximum(np.ceil(high_y - 0.5).astype(np.intp) - first, 0)
    edge = np.repeat(np.arange(len(ring)), count)
    row = first[edge] + np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    rise = ends[edge, 1] - ring[edge, 1]
    x = ring[edge, 0] + (row + 0.5 - ring[edge, 1]) * (ends[edge, 0] - ring[edge, 0]) / rise
    np.add.at(flips, (row, np.ceil(x - 0.5).astype(np.intp)), 1)


def inner_points(ring: Points, count: int) -> Points:
    """So many points spread over the inside of a ring.

    >>> inner_points(np.array([[0.0, 0.0], [40.0, 0.0], [40.0, 30.0], [0.0, 30.0]]), 12).shape
    (12, 2)
    """
    spread = ring.max(axis=0) - ring.min(axis=0)
    step = max(float(np.sqrt(spread[0] * spread[1] / (3 * count))), 1e-6)
    middles = Mask.of([ring], step_mm=step).middles()
    if not len(middles):
        middles = ring.mean(axis=0)[None]
    return np.asarray(middles[np.linspace(0, len(middles) - 1, count).round().astype(np.intp)])


def rim_points(ring: Points, count: int, *, inset_mm: float) -> Points:
    """So many points along a ring, moved inwards by `inset_mm`."""
    steps = rolled(ring, -1) - ring
    lengths = np.maximum(np.hypot(steps[:, 0], steps[:, 1]), 1e-9)
    ends = np.cumsum(lengths)
    at = (np.arange(count) + 0.5) * ends[-1] / count
    edge = np.minimum(np.searchsorted(ends, at), len(ring) - 1)
    along = np.clip(at - (ends - lengths)[edge], inset_mm, np.maximum(lengths[edge] - inset_mm, inset_mm))
    units = (steps / lengths[:, None])[edge]
    inwards = np.column_stack([-units[:, 1], units[:, 0]])
    return np.asarray(ring[edge] + along[:, None] * units + inset_mm * inwards)
