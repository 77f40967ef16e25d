"""Whether a pattern's seams bring the ends of an edge together: a side walked the wrong way round does."""

from __future__ import annotations

from collections import Counter
from functools import cache

from bagwright.model.pattern import Pattern, Seam, SeamSide
from bagwright.model.piece import EdgeUse

Corner = tuple[str, int, float, float]
CopyEdge = tuple[str, int, str]


def edges_closed_on_themselves(pattern: Pattern) -> list[CopyEdge]:
    """Seam edges whose two ends are brought together when the ends of all seams are.

    None of these bags has a ring of cloth but piping, which goes round its cord and may go round a base; so elsewhere
    that happens only where a side is walked the wrong way round. Edges sewn folded on themselves are left out.
    """
    pieces = {piece.id: piece for piece in pattern.pieces}
    glued: dict[Corner, Corner] = {}

    edge_of = cache(lambda piece_id, name: pieces[piece_id].edge(name))

    @cache
    def place(piece_id: str, edge: str, at_mm: float) -> tuple[float, float]:
        x, y = edge_of(piece_id, edge).at(at_mm)
        return round(x, 2), round(y, 2)

    def ends(side: SeamSide) -> tuple[Corner, Corner]:
        piece_id, copy, edge = side.piece_id, side.copy, side.edge
        return (piece_id, copy, *place(piece_id, edge, side.from_mm)), (
            piece_id,
            copy,
            *place(piece_id, edge, side.to_mm),
        )

    def root(corner: Corner) -> Corner:
        while (onto := glued.get(corner, corner)) != corner:
            corner = onto
        return corner

    folded: set[CopyEdge] = set()
    for seam in pattern.seams:
        if not seam.kind.joins:
            continue
        if on_itself := _folded_on_itself(seam):
            folded |= on_itself
            continue
        first, *others = seam.sides
        start, end = ends(first)
        for side in others:
            its_start, its_end = ends(side)
            glued[root(its_start)] = root(start)
            glued[root(its_end)] = root(end)
    return [
        (piece.id, copy, edge.name)
        for piece in pattern.pieces
        if piece.role != "piping"
        for edge in piece.net.edges
        if piece.edge_use[edge.name] is EdgeUse.SEAM
        for copy in range(1, piece.count + 1)
        if (piece.id, copy, edge.name) not in folded
        and root((piece.id, copy, *place(piece.id, edge.name, 0.0)))
        == root((piece.id, copy, *place(piece.id, edge.name, edge.length_mm)))
    ]


def _folded_on_itself(seam: Seam) -> set[CopyEdge]:
    """Edges that the seam meets more than once, or folded."""
    edges = {(side.piece_id, side.copy, side.edge) for side in seam.sides}
    if len(edges) == len(seam.sides) and all(side.folds == 1 for side in seam.sides):
        return set()
    sides = set(seam.sides)
    met = Counter((side.piece_id, side.copy, side.edge) for side in sides)
    return {edge for edge, times in met.items() if times > 1} | {
        (side.piece_id, side.copy, side.edge) for side in sides if side.folds > 1
    }
