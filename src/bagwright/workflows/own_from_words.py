"""Her own pieces and seams out of JSON: what cannot be cut, or runs along nothing, is refused with its place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from bagwright.drafting.own_pieces import accept_own
from bagwright.drafting.own_start import USUAL_ALLOWANCE_MM
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.chains import Run, closed_edges
from bagwright.geometry.corners import loop_fault
from bagwright.geometry.curves import Point
from bagwright.geometry.outline import Edge, Outline
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import AssembledMeasure, Seam, SeamSide, Span
from bagwright.model.piece import DrillMark, EdgeUse, Notch, Piece, PlacementLine
from bagwright.output.drawn_lines import DrawnLine, refuse_floods
from bagwright.workflows.contracts import Faults
from bagwright.workflows.own_words import ROLES, EdgeWords, OwnPieceWords, OwnWords, SeamWords, SideWords, point_of

GAP_MM = 0.01
"""How far apart two edges may be written that meet."""
LENGTH_MM = 0.5


def own_from(words: OwnWords) -> OwnPattern:
    """The pattern behind the words. Raises `FaultyInput` with every fault of pieces that cannot be cut."""
    faults = Faults()
    pieces: list[Piece] = []
    for number, one in enumerate(words.pieces):
        with faults:
            pieces.append(_piece(one, f"pieces[{number}]"))
    faults.raise_if_any()
    by_id = {piece.id: piece for piece in pieces}
    seams = []
    for number, seam in enumerate(words.seams):
        with faults:
            seams.append(_seam(seam, f"seams[{number}]", by_id))
    faults.raise_if_any()
    measures = tuple(
        AssembledMeasure(
            key=one.key, asked_mm=one.asked_mm, spans=tuple(Span(s.piece_id, s.edge, s.factor) for s in one.spans)
        )
        for one in words.measures
    )
    faces = tuple(one.id for one in words.pieces if one.is_face)
    return accept_own(OwnPattern(pieces=tuple(pieces), faces=faces, seams=tuple(seams), measures=measures))


def _piece(words: OwnPieceWords, place: str) -> Piece:
    problems = list(_piece_problems(words, place))
    if problems:
        raise FaultyInput(problems)
    net = _outline(words.edges, f"{place}.edges")
    return Piece(
        id=words.id,
        name=words.name or words.id,
        role=words.role,
        net=net,
        allowance_mm={edge.name: _allowance_mm(edge) for edge in words.edges},
        edge_use={edge.name: edge.use for edge in words.edges},
        count=words.count,
        mirror=words.mirror,
        grain_deg=words.grain_deg,
        notches=tuple(Notch(notch.edge, notch.at_mm) for notch in words.notches),
        lines=tuple(PlacementLine(line.name, point_of(line.start), point_of(line.end)) for line in words.lines),
        drill_marks=tuple(DrillMark(mark.name, point_of(mark.at)) for mark in words.drill_marks),
    )


def _piece_problems(words: OwnPieceWords, place: str) -> Iterator[Problem]:
    if words.role not in ROLES:
        yield _problem(f"{place}.role", words.role, "is no part of a bag known here", ", ".join(ROLES))
    names = [edge.name for edge in words.edges]
    for number, name in enumerate(names):
        if names.count(name) > 1:
            yield _problem(f"{place}.edges[{number}].name", name, "is used more than once", "each name once")


def _allowance_mm(edge: EdgeWords) -> float:
    if edge.allowance_mm is not None:
        return edge.allowance_mm
    return USUAL_ALLOWANCE_MM if edge.use in (EdgeUse.SEAM, EdgeUse.HEM) else 0.0


def _outline(edges: Sequence[EdgeWords], place: str) -> Outline:
    runs = [tuple(curve.curve() for curve in edge.curves) for edge in edges]
    refuse_floods([DrawnLine(place=f"{place}[{n}]", run=run, is_closed=False) for n, run in enumerate(runs)])
    problems = [*_gaps(edges, runs, place)]
    if not problems:
        loop = [curve for run in runs for curve in run]
        fault = loop_fault(loop)
        if not fault and math.fsum(curve.swept_area_mm2() for curve in loop) <= 0:
            fault = "runs clockwise"
        if fault:
            allowed = "edges in order, counter-clockwise, along a closed line that does not cross itself"
            problems = [_problem(place, "", fault, allowed)]
    if problems:
        raise FaultyInput(problems)
    closed = closed_edges(runs)
    return Outline(tuple(Edge(edge.name, run) for edge, run in zip(edges, closed, strict=True)))


def _gaps(edges: Sequence[EdgeWords], runs: Sequence[Run], place: str) -> Iterator[Problem]:
    places = [(f"{place}[{n}].curves[{m}]", curve) for n, run in enumerate(runs) for m, curve in enumerate(run)]
    for (here, curve), (_, before) in zip(places, [places[-1], *places[:-1]], strict=True):
        gap_mm = math.dist(before.end, curve.start)
        if gap_mm > GAP_MM:
            what = f"starts {gap_mm:.2f} mm from where the curve before it ends"
            yield _problem(here, _shown(curve.start), what, f"curves end to end, within {GAP_MM:g} mm")
    for number, (edge, run) in enumerate(zip(edges, runs, strict=True)):
        length_mm = math.fsum(curve.length_mm for curve in run)
        if edge.length_mm is not None and abs(edge.length_mm - length_mm) > LENGTH_MM:
            what = f"is not its length, which is {length_mm:.2f} mm"
            yield _problem(f"{place}[{number}].length_mm", f"{edge.length_mm:g}", what, "its length, or nothing")


def _shown(point: Point) -> str:
    return f"[{point[0]:g}, {point[1]:g}]"


def _seam(words: SeamWords, place: str, pieces: Mapping[str, Piece]) -> Seam:
    faults = Faults()
    sides: list[SeamSide] = []
    for number, side in enumerate(words.sides):
        with faults:
            sides.append(_side(side, f"{place}.sides[{number}]", pieces))
    faults.raise_if_any()
    return Seam(id=words.id, name=words.name or words.id, kind=words.kind, order=1, sides=tuple(sides), rows=words.rows)


def _side(words: SideWords, place: str, pieces: Mapping[str, Piece]) -> SeamSide:
    piece = pieces.get(words.piece_id)
    if piece is None:
        raise FaultyInput([_problem(f"{place}.piece_id", words.piece_id, "is no piece here", ", ".join(pieces))])
    names = [*(edge.name for edge in piece.net.edges), *(line.name for line in piece.lines)]
    if words.edge not in names:
        what = f"is no edge or line of {words.piece_id}"
        raise FaultyInput([_problem(f"{place}.edge", words.edge, what, ", ".join(names))])
    whole = piece.edge(words.edge).length_mm
    start, end = (words.from_mm or 0.0), (whole if words.to_mm is None else words.to_mm)
    if words.backwards:
        if words.from_mm is not None or words.to_mm is not None:
            what = "is said of a stretch that has ends already"
            raise FaultyInput([_problem(f"{place}.backwards", "true", what, "from_mm above to_mm instead")])
        start, end = whole, 0.0
    # Lengths are printed to a millionth: what is off by less than half a hundredth is the end of the edge.
    start, end = (whole if whole < mm < whole + GAP_MM / 2 else mm for mm in (start, end))
    return SeamSide(words.piece_id, words.copy_, words.edge, start, end, words.folds, words.ease_mm)


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Correct it there.")
