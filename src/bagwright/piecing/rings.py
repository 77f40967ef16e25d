"""Rings as arrays: corners with their angles and edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Points = npt.NDArray[np.float64]
ManyPoints = npt.NDArray[np.float32]
"""Sample points by the hundred thousand, to look up on a raster."""
Numbers = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


def rolled(rows: Numbers, by: int = 1) -> Numbers:
    """What `numpy.roll` gives along the first axis, in a third of the time for short rings.

    >>> rolled(np.arange(3.0)).tolist(), rolled(np.arange(3.0), -1).tolist()
    ([2.0, 0.0, 1.0], [1.0, 2.0, 0.0])
    """
    start = len(rows) - by % len(rows)
    return np.concatenate([rows[start:], rows[:start]])


@dataclass(frozen=True, slots=True)
class Corners:
    """Corners of rings that have their inside on the left; one row each.

    `angle`: inner angle in radians. `out`, `into`: directions of the edge that leaves and of the one that arrives,
    in radians. `out_mm`, `into_mm`: how long these are. `owner`: which shape the corner belongs to.
    """

    at: Points
    angle: Numbers
    out: Numbers
    into: Numbers
    out_mm: Numbers
    into_mm: Numbers
    owner: Whole

    def only(self, chosen: Flags | Whole) -> Corners:
        """The chosen corners."""
        return Corners(
            self.at[chosen],
            self.angle[chosen],
            self.out[chosen],
            self.into[chosen],
            self.out_mm[chosen],
            self.into_mm[chosen],
            self.owner[chosen],
        )

    def and_those(self, others: Corners) -> Corners:
        """These corners and then the others."""
        return Corners(
            np.concatenate([self.at, others.at]),
            np.concatenate([self.angle, others.angle]),
            np.concatenate([self.out, others.out]),
            np.concatenate([self.into, others.into]),
            np.concatenate([self.out_mm, others.out_mm]),
            np.concatenate([self.into_mm, others.into_mm]),
            np.concatenate([self.owner, others.owner]),
        )


def corners_of(rings: Sequence[Points], owners: Sequence[int]) -> Corners:
    """The corners of all rings.

    >>> square = corners_of([np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]])], [7])
    >>> np.degrees(square.angle).round(6).tolist(), square.owner.tolist()
    ([90.0, 90.0, 90.0, 90.0], [7, 7, 7, 7])
    """
    rows = []
    for ring, owner in zip(rings, owners, strict=True):
        out = rolled(ring, -1) - ring
        into = rolled(out)
        turn = np.arctan2(
            into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0], into[:, 0] * out[:, 0] + into[:, 1] * out[:, 1]
        )
        directions = np.arctan2(out[:, 1], out[:, 0])
        lengths = np.hypot(out[:, 0], out[:, 1])
        held = np.full(len(ring), float(owner))
        rows.append(
            np.column_stack([ring, np.pi - turn, directions, rolled(directions), lengths, rolled(lengths), held])
        )
    table = np.concatenate(rows) if rows else np.zeros((0, 8))
    angle, out, into, out_mm, into_mm = table[:, 2:7].T
    return Corners(table[:, :2], angle, out, into, out_mm, into_mm, table[:, 7].astype(np.intp))


def meeting_corners(rings: Sequence[Points], *, skips: int = 4) -> Corners:
    """Corners where no corner is: where the lines of two edges, a few others between them, would meet outwards.

    A notched corner is closed again so: a scrap that covers all of it lies with its own corner there.

    >>> notched = [(1, 0), (4, 0), (4, 3), (0, 3), (0, 1), (1, 1)]
    >>> meeting_corners([np.array(notched, dtype=np.float64)]).at.tolist()
    [[0.0, 0.0]]
    """
    rows = []
    for ring in rings:
        steps = rolled(ring, -1) - ring
        for skip in range(2, min(skips, len(ring) - 2) + 1):
            rows.append(_met(ring, steps, skip))
    table = np.concatenate(rows) if rows else np.zeros((0, 6))
    angle, out, into = np.arctan2(table[:, 2], table[:, 3]), table[:, 4], table[:, 5]
    none = np.zeros(len(table))
    return Corners(table[:, :2], np.pi - angle, out, into, none, none, none.astype(np.intp))


def _met(ring: Points, steps: Points, skip: int) -> Numbers:
    """Where each edge, lengthened, meets the one `skip` further on; their turn (sine, cosine) and directions."""
    onto, after = rolled(ring, -skip), rolled(steps, -skip)
    apart = onto - ring
    cross = steps[:, 0] * after[:, 1] - steps[:, 1] * after[:, 0]
    dot = (steps * after).sum(axis=1)
    safe = np.where(np.abs(cross) > 1e-9, cross, 1.0)
    along = (apart[:, 0] * after[:, 1] - apart[:, 1] * after[:, 0]) / safe
    before = (apart[:, 0] * steps[:, 1] - apart[:, 1] * steps[:, 0]) / safe
    meets = (cross > 1e-9) & (along >= 1) & (before <= 0)
    at = ring + along[:, None] * steps
    ways = np.arctan2(after[:, 1], after[:, 0]), np.arctan2(steps[:, 1], steps[:, 0])
    return np.column_stack([at, cross, dot, *ways])[meets]
