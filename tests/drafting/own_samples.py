"""Invented pieces of a maker's own, and bags of them."""

from __future__ import annotations

from bagwright.geometry.corners import outline_of_run
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.found_piece import FoundPiece, OutlineKind
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import AssembledMeasure, Seam, SeamKind, SeamSide, Span
from bagwright.model.piece import EdgeUse, Piece

SIDES = ("bottom", "right", "top", "left")


def leaf(piece_id="leaf", *, width_mm=200.0, height_mm=150.0, count=2, **changes):
    """A rectangle whose top is hemmed and whose other edges are sewn."""
    given = {
        "name": piece_id.capitalize(),
        "role": "outer",
        "net": rectangle_outline(width_mm, height_mm),
        "allowance_mm": dict.fromkeys(SIDES, 10.0),
        "edge_use": {**dict.fromkeys(SIDES, EdgeUse.SEAM), "top": EdgeUse.HEM},
        "count": count,
    }
    return Piece(id=piece_id, **{**given, **changes})


def joined(seam_id, one, other, *, kind=SeamKind.LOCKSTITCH, length_mm):
    """Two whole edges, face to face: the second is walked backwards."""
    (a, copy_a, edge_a), (b, copy_b, edge_b) = one, other
    sides = (SeamSide(a, copy_a, edge_a, 0.0, length_mm), SeamSide(b, copy_b, edge_b, length_mm, 0.0))
    return Seam(id=seam_id, name=f"Sew {edge_a} to {edge_b}", kind=kind, order=1, sides=sides)


def pouch():
    """An open pouch of two leaves: hemmed, then sewn round three sides. Sound."""
    hems = tuple(
        Seam(
            id=f"hem-{n}", name=f"Hem {n}", kind=SeamKind.HEM, order=1, sides=(SeamSide("leaf", n, "top", 0.0, 200.0),)
        )
        for n in (1, 2)
    )
    pairs = (("bottom", "bottom", 200.0), ("right", "left", 150.0), ("left", "right", 150.0))
    seams = tuple(joined(a, ("leaf", 1, a), ("leaf", 2, b), length_mm=length) for a, b, length in pairs)
    width = AssembledMeasure(key="width_mm", asked_mm=200.0, spans=(Span("leaf", "bottom"),))
    return OwnPattern(pieces=(leaf(),), faces=("leaf",), seams=(*hems, *seams), measures=(width,))


def found(name="Front", *, kind=None, outline=None, **changes):
    """A piece as a reader finds it: by default a rectangle 200 x 150 of which the file says nothing more."""
    plain = outline or rectangle_outline(200, 150, dict(zip(SIDES, (f"edge_{n}" for n in range(1, 5)), strict=True)))
    return FoundPiece(name=name, place=f"path {name!r}", outline=plain, kind=kind, **changes)


ROUND_FOOT = outline_of_run(
    (
        Arc((0, 40), (40, 40), 90),
        Line((40, 0), (160, 0)),
        Arc((160, 0), (160, 40), 90),
        Line((200, 40), (200, 150)),
        Line((200, 150), (0, 150)),
        Line((0, 150), (0, 40)),
    )
)
"""A panel with rounded lower corners: its sides and bottom are one edge, its top the other."""
CUT = OutlineKind.CUT
