"""The part of the proof that looks at one piece at a time: can it be cut, and are its marks on it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from bagwright.drafting.piece_shapes import ON_LINE_MM, Shape
from bagwright.geometry.curves import Line
from bagwright.model.piece import EdgeUse, Mirror, Piece


def _outline_is_closed_and_simple(piece: Piece, shape: Shape) -> Iterator[str]:
    yield from (f"{piece.id}: {fault}" for fault in shape.net_faults)


def _edges_have_use_and_allowance(piece: Piece, shape: Shape) -> Iterator[str]:
    names = set(shape.lengths_mm)
    if set(piece.edge_use) != names:
        yield f"{piece.id}: uses are declared for {sorted(piece.edge_use)}, its edges are {sorted(names)}"
        return
    yield from (f"{piece.id}: an allowance for {name}, which is no edge" for name in set(piece.allowance_mm) - names)
    for name, use in piece.edge_use.items():
        allowance = piece.allowance_mm.get(name)
        if allowance is None and use in (EdgeUse.SEAM, EdgeUse.HEM):
            yield f"{piece.id}: {name} has no seam allowance"
        if allowance is not None and not 0 <= allowance < math.inf:
            yield f"{piece.id}: {name} has the allowance {allowance} mm"
        if allowance and use is EdgeUse.FOLD:
            yield f"{piece.id}: {name} lies on the fold, so it takes no allowance"
    folds = [edge for edge in piece.net.edges if piece.edge_use[edge.name] is EdgeUse.FOLD]
    if len(folds) > 1 or any(len(edge.curves) > 1 or not isinstance(edge.curves[0], Line) for edge in folds):
        yield f"{piece.id}: only one edge, and a straight one, can lie on the fold"


def _cut_line_goes_round_the_net_line(piece: Piece, shape: Shape) -> Iterator[str]:
    yield from (f"{piece.id}: {fault}" for fault in shape.cut_faults)


def _marks_lie_on_the_piece(piece: Piece, shape: Shape) -> Iterator[str]:
    lengths = shape.lengths_mm
    for notch in piece.notches:
        if notch.edge not in lengths:
            yield f"{piece.id}: a notch on {notch.edge}, which is no edge"
        elif not -ON_LINE_MM <= notch.at_mm <= lengths[notch.edge] + ON_LINE_MM:
            yield f"{piece.id}: a notch at {notch.at_mm:.2f} mm lies off {notch.edge} ({lengths[notch.edge]:.2f} mm)"
    names = [line.name for line in piece.lines]
    for line in piece.lines:
        if names.count(line.name) > 1 or line.name in lengths:
            yield f"{piece.id}: the name {line.name!r} is taken twice"
    yield from (f"{piece.id}: {name} leaves the piece" for name in shape.marks_off)


def _counts_can_be_cut(piece: Piece, shape: Shape) -> Iterator[str]:
    if piece.count < 1:
        yield f"{piece.id} is cut {piece.count} times"
    if piece.mirror is Mirror.PAIRS and piece.count % 2:
        yield f"{piece.id} is cut in mirrored pairs, but {piece.count} times"
    if not math.isfinite(piece.grain_deg):
        yield f"{piece.id} has no grain direction"


PIECE_CHECKS: Mapping[str, Callable[[Piece, Shape], Iterator[str]]] = {
    "net lines are closed and do not cross themselves": _outline_is_closed_and_simple,
    "every edge has a use, and cloth outside it where it is sewn": _edges_have_use_and_allowance,
    "cut lines go round the net lines, in one part": _cut_line_goes_round_the_net_line,
    "notches and lines lie on their pieces": _marks_lie_on_the_piece,
    "counts can be cut, pairs are even": _counts_can_be_cut,
}
