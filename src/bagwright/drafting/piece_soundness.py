"""The part of the proof that looks at one piece at a time: can it be cut, and are its marks on it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Line, Point
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import CLOSURE_MM
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.piece import EdgeUse, Mirror, Piece

ON_LINE_MM = 0.01
CHORD_MM = 0.01


def _outline_is_closed_and_simple(piece: Piece) -> Iterator[str]:
    edges = piece.net.edges
    for edge, following in zip(edges, (*edges[1:], edges[0]), strict=True):
        if math.dist(edge.end, following.start) > CLOSURE_MM:
            yield f"{piece.id}: {edge.name} does not meet {following.name}"
        if edge.length_mm <= ON_LINE_MM:
            yield f"{piece.id}: {edge.name} has no length"
    fault = ring_fault(piece.net.ring(CHORD_MM))
    if fault:
        yield f"{piece.id}: the net line {fault}"


def _is_drawable(piece: Piece) -> bool:
    return not any(_outline_is_closed_and_simple(piece))


def _edges_have_use_and_allowance(piece: Piece) -> Iterator[str]:
    names = {edge.name for edge in piece.net.edges}
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


def _cut_line_goes_round_the_net_line(piece: Piece) -> Iterator[str]:
    if not all(0 <= width < math.inf for width in piece.allowance_mm.values()) or not _is_drawable(piece):
        return
    try:
        cut = cut_region(piece.net, piece.allowance_mm, CHORD_MM)
    except BrokenPromise as fault:
        yield f"{piece.id}: the cut line fails ({fault})"
        return
    if len(list(cut.parts())) != 1:
        yield f"{piece.id}: what is cut falls into parts"
    if not cut.holds(piece.net.region(CHORD_MM), slack_mm=ON_LINE_MM):
        yield f"{piece.id}: the net line leaves the cut line"


def _marks_lie_on_the_piece(piece: Piece) -> Iterator[str]:
    lengths = {edge.name: edge.length_mm for edge in piece.net.edges}
    for notch in piece.notches:
        if notch.edge not in lengths:
            yield f"{piece.id}: a notch on {notch.edge}, which is no edge"
        elif not -ON_LINE_MM <= notch.at_mm <= lengths[notch.edge] + ON_LINE_MM:
            yield f"{piece.id}: a notch at {notch.at_mm:.2f} mm lies off {notch.edge} ({lengths[notch.edge]:.2f} mm)"
    names = [line.name for line in piece.lines]
    for line in piece.lines:
        if names.count(line.name) > 1 or line.name in lengths:
            yield f"{piece.id}: the name {line.name!r} is taken twice"
    if not _is_drawable(piece):
        return
    net = piece.net.region(CHORD_MM, "right")
    for name, thread in [(line.name, _thread(line.start, line.end)) for line in piece.lines] + [
        (mark.name, _thread(mark.at, mark.at)) for mark in piece.drill_marks
    ]:
        if not net.holds(thread, slack_mm=ON_LINE_MM):
            yield f"{piece.id}: {name} leaves the piece"


def _thread(start: Point, end: Point) -> Region:
    """A line or point as the thinnest region that can be asked for: half of `ON_LINE_MM` wide."""
    run = math.dist(start, end)
    dx, dy = ((end[0] - start[0]) / run, (end[1] - start[1]) / run) if run else (1.0, 0.0)
    half = ON_LINE_MM / 4
    corners = ((start, -1, -1), (end, 1, -1), (end, 1, 1), (start, -1, 1))
    return Region.from_ring([(p[0] + half * (a * dx - c * dy), p[1] + half * (a * dy + c * dx)) for p, a, c in corners])


def _counts_can_be_cut(piece: Piece) -> Iterator[str]:
    if piece.count < 1:
        yield f"{piece.id} is cut {piece.count} times"
    if piece.mirror is Mirror.PAIRS and piece.count % 2:
        yield f"{piece.id} is cut in mirrored pairs, but {piece.count} times"
    if not math.isfinite(piece.grain_deg):
        yield f"{piece.id} has no grain direction"


PIECE_CHECKS: Mapping[str, Callable[[Piece], Iterator[str]]] = {
    "net lines are closed and do not cross themselves": _outline_is_closed_and_simple,
    "every edge has a use, and cloth outside it where it is sewn": _edges_have_use_and_allowance,
    "cut lines go round the net lines, in one part": _cut_line_goes_round_the_net_line,
    "notches and lines lie on their pieces": _marks_lie_on_the_piece,
    "counts can be cut, pairs are even": _counts_can_be_cut,
}
