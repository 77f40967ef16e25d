"""From what was found in a drawing to a pattern of the maker's own: which line it is, allowances, uses of edges."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from bagwright.drafting.own_pieces import accept_own, free_id
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.inset import net_within
from bagwright.geometry.nearest import nearest_place
from bagwright.geometry.outline import Edge, Outline
from bagwright.model.found_piece import FoundPiece, OutlineKind
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.piece import EdgeUse, Notch, Piece, PlacementLine

USUAL_ALLOWANCE_MM = 9.525
"""3/8 in. Common practice, no source."""
WIDEST_ALLOWANCE_MM = 100.0
_LEAST_LINE_MM = 1.0
_UPRIGHT_DEG = 90.0


@dataclass(frozen=True, slots=True)
class StartSettings:
    """What a file leaves open: which line its outlines are, how wide the seam allowance is, what they are cut from."""

    line: OutlineKind = OutlineKind.STITCH
    allowance_mm: float = USUAL_ALLOWANCE_MM
    role: str = "outer"


def add_found(own: OwnPattern | None, found: Sequence[FoundPiece], settings: StartSettings) -> OwnPattern:
    """Her pattern with these pieces added, every edge of theirs to be sewn, and every outer piece a face.

    Raises `FaultyInput` for every piece that cannot be cut with that allowance.
    """
    kept = own or OwnPattern(pieces=())
    taken = {piece.id for piece in kept.pieces}
    fresh: list[Piece] = []
    problems: list[Problem] = []
    for one in found:
        piece_id = free_id(one.name, taken)
        taken.add(piece_id)
        try:
            fresh.append(own_piece(one, piece_id, settings))
        except FaultyInput as fault:
            problems += [replace(problem, place=f"{one.place}: {problem.place}") for problem in fault.problems]
    if problems:
        raise FaultyInput(problems)
    faces = tuple(piece.id for piece in fresh if piece.role == "outer")
    return accept_own(replace(kept, pieces=(*kept.pieces, *fresh), faces=(*kept.faces, *faces)))


def own_piece(found: FoundPiece, piece_id: str, settings: StartSettings) -> Piece:
    """One found piece as a piece of hers. Raises `FaultyInput` if the allowance does not fit inside its cut line."""
    kind = found.kind or settings.line
    widths = {edge.name: 0.0 if edge.name == found.fold_edge else settings.allowance_mm for edge in found.outline.edges}
    if found.allowance_mm:
        widths = dict(found.allowance_mm)
    net = found.outline if kind is OutlineKind.STITCH else net_within(found.outline, widths)
    renamed = {edge.name: f"edge_{number}" for number, edge in enumerate(net.edges, start=1)}
    named = Outline(tuple(Edge(renamed[edge.name], edge.curves) for edge in net.edges))
    fold = renamed.get(found.fold_edge, "")
    return Piece(
        id=piece_id,
        name=found.name,
        role=settings.role,
        net=named,
        allowance_mm={renamed[name]: width for name, width in widths.items() if name in renamed},
        edge_use={edge.name: EdgeUse.FOLD if edge.name == fold else EdgeUse.SEAM for edge in named.edges},
        grain_deg=_UPRIGHT_DEG if found.grain_deg is None else found.grain_deg,
        notches=tuple(_notches(found, named)),
        lines=tuple(_lines(found.lines, named)),
        drill_marks=tuple(m for m in found.drill_marks if named.region(0.01).holds_lines([(m.at, m.at)])[0]),
    )


def _notches(found: FoundPiece, net: Outline) -> Iterator[Notch]:
    """Notches where they were, on the net line that was found inside the cut line."""
    for notch in found.notches:
        at = found.outline.edge(notch.edge).at(notch.at_mm)
        spots = {edge.name: nearest_place(edge.curves, at) for edge in net.edges}
        name = min(spots, key=lambda edge: spots[edge][1])
        yield Notch(name, min(spots[name][0], net.edge(name).length_mm))


def _lines(lines: Sequence[PlacementLine], net: Outline) -> Iterator[PlacementLine]:
    inside = net.region(0.01)
    for line in lines:
        stretch = inside.stretch_inside(line.start, line.end)
        if stretch and math.dist(*stretch) > _LEAST_LINE_MM:
            yield PlacementLine(line.name, *stretch)
