"""Patterns as DXF, one block per piece, on the layers of the open standard for sewn products, in mm.

Layer numbers of ASTM D6673, "Sewn Products Pattern Data Interchange": its own table was not seen; two independent
secondary pages agree on those used here. The standard follows an older DXF than R2000, which is the oldest that
states its units. Curves are polylines within `TOLERANCE_MM`.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from enum import StrEnum

from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import new as new_document
from ezdxf.layouts.blocklayout import BlockLayout

from bagwright.geometry.curves import Point
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.output.lettering import one_line
from bagwright.output.piece_lines import cut_shape, fold_run, notch_ticks, stitch_runs, told_count

TOLERANCE_MM = 0.05
_NET_TOLERANCE_MM = 0.005
"""Flattening of the net line: the error grows with the allowance around a tight curve, and must stay well within."""
_BETWEEN_PIECES_MM = 50.0
_ROW_WIDTH_MM = 2000.0
_TEXT_MM = 6.0
_LONGEST_TEXT = 250
_LONGEST_BLOCK_NAME = 60
_LEAST_NOTCH_MM = 3.0
_TURN_DEG = 8.0
"""Where the boundary turns by more than this it has a corner, else it curves."""
_MILLIMETRES = 4
_UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
_NO_GUID = "{00000000-0000-0000-0000-000000000000}"


class Layer(StrEnum):
    """Layers, whose names are numbers."""

    BOUNDARY = "1"
    TURN_POINTS = "2"
    CURVE_POINTS = "3"
    NOTCHES = "4"
    MIRROR_LINE = "6"
    GRAIN = "7"
    INTERNAL_LINES = "8"
    DRILL_HOLES = "13"
    SEW_LINES = "14"
    ANNOTATION = "15"


def pattern_dxf(pattern: Pattern) -> bytes:
    """Every piece that is cut, at true scale, one block each, placed side by side.

    A piece on the fold is its half, with the fold on the mirror layer. The bytes depend on the pattern alone.
    """
    document = new_document("R2000", units=_MILLIMETRES)
    document.header["$MEASUREMENT"] = 1
    for layer in Layer:
        document.layers.add(layer.value)
    pieces = [piece for piece in pattern.pieces if not piece.is_bought]
    for number, (piece, corner) in enumerate(zip(pieces, _corners(pieces), strict=True), start=1):
        name = block_name(number, piece.name)
        _write_piece(document.blocks.new(name), piece)
        document.modelspace().add_blockref(name, corner, dxfattribs={"layer": Layer.BOUNDARY.value})
    return _as_bytes(document)


def block_name(number: int, name: str) -> str:
    """A name that every reader takes: the number of the piece and its plain letters.

    >>> block_name(3, 'Front "A" / lining')
    '03_Front_A_lining'
    """
    plain = "_".join(re.findall(r"[A-Za-z0-9]+", name))[:_LONGEST_BLOCK_NAME].rstrip("_")
    return f"{number:02d}_{plain}" if plain else f"{number:02d}"


def _corners(pieces: Sequence[Piece]) -> Iterator[Point]:
    """Where the origin of each piece goes, so that they lie in rows and do not overlap."""
    x = y = row_height = 0.0
    for piece in pieces:
        left, low, right, high = cut_shape(piece, _NET_TOLERANCE_MM).bounds
        if x and x + right - left > _ROW_WIDTH_MM:
            x, y, row_height = 0.0, y + row_height + _BETWEEN_PIECES_MM, 0.0
        yield x - left, y - low
        x, row_height = x + right - left + _BETWEEN_PIECES_MM, max(row_height, high - low)


def _write_piece(block: BlockLayout, piece: Piece) -> None:
    ring = cut_shape(piece, _NET_TOLERANCE_MM).outer_ring()
    block.add_polyline2d(ring, close=True, dxfattribs=_on(Layer.BOUNDARY))
    for before, point, after in zip([ring[-1], *ring[:-1]], ring, [*ring[1:], ring[0]], strict=True):
        layer = Layer.TURN_POINTS if _turn_deg(before, point, after) > _TURN_DEG else Layer.CURVE_POINTS
        block.add_point(point, dxfattribs=_on(layer))
    for run in stitch_runs(piece, _NET_TOLERANCE_MM):
        block.add_polyline2d(run, dxfattribs=_on(Layer.SEW_LINES))
    for outer, inner in notch_ticks(piece, least_mm=_LEAST_NOTCH_MM):
        block.add_line(outer, inner, dxfattribs=_on(Layer.NOTCHES))
    if fold := fold_run(piece, _NET_TOLERANCE_MM):
        block.add_line(*fold, dxfattribs=_on(Layer.MIRROR_LINE))
    block.add_line(*_grain(piece), dxfattribs=_on(Layer.GRAIN))
    for mark in piece.lines:
        block.add_line(mark.start, mark.end, dxfattribs=_on(Layer.INTERNAL_LINES))
        middle = ((mark.start[0] + mark.end[0]) / 2, (mark.start[1] + mark.end[1]) / 2)
        _write_text(block, mark.name, middle, _TEXT_MM / 2)
    for drill in piece.drill_marks:
        block.add_point(drill.at, dxfattribs=_on(Layer.DRILL_HOLES))
        _write_text(block, drill.name, drill.at, _TEXT_MM / 2)
    left, low, right, high = cut_shape(piece, _NET_TOLERANCE_MM).bounds
    for row, words in enumerate((piece.name, told_count(piece), piece.role, "units: mm")):
        _write_text(block, words, ((left + right) / 2, (low + high) / 2 - row * 1.5 * _TEXT_MM), _TEXT_MM)


def _on(layer: Layer) -> dict[str, str]:
    return {"layer": layer.value}


def _turn_deg(before: Point, point: Point, after: Point) -> float:
    incoming = math.atan2(point[1] - before[1], point[0] - before[0])
    outgoing = math.atan2(after[1] - point[1], after[0] - point[0])
    return abs(math.degrees(math.remainder(outgoing - incoming, 2 * math.pi)))


def _grain(piece: Piece) -> tuple[Point, Point]:
    """The grain line: across the middle of the piece, over 60 % of it."""
    left, low, right, high = cut_shape(piece, _NET_TOLERANCE_MM).bounds
    ux, uy = math.cos(math.radians(piece.grain_deg)), math.sin(math.radians(piece.grain_deg))
    half = 0.3 * (abs(ux) * (right - left) + abs(uy) * (high - low))
    x, y = (left + right) / 2, (low + high) / 2
    return (x - ux * half, y - uy * half), (x + ux * half, y + uy * half)


def _write_text(block: BlockLayout, words: str, at: Point, height_mm: float) -> None:
    text = block.add_text(escaped(words)[:_LONGEST_TEXT], height=height_mm, dxfattribs=_on(Layer.ANNOTATION))
    text.set_placement(at)


def escaped(words: str) -> str:
    """Text of which no part reads as a control code: `%%` and `^` begin one, a line break would end the value.

    >>> escaped("50%%d ^J" + chr(10) + "x")
    '50% %d ^ J x'
    """
    return re.sub(r"%(?=%)", "% ", one_line(words).replace("^", "^ ")).replace("\\U+", "\\ U+")


def _as_bytes(document: Document) -> bytes:
    """The file without the clock and the random numbers that the library puts in."""
    stream = io.StringIO()
    document.write(stream)
    text = re.sub(r"(\$TDU?(?:CREATE|UPDATE)\r?\n *40\r?\n)[^\r\n]*", r"\g<1>2451544.5", stream.getvalue())
    text = re.sub(r"(\$(?:FINGERPRINT|VERSION)GUID\r?\n *2\r?\n)[^\r\n]*", rf"\g<1>{_NO_GUID}", text)
    text = re.sub(r"(?m)^(\d+(?:\.\w+)+ @ )\d{4}-\S+$", rf"\g<1>{_UNDATED.isoformat()}", text)
    return text.encode(document.output_encoding, errors="dxfreplace")
