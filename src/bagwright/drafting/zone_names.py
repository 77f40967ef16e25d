"""What forms call the parts of their pieces, so that a layer can be asked for one of them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from bagwright.drafting.measurements import Sizes
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.model.zones import ZoneName

BASE, FACES = "base", "front and back"


def box_zone_names(sizes: Sizes) -> tuple[ZoneName, ...]:
    """The parts of a boxed panel: half the base below, front or back above it, half a side to its left and right.

    Left and right as drawn. The sides may be three-cornered, as where front and back meet along the top.
    """
    wide, high, square = sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"] / 2
    middle, third = square + wide / 2, square + high / 3
    return (
        ZoneName(FACES, (middle, square + high / 2)),
        ZoneName(BASE, (middle, square / 2)),
        ZoneName("left side", (square / 3, third)),
        ZoneName("right side", (2 * square + wide - square / 3, third)),
    )


def name_whole_pieces(pattern: Pattern) -> Pattern:
    """The same with every flat piece that shares its role with others made a zone by itself, called as it is.

    So a layer can be asked for the round base of a bag whose wall is of the same cloth.
    """
    shared = Counter(piece.role for piece in pattern.pieces if not piece.is_bought)
    return replace(pattern, pieces=tuple(_named(piece, shared[piece.role]) for piece in pattern.pieces))


def _named(piece: Piece, sharing: int) -> Piece:
    if piece.is_bought or piece.bends or sharing < 2:
        return piece
    return replace(piece, zone_names=(*piece.zone_names, ZoneName(f"{piece.name[:1].lower()}{piece.name[1:]}")))
