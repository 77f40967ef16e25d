"""The part of the proof that looks at one piece at a time: can it be cut, and are its marks on it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Line, Point
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import CLOSURE_MM, Outline
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.piece import EdgeUse, Mirror, Piece

ON_LINE_MM = 0.01
CHORD_MM = 0.01


@dataclass(frozen=True, slots=True)
class Shape:
    """What the proof has to say of a net line and the cut line round it, whatever piece they belong to."""

    net_faults: tuple[str, ...]
    cut_faults: tuple[str, ...]
    lengths_mm: Mapping[str, float]

    @classmethod
    def of(cls, net: Outline, allowance_mm: Mapping[str, float]) -> Shape:
        """Judge the two lines."""
        lengths = {edge.name: edge.length_mm for edge in net.edges}
        net_faults = tuple(_net_faults(net, lengths))
        can_cut = not net_faults and all(0 <= width < math.inf for width in allowance_mm.values())
        return cls(net_faults, tuple(_cut_faults(net, allowance_mm)) if can_cut else (), lengths)


def shapes_of(pieces: Sequence[Piece]) -> list[Shape]:
    """The shape of each piece; pieces of the same net and allowances (outer and lining) have it judged once."""
    judged: dict[tuple[Outline, tuple[tuple[str, float], ...]], Shape] = {}
    shapes = []
    for piece in pieces:
        key = piece.net, tuple(piece.allowance_mm.items())
        if key not in judged:
            judged[key] = Shape.of(piece.net, piece.allowance_mm)
        shapes.append(judged[key])
    return shapes


def _net_faults(net: Outline, lengths_mm: Mapping[str, float]) -> Iterator[str]:
    for edge, following in zip(net.edges, (*net.edges[1:], net.edges[0]), strict=True):
        if math.dist(edge.end, following.start) > CLOSURE_MM:
            yield f"{edge.name} does not meet {following.name}"
        if lengths_mm[edge.name] <= ON_LINE_MM:
            yield f"{edge.name} has no length"
    fault = ring_fault(net.ring(CHORD_MM))
    if fault:
        yield f"the net line {fault}"


def _cut_faults(net: Outline, allowance_mm: Mapping[str, float]) -> Iterator[str]:
    try:
        cut = cut_region(net, allowance_mm, CHORD_MM)
    except BrokenPromise as fault:
        yield f"the cut line fails ({fault})"
        return
    if len(list(cut.parts())) != 1:
        yield "what is cut falls into parts"
    if not cut.holds(net.region(CHORD_MM), slack_mm=ON_LINE_MM):
        yield "the net line leaves the cut line"


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
    if not shape.net_faults:
        yield from (f"{piece.id}: {name} leaves the piece" for name in _marks_off(piece))


def _marks_off(piece: Piece) -> Iterator[str]:
    """Lines and drill marks that do not lie on the piece. Only those that leave it by a hair need a closer look."""
    marks = [(line.name, (line.start, line.end)) for line in piece.lines]
    marks += [(mark.name, (mark.at, mark.at)) for mark in piece.drill_marks]
    lost = [name for name, ends in marks if not math.isfinite(math.dist(*ends))]
    yield from lost
    if len(marks) == len(lost):
        return
    net = piece.net.region(CHORD_MM, "right")
    asked = [(name, ends) for name, ends in marks if name not in lost]
    for (name, ends), is_held in zip(asked, net.holds_lines([ends for _, ends in asked]), strict=True):
        if not is_held and not _is_held_but_for_a_hair(net, *ends):
            yield name


def _is_held_but_for_a_hair(net: Region, start: Point, end: Point) -> bool:
    """Asked of a thread half of `ON_LINE_MM` wide, the thinnest region that can be asked for."""
    run = math.dist(start, end)
    dx, dy = ((end[0] - start[0]) / run, (end[1] - start[1]) / run) if run else (1.0, 0.0)
    half = ON_LINE_MM / 4
    corners = ((start, -1, -1), (end, 1, -1), (end, 1, 1), (start, -1, 1))
    thread = [(p[0] + half * (a * dx - c * dy), p[1] + half * (a * dy + c * dx)) for p, a, c in corners]
    return net.holds(Region.from_ring(thread), slack_mm=ON_LINE_MM)


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
