"""The net and cut lines of a pattern's pieces, and the marks within, judged for the proof of soundness.

Most are plainly sound, which a few calls say of all of them at once; only the others are looked at one by one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Point
from bagwright.geometry.many_regions import each_holds, each_holds_line, simple_regions
from bagwright.geometry.offset import cut_region, plain_cut_regions
from bagwright.geometry.outline import CLOSURE_MM, Outline
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.piece import Piece

ON_LINE_MM = 0.01
CHORD_MM = 0.01


@dataclass(frozen=True, slots=True)
class Shape:
    """What the proof has to say of the lines of a piece; `marks_off`: lines and drill marks that do not lie on it."""

    net_faults: tuple[str, ...]
    cut_faults: tuple[str, ...]
    lengths_mm: Mapping[str, float]
    marks_off: tuple[str, ...]


def shapes_of(pieces: Sequence[Piece]) -> list[Shape]:
    """The shape of each piece; pieces of the same net and allowances (outer, lining) have their lines judged once."""
    places: dict[tuple[Outline, tuple[tuple[str, float], ...]], int] = {}
    at = [places.setdefault((piece.net, tuple(piece.allowance_mm.items())), len(places)) for piece in pieces]
    nets = _measured([line for line, _ in places])
    cut_faults = _cut_faults(nets, [dict(allowances) for _, allowances in places])
    marks_off = _marks_off(pieces, [nets[place] for place in at])
    return [
        Shape(nets[place].faults, cut_faults[place], nets[place].lengths_mm, tuple(lost))
        for place, lost in zip(at, marks_off, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class _Net:
    """A net line measured. `inside`, and `widest` with curves only ever grown: where they are plainly simple."""

    line: Outline
    lengths_mm: Mapping[str, float]
    faults: tuple[str, ...]
    inside: Region | None
    widest: Region | None


def _measured(lines: Sequence[Outline]) -> list[_Net]:
    rings = [line.ring(CHORD_MM) for line in lines]
    curved = [line for line in lines if not line.is_straight]
    regions = simple_regions([*rings, *(line.ring(CHORD_MM, "right") for line in curved)])
    grown = iter(regions[len(lines) :])
    nets = []
    for line, ring, inside in zip(lines, rings, regions[: len(lines)], strict=True):
        lengths = {edge.name: edge.length_mm for edge in line.edges}
        faults = tuple(_net_faults(line, lengths, "" if inside else ring_fault(ring)))
        nets.append(_Net(line, lengths, faults, inside, inside if line.is_straight else next(grown)))
    return nets


def _net_faults(line: Outline, lengths_mm: Mapping[str, float], of_ring: str) -> Iterator[str]:
    for edge, following in zip(line.edges, (*line.edges[1:], line.edges[0]), strict=True):
        if math.dist(edge.end, following.start) > CLOSURE_MM:
            yield f"{edge.name} does not meet {following.name}"
        if lengths_mm[edge.name] <= ON_LINE_MM:
            yield f"{edge.name} has no length"
    if of_ring:
        yield f"the net line {of_ring}"


def _cut_faults(nets: Sequence[_Net], allowances_mm: Sequence[Mapping[str, float]]) -> list[tuple[str, ...]]:
    """Those of each cut line that can be drawn at all."""
    can_cut = {
        place
        for place, (net, allowance_mm) in enumerate(zip(nets, allowances_mm, strict=True))
        if not net.faults and all(0 <= width < math.inf for width in allowance_mm.values())
    }
    simple = [place for place in can_cut if nets[place].widest]
    plain = plain_cut_regions([(nets[place].line, allowances_mm[place]) for place in simple], CHORD_MM)
    pairs = [
        (place, cut, inside)
        for place, cut in zip(simple, plain, strict=True)
        if cut and len(list(cut.parts())) == 1 and (inside := nets[place].inside)
    ]
    held = each_holds([cut for _, cut, _ in pairs], [inside for *_, inside in pairs])
    doubtful = can_cut - {place for (place, *_), is_held in zip(pairs, held, strict=True) if is_held}
    return [
        tuple(_found_in_cut(net.line, allowance_mm)) if place in doubtful else ()
        for place, (net, allowance_mm) in enumerate(zip(nets, allowances_mm, strict=True))
    ]


def _found_in_cut(net: Outline, allowance_mm: Mapping[str, float]) -> Iterator[str]:
    try:
        cut = cut_region(net, allowance_mm, CHORD_MM)
    except BrokenPromise as fault:
        yield f"the cut line fails ({fault})"
        return
    if len(list(cut.parts())) != 1:
        yield "what is cut falls into parts"
    if not cut.holds(net.region(CHORD_MM), slack_mm=ON_LINE_MM):
        yield "the net line leaves the cut line"


def _marks_off(pieces: Sequence[Piece], nets: Sequence[_Net]) -> list[list[str]]:
    """Lines and drill marks of each piece that do not lie on it, if its net line has no faults."""
    lost: list[list[str]] = [[] for _ in pieces]
    asked: list[tuple[int, str, tuple[Point, Point]]] = []
    for place, piece in enumerate(pieces):
        for name, ends in () if nets[place].faults else _marks(piece):
            if math.isfinite(math.dist(*ends)):
                asked.append((place, name, ends))
            else:
                lost[place].append(name)
    insides = {place: nets[place].widest or nets[place].line.region(CHORD_MM, "right") for place, *_ in asked}
    held = each_holds_line([insides[place] for place, *_ in asked], [ends for *_, ends in asked])
    for (place, name, ends), is_held in zip(asked, held, strict=True):
        if not is_held and not _is_held_but_for_a_hair(insides[place], *ends):
            lost[place].append(name)
    return lost


def _marks(piece: Piece) -> Iterator[tuple[str, tuple[Point, Point]]]:
    yield from ((line.name, (line.start, line.end)) for line in piece.lines)
    yield from ((mark.name, (mark.at, mark.at)) for mark in piece.drill_marks)


def _is_held_but_for_a_hair(net: Region, start: Point, end: Point) -> bool:
    """Asked of a thread half of `ON_LINE_MM` wide, the thinnest region that can be asked for."""
    run = math.dist(start, end)
    dx, dy = ((end[0] - start[0]) / run, (end[1] - start[1]) / run) if run else (1.0, 0.0)
    half = ON_LINE_MM / 4
    corners = ((start, -1, -1), (end, 1, -1), (end, 1, 1), (start, -1, 1))
    thread = [(p[0] + half * (a * dx - c * dy), p[1] + half * (a * dy + c * dx)) for p, a, c in corners]
    return net.holds(Region.from_ring(thread), slack_mm=ON_LINE_MM)
