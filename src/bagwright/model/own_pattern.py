"""A pattern of the maker's own: pieces she brought, how she sews them together, what the bag must measure."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.pattern import AssembledMeasure, Seam
from bagwright.model.piece import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPattern:
    """Pieces with their uses and allowances, seams in the order of work, and measures to prove, if any were asked.

    `faces` are the ids of pieces that are faces of the bag, whose body matters. It may be half done: edges that are
    sewn to nothing yet are told by the proof, not refused.
    """

    pieces: tuple[Piece, ...]
    faces: tuple[str, ...] = ()
    seams: tuple[Seam, ...] = ()
    measures: tuple[AssembledMeasure, ...] = ()
