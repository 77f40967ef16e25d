"""What the stash holds: sizes of its pieces, and which of them a wanted size can be cut from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import Affine
from bagwright.geometry.largest_rectangle import holds_rectangle, largest_rectangle
from bagwright.geometry.region import Region
from bagwright.model.stash import StashPiece
from bagwright.workflows.desk import Remembered

_MOST_EDGES = 4


@dataclass(frozen=True, slots=True)
class StashSize:
    """The largest rectangle in a piece: its lower corner, length along its grain (along x without one), and width.

    `x_mm`, `y_mm` and `turn_deg` say where: the piece turned by `turn_deg` about the origin holds it upright there.
    """

    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    turn_deg: float


def size_of(piece: StashPiece) -> StashSize:
    """The largest rectangle along and across the grain that lies in the piece off its flaws; sizes 0 if none does."""
    turn = -(piece.grain_deg or 0.0)
    key = f"{piece.outer!r}{piece.holes!r}{piece.flaws!r}{turn}"
    return _sizes.get(key) or _sizes.put(key, _size_of(piece.sound, turn))


_sizes: Remembered[str, StashSize] = Remembered(2_000)


def _size_of(region: Region, turn_deg: float) -> StashSize:
    found = largest_rectangle(region.moved(Affine(turn_deg))) or (0.0, 0.0, 0.0, 0.0)
    return StashSize(found[0], found[1], found[2] - found[0], found[3] - found[1], turn_deg)


def can_cut(piece: StashPiece, one_mm: float, other_mm: float) -> bool:
    """Whether a rectangle of that size can be cut from the piece, either side along the grain.

    Without a grain it is also tried along the longest edges. Where edges slant a fit may be missed by a few per cent.

    >>> strip = StashPiece(id="s", material_id="felt", outer=((0, 0), (400, 0), (400, 90), (0, 90)))
    >>> can_cut(strip, 80, 300), can_cut(strip, 100, 300)
    (True, False)
    """
    for turn in _turns(piece):
        region = piece.sound.moved(Affine(turn))
        if holds_rectangle(region, one_mm, other_mm) or holds_rectangle(region, other_mm, one_mm):
            return True
    return False


def _turns(piece: StashPiece) -> Sequence[float]:
    if piece.grain_deg is not None:
        return (-piece.grain_deg,)
    edges = sorted(
        zip(piece.outer, (*piece.outer[1:], piece.outer[0]), strict=True), key=lambda edge: -math.dist(*edge)
    )[:_MOST_EDGES]
    turns = (-math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 90 for a, b in edges)
    return tuple(dict.fromkeys((0.0, *(round(turn, 6) % 90 for turn in turns))))
