"""`bagwright pieces`: what an SVG or DXF drawing holds, as pieces that `bagwright prove` reads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bagwright.drafting.own_start import StartSettings, add_found
from bagwright.model.found_piece import FoundDrawing, FoundPiece
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.piece import Piece
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.own_drawing import Answers, read_brought, start_settings
from bagwright.workflows.pattern_json import Json, edge_as_json, line_as_json, mark_as_json


@dataclass(frozen=True, slots=True)
class Brought:
    """A drawing, and her pattern of what it holds, with nothing sewn yet."""

    drawing: FoundDrawing
    own: OwnPattern
    settings: StartSettings

    def pairs(self) -> Iterator[tuple[Piece, FoundPiece]]:
        """Each piece with what it was made of."""
        return zip(self.own.pieces, self.drawing.pieces, strict=True)


def pieces_of_file(data: bytes, answers: Answers, *, units: UnitSystem) -> Brought:
    """The pieces of a drawing. Raises `FaultyInput` with every fault of the file or the answers."""
    settings = start_settings(answers, units=units)
    drawing = read_brought(data, answers.scale, units=units)
    return Brought(drawing, add_found(None, drawing.pieces, settings), settings)


def pieces_as_json(brought: Brought) -> Json:
    """The answer of `bagwright pieces`: `pieces` is what `bagwright prove` reads."""
    scale = brought.drawing.scale
    return {
        "format": brought.drawing.format,
        "scale": {"mm_per_unit": round(scale.mm_per_unit, 9), "said": scale.said, "is_sure": scale.is_sure},
        "pieces": [_piece(piece, is_face=piece.id in brought.own.faces) for piece in brought.own.pieces],
        "found": [_found(piece, found) for piece, found in brought.pairs()],
        "notes": list(brought.drawing.notes),
    }


def _piece(piece: Piece, *, is_face: bool) -> Json:
    return {
        "id": piece.id,
        "name": piece.name,
        "role": piece.role,
        "count": piece.count,
        "mirror": piece.mirror,
        "grain_deg": piece.grain_deg,
        "is_face": is_face,
        "edges": [edge_as_json(edge, piece) for edge in piece.net.edges],
        "notches": [{"edge": notch.edge, "at_mm": notch.at_mm} for notch in piece.notches],
        "lines": [line_as_json(line) for line in piece.lines],
        "drill_marks": [mark_as_json(mark) for mark in piece.drill_marks],
    }


def _found(piece: Piece, found: FoundPiece) -> Json:
    region = piece.region()
    return {
        "id": piece.id,
        "place": found.place,
        "line": found.kind,
        "cut_width_mm": round(region.width_mm, 3),
        "cut_height_mm": round(region.height_mm, 3),
        "notes": list(found.notes),
    }


def pieces_in_words(brought: Brought, units: UnitSystem) -> str:
    """The answer for the maker."""
    scale = brought.drawing.scale
    doubt = "" if scale.is_sure else " If that is not so, say it with --scale."
    lines = [f"Size: {scale.said}.{doubt}"]
    for piece, found in brought.pairs():
        lines += ["", *_piece_said(piece, found, brought.settings, units)]
    return "\n".join([*lines, *(["", *brought.drawing.notes] if brought.drawing.notes else [])])


def _piece_said(piece: Piece, found: FoundPiece, settings: StartSettings, units: UnitSystem) -> Iterator[str]:
    region = piece.region()
    size = " x ".join(print_length(side, units).text for side in (region.width_mm, region.height_mm))
    yield f"{piece.id}: {piece.name}, {size} with its seam allowance ({found.place})"
    if found.kind is None:
        yield f"  The file does not say which line this is; it was taken for the {settings.line}."
    for edge in piece.net.edges:
        length, width = (print_length(mm, units).text for mm in (edge.length_mm, piece.allowance_mm[edge.name]))
        yield f"  {edge.name}: {length}, {piece.edge_use[edge.name]}, allowance {width}"
    yield from (f"  {note}" for note in found.notes)
