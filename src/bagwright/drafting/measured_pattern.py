"""A pattern as the proof looks at it: every edge and placement line measured once."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bagwright.drafting.piece_shapes import Shape
from bagwright.model.pattern import Pattern, Seam, SeamSide
from bagwright.model.piece import Piece
from bagwright.model.soundness import SoundnessFault

EXACT_MM = 1e-6


@dataclass(frozen=True, slots=True)
class MeasuredPattern:
    """A pattern, its pieces by id, and the length of each edge or line by piece and name."""

    pattern: Pattern
    pieces: Mapping[str, Piece]
    lengths_mm: Mapping[tuple[str, str], float]

    @classmethod
    def of(cls, pattern: Pattern, shapes: Sequence[Shape]) -> MeasuredPattern:
        """`shapes`: those of the pieces, in their order."""
        lengths = {}
        for piece, shape in zip(pattern.pieces, shapes, strict=True):
            lengths.update({(piece.id, name): length for name, length in shape.lengths_mm.items()})
            lengths.update({(piece.id, line.name): math.dist(line.start, line.end) for line in reversed(piece.lines)})
        return cls(pattern, {piece.id: piece for piece in pattern.pieces}, lengths)


Found = Iterator[SoundnessFault]
Check = Callable[[MeasuredPattern], Found]
Stretch = tuple[float, float]
CopyEdge = tuple[str, int, str]


def stretch_of(side: SeamSide) -> Stretch:
    """The stretch of edge that a side uses, lower end first."""
    return (side.from_mm, side.to_mm) if side.from_mm <= side.to_mm else (side.to_mm, side.from_mm)


def said(words: str) -> SoundnessFault:
    """A fault that concerns the whole pattern."""
    return SoundnessFault(words=words)


def of_edge(place: CopyEdge, words: str) -> SoundnessFault:
    """A fault of one edge of one copy."""
    piece_id, copy, edge = place
    return SoundnessFault(words=words, piece_id=piece_id, copy=copy, edge=edge)


def of_seam(seam: Seam, words: str) -> SoundnessFault:
    """A fault of one seam."""
    return SoundnessFault(words=words, seam_id=seam.id)
