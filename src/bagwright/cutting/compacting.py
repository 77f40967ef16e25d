"""Push all pieces of a layout together at once, as far as they go without turning.

Pushing one piece after the other, as `settling.py` does, stops where two pieces block each other; here all move in one
linear program: the shortest length such that every two pieces stay on their sides of the straight line that parts them
now. Repeated with new lines until it gains no more. After Z. Li and V. Milenkovic, "Compaction and separation
algorithms for non-convex polygons and their applications", European Journal of Operational Research 84 (1995)
(named from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from bagwright.cutting.requests import plain_outline
from bagwright.geometry.curves import Affine
from bagwright.geometry.separating import ConvexParts, separations
from bagwright.model.layout import LayRequest, Placement

Floats = npt.NDArray[np.float64]

_ROUNDS = 6
_STEP_SHARE = 0.03
"""A piece moves in a round by at most so much of the cloth's width or of the length, whichever is less."""
_GAIN_SHARE = 1e-4
_MOST_ROWS, _MOST_CORNER_PAIRS, _SECONDS = 30_000, 30_000_000, 1.0
"""More conditions, more corners to be held against each other, or a program longer at work are not worth it: the
layout stays as it is."""


@dataclass(frozen=True, slots=True)
class _Rows:
    """Conditions direction . (shift of second - shift of first) + gap >= 0, lengths in mm."""

    first: npt.NDArray[np.intp]
    second: npt.NDArray[np.intp]
    directions: Floats
    gaps: Floats


def compact(request: LayRequest, placements: Sequence[Placement]) -> tuple[Placement, ...]:
    """The layout with its pieces pushed together, never longer but for rounding; as it was where that can't be done."""
    shapes, boxes = _shapes(request, placements), _boxes(request, placements)
    moved = np.zeros((len(shapes), 2))
    for _ in range(_ROUNDS):
        now = [shape.shifted(dx, dy) for shape, (dx, dy) in zip(shapes, moved.tolist(), strict=True)]
        lie = boxes + np.tile(moved, 2)
        length = float(lie[:, 2].max())
        step = _STEP_SHARE * min(request.width_mm, length)
        rows = _rows(now, step)
        shifts = None if rows is None else _shortest(rows, lie, step, request.width_mm)
        if shifts is None:
            break
        moved += shifts
        if length - float((lie[:, 2] + shifts[:, 0]).max()) <= _GAIN_SHARE * length:
            break
    return tuple(
        replace(place, x_mm=place.x_mm + dx, y_mm=place.y_mm + dy)
        for place, (dx, dy) in zip(placements, moved.tolist(), strict=True)
    )


def _shapes(request: LayRequest, placements: Sequence[Placement]) -> list[ConvexParts]:
    """Each piece where it lies, with half the gap around it."""
    outlines = {piece.id: plain_outline(piece.region, request.gap_mm) for piece in request.pieces}
    looks = {(place.id, place.turn_deg, place.mirrored) for place in placements}
    parts = {look: ConvexParts.of(outlines[look[0]].moved(Affine(look[1], mirrors=look[2]))) for look in looks}
    return [parts[place.id, place.turn_deg, place.mirrored].shifted(place.x_mm, place.y_mm) for place in placements]


def _boxes(request: LayRequest, placements: Sequence[Placement]) -> Floats:
    """[piece, side] least x and y, greatest x and y of each piece where it lies, without the gap."""
    pieces = {piece.id: piece.region for piece in request.pieces}
    return np.array([pieces[place.id].moved(place.move).bounds for place in placements])


def _rows(shapes: Sequence[ConvexParts], step: float) -> _Rows | None:
    """The conditions of all parts that could meet if two pieces move by a step each; None if they are too many."""
    pairs = list(_near(np.array([shape.bounds for shape in shapes]), 2 * step))
    if sum(len(shapes[i].corners) * len(shapes[j].corners) for i, j in pairs) > _MOST_CORNER_PAIRS:
        return None
    found, count = list[tuple[int, int, Floats, Floats]](), 0
    for i, j in pairs:
        directions, gaps = separations(shapes[i], shapes[j])
        close = gaps <= 2 * np.sqrt(2) * step
        found.append((i, j, directions[close], gaps[close]))
        count += int(close.sum())
        if count > _MOST_ROWS:
            return None
    sizes = [len(gaps) for *_, gaps in found]
    return _Rows(
        np.repeat([i for i, *_ in found], sizes).astype(np.intp),
        np.repeat([j for _, j, *_ in found], sizes).astype(np.intp),
        np.concatenate([np.empty((0, 2)), *(directions for *_, directions, _ in found)]),
        np.concatenate([np.empty(0), *(gaps for *_, gaps in found)]),
    )


def _near(boxes: Floats, within: float) -> Iterator[tuple[int, int]]:
    """Pairs whose boxes lie no farther apart."""
    for i, (low_x, low_y, high_x, high_y) in enumerate(boxes.tolist()):
        later = boxes[i + 1 :]
        apart = np.max([later[:, 0] - high_x, low_x - later[:, 2], later[:, 1] - high_y, low_y - later[:, 3]], axis=0)
        for j in np.flatnonzero(apart <= within).tolist():
            yield i, i + 1 + j


def _shortest(rows: _Rows, boxes: Floats, step: float, width: float) -> Floats | None:
    """Shifts [piece, axis] that make the layout shortest; None if the program finds none.

    Variables: the shifts, x and y in turn, then the furthest end. All in steps, so that they are about 1.
    """
    # scipy takes a third of a second to come in: only those who compact wait for it.
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    pieces, apart = len(boxes), len(rows.gaps)
    number, first, second = np.arange(apart), 2 * rows.first, 2 * rows.second
    ends, end = apart + np.arange(pieces), np.full(pieces, 2 * pieces)
    at = np.concatenate([number, number, number, number, ends, ends])
    variable = np.concatenate([first, first + 1, second, second + 1, 2 * np.arange(pieces), end])
    along, across = rows.directions.T
    factor = np.concatenate([along, across, -along, -across, np.ones(pieces), -np.ones(pieces)])
    matrix = csr_array((factor, (at, variable)), shape=(apart + pieces, 2 * pieces + 1))
    most = np.concatenate([rows.gaps, -boxes[:, 2]]) / step
    lows = np.maximum(-boxes[:, :2] / step, -1.0)
    highs = np.maximum(np.minimum(np.stack([np.ones(pieces), (width - boxes[:, 3]) / step], axis=1), 1.0), lows)
    answer = milp(
        np.eye(1, 2 * pieces + 1, 2 * pieces)[0],
        bounds=Bounds(np.append(lows, 0.0), np.append(highs, np.inf)),
        constraints=LinearConstraint(matrix, np.full(len(most), -np.inf), most),
        options={"time_limit": _SECONDS},
    )
    return answer.x[:-1].reshape(-1, 2) * step if answer.status == 0 else None
