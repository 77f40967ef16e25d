"""Strips of `bagwright lay` that are not laid each by itself: out of bands across the cloth, or on the bias."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from pydantic import Field

from bagwright.errors import FaultyInput, Problem
from bagwright.model.bands import Band, StripWay
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.units import UnitSystem, print_cloth_length, print_length
from bagwright.workflows.contracts import Contract
from bagwright.workflows.json_text import shown
from bagwright.workflows.recutting import LaidBlock, cut_as
from bagwright.workflows.strip_shapes import STRIP_RATIO, grain_off_deg, lies_on_bias, strip_sides_mm

LEAST_STRIP_MM = 1.0
MOST_BIAS_MM = 1_000_000.0


class LaidStripWords(Contract):
    """How strips are cut: those of one piece, or all that have no wish of their own."""

    way: StripWay = Field(description="one of: " + ", ".join(StripWay))
    piece_id: str = Field(
        default="", max_length=200, description="the id of a piece, up to 200 characters, or empty for all strips"
    )


@dataclass(frozen=True, slots=True)
class CutStrips:
    """What is laid in the place of strips: the request, blocks that bias strips come out of, shapes that are new."""

    request: LayRequest
    blocks: tuple[LaidBlock, ...]
    shapes: tuple[LayPiece, ...]


def cut_strips(
    request: LayRequest, wishes: Sequence[LaidStripWords], *, join_mm: float, least_part_mm: float
) -> CutStrips:
    """The request with its strips cut as is wished. Raises `FaultyInput` with every wish that cannot be."""
    ways = _ways(request, wishes)
    try:
        cut, blocks = cut_as(request, ways, join_mm=join_mm, least_part_mm=least_part_mm)
    except FaultyInput as fault:
        raise FaultyInput(
            replace(one, place="strip_wishes") if one.place == "strips" else one for one in fault.problems
        ) from None
    own = {piece.id for piece in request.pieces}
    times = Counter(piece.id for piece in cut.pieces)
    taken = [
        _problem(f"pieces[{number}].id", piece.id, "is what a part of a strip is called", "another name", "Rename it.")
        for number, piece in enumerate(request.pieces)
        if times[piece.id] > 1
    ]
    if taken:
        raise FaultyInput(taken)
    return CutStrips(cut, blocks, tuple(piece for piece in cut.pieces if piece.id not in own))


def _ways(request: LayRequest, wishes: Sequence[LaidStripWords]) -> dict[str, StripWay]:
    """The way of each piece that has one: a wish for the piece goes before one for all, the first before the next."""
    pieces = {piece.id: piece for piece in request.pieces}
    problems = list(_wish_faults(pieces, wishes))
    if problems:
        raise FaultyInput(problems)
    ways = {wish.piece_id: wish.way for wish in wishes if wish.piece_id}
    for wish in wishes:
        suiting = [] if wish.piece_id else [name for name, piece in pieces.items() if not _lacks(piece, wish.way)]
        ways |= {name: wish.way for name in suiting if name not in ways}
    problems = [*_narrow(request, ways), *_too_long(pieces, ways)]
    if problems:
        raise FaultyInput(problems)
    return {name: way for name, way in ways.items() if way is not StripWay.LAID}


def _wish_faults(pieces: Mapping[str, LayPiece], wishes: Sequence[LaidStripWords]) -> Iterator[Problem]:
    times = Counter(wish.piece_id for wish in wishes if wish.piece_id)
    for number, wish in enumerate(wishes):
        place, name = f"strip_wishes[{number}]", shown(wish.piece_id)
        if times[wish.piece_id] > 1:
            yield _problem(f"{place}.piece_id", name, "has more than one wish", "one for each piece", "Leave one.")
        elif wish.piece_id and wish.piece_id not in pieces:
            remedy = "Correct it, or leave the wish out."
            yield _problem(f"{place}.piece_id", name, "is none of the pieces", "the id of a piece, or empty", remedy)
        elif wish.piece_id and (lack := _lacks(pieces[wish.piece_id], wish.way)):
            what, remedy = f"can't be cut as {wish.way.value}: {lack}", "Leave the wish out, or correct the piece."
            yield _problem(f"{place}.piece_id", name, what, _allowed(wish.way), remedy)
        elif not wish.piece_id and all(_lacks(piece, wish.way) for piece in pieces.values()):
            what, remedy = "suits none of the pieces", "Leave the wish out, or name a piece to be told why."
            yield _problem(f"{place}.way", wish.way.value, what, _allowed(wish.way), remedy)


def _lacks(piece: LayPiece, way: StripWay) -> str:
    """Why a piece cannot be cut so; empty if it can."""
    if way is StripWay.LAID:
        return ""
    if strip_sides_mm(piece.region) is None:
        return "it is no strip"
    if piece.goes_on or piece.anchor:
        return "it keeps to the print"
    turns = piece.turns_deg
    is_bias = turns is not None and lies_on_bias(grain_off_deg(piece.region, -turns[0]))
    if way.is_bias:
        return "" if is_bias else "it does not lie slantwise on the cloth"
    return "it lies slantwise on the cloth" if is_bias else ""


def _allowed(way: StripWay) -> str:
    strip = f"a rectangle at least {STRIP_RATIO:g} times as long as wide, without anchor, match and goes_on"
    return f"{strip}, {'turned by 45 degrees' if way.is_bias else 'along or across the cloth'}"


def _narrow(request: LayRequest, ways: Mapping[str, StripWay]) -> Iterator[Problem]:
    for number, piece in enumerate(request.pieces):
        width = min(piece.region.width_mm, piece.region.height_mm)
        if width < LEAST_STRIP_MM and ways.get(piece.id, StripWay.LAID) is not StripWay.LAID:
            allowed, remedy = f"{LEAST_STRIP_MM:g} mm or more", "Correct its corners, or lay it by itself."
            place = f"pieces[{number}].outline"
            yield _problem(place, f"{width:g} mm wide", "is too narrow for a strip", allowed, remedy)


def _too_long(pieces: Mapping[str, LayPiece], ways: Mapping[str, StripWay]) -> Iterator[Problem]:
    bias = [pieces[name] for name, way in ways.items() if way.is_bias]
    length = sum(max(piece.region.width_mm, piece.region.height_mm) * piece.count for piece in bias)
    if length > MOST_BIAS_MM:
        what, allowed = "of bias strip in all are too many", f"at most {MOST_BIAS_MM:g} mm"
        yield _problem("strip_wishes", f"{length:g} mm", what, allowed, "Cut fewer or shorter strips.")


def strips_as_json(strips: CutStrips) -> dict[str, object]:
    """How strips are cut, as `bagwright lay` tells it."""
    bands = strips.request.bands
    return {
        "bands": [
            {
                "width_mm": band.width_mm,
                "parts": [
                    {"id": part.id, "start_mm": part.start_mm, "length_mm": part.length_mm} for part in band.parts
                ],
            }
            for band in (bands.bands if bands else ())
        ],
        "joined": [
            {"strip_id": one.strip_id, "part_ids": list(one.part_ids), "count": one.count}
            for one in (bands.joined if bands else ())
        ],
        "blocks": [
            {
                "id": one.id,
                "way": one.way.value,
                "count": one.block.count,
                "strip_ids": [piece.id for piece in one.strips.pieces],
                "strip_mm": one.strips.width_mm,
                "needed_mm": one.block.needed_mm,
                "joins": one.block.joins,
            }
            for one in strips.blocks
        ],
        "shapes": [
            {"id": piece.id, "outline": [list(point) for point in piece.region.outer_ring()], "count": piece.count}
            for piece in strips.shapes
        ],
    }


def strips_in_words(strips: CutStrips, units: UnitSystem) -> Iterator[str]:
    """The same for the maker."""
    if strips.request.bands:
        bands, joins = strips.request.bands.bands, _joins(strips.request.bands.joins)
        many = f"{len(bands)} {'band' if len(bands) == 1 else 'bands'} across the cloth"
        yield f"{many}, {_sizes(bands, units)}, cut to length: {joins}."
    for one in strips.blocks:
        width, needed = (
            print_length(one.strips.width_mm, units).text,
            print_cloth_length(one.block.needed_mm, units).text,
        )
        whole = f"{needed} of bias strip {width} wide"
        if one.way is StripWay.BIAS_STRIPS:
            yield f"{whole}, cut from edge to edge of the cloth: {_joins(one.block.joins)}."
        else:
            side = print_length(one.block.region.width_mm, units).text
            squares = "1 square" if one.block.count == 1 else f"{one.block.count} squares"
            yield f"{whole} out of {squares} of {side}: {_joins(one.block.joins)}."


def _sizes(bands: Sequence[Band], units: UnitSystem) -> str:
    counts = Counter(print_length(band.width_mm, units).text for band in bands)
    return ", ".join(f"{count} × {width} wide" for width, count in counts.items())


def _joins(count: int) -> str:
    return {0: "no join", 1: "1 join"}.get(count, f"{count} joins")


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)
