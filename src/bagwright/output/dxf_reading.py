"""Pieces from DXF drawings, with the layers of the open standard for sewn products where they are used.

One block is one piece: layer 1 holds its boundary, 4 and 80 to 83 notches, 6 the mirror line, 7 the grain line,
8 internal lines, 11 cut-outs, 13 drill holes, 14 the sew line; 3 the points at which the boundary curves. (ASTM D6673;
its own table was not seen, two independent secondary pages agree on these.) Any other drawing is read as it lies.
"""

from __future__ import annotations

import io
import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from ezdxf.document import Drawing as Document
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.insert import Insert
from ezdxf.filemanagement import read as read_document
from ezdxf.lldxf.const import DXFError

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.chains import Run
from bagwright.geometry.curves import Arc, Point
from bagwright.model.found_piece import FoundDrawing, FoundScale
from bagwright.output._dxf_entities import OddEntity, point_of, run_of
from bagwright.output.drawn_lines import MOST_LINES, DrawnLine, DrawnPoint, Meaning
from bagwright.output.line_words import MEANINGS, words_of_meaning
from bagwright.output.piece_finding import MOST_PIECES, Heap, find_pieces

MOST_TEXT_LINES = 250_000
"""Lines of text in a file, two to a value: reading more takes too long."""
_BINARY = b"AutoCAD Binary DXF"
_UNITS: Mapping[int, tuple[str, float]] = {
    1: ("inches", 25.4),
    2: ("feet", 304.8),
    4: ("millimetres", 1.0),
    5: ("centimetres", 10.0),
    6: ("metres", 1000.0),
    10: ("yards", 914.4),
    14: ("decimetres", 100.0),
}
_INSUNITS = re.compile(r"\$INSUNITS\s*\n\s*70\s*\n\s*(\d{1,3})\s*\n")
_LAYERS: Mapping[str, Meaning] = {
    "1": Meaning.UNTOLD,
    **dict.fromkeys(("4", "80", "81", "82", "83"), Meaning.NOTCH),
    "6": Meaning.FOLD,
    "7": Meaning.GRAIN,
    "8": Meaning.MARK,
    "11": Meaning.CUT_OUT,
    "13": Meaning.MARK,
    "14": Meaning.STITCH,
}
_CURVE_POINTS, _DRILL_HOLES = "3", "13"
_LONGEST_NAME = 60
_WORDS = frozenset({"TEXT", "MTEXT", "ATTDEF", "ATTRIB", "SEQEND"})
_BROKEN = (DXFError, ValueError, LookupError, TypeError, AttributeError, ArithmeticError, RuntimeError, AssertionError)
"""What the library raises for files and values that are broken; it promises no single kind."""


def read_dxf(data: bytes, *, mm_per_unit: float | None = None) -> FoundDrawing:
    """Every piece that the drawing holds, in mm.

    `mm_per_unit`: how many mm one unit of the file is, if that is known better than the file says. Raises
    `FaultyInput` with everything that cannot be read or cannot be a piece.
    """
    text = _text_of(data)
    try:
        document = read_document(io.StringIO(text))
    except _BROKEN as error:
        said = " ".join(str(error).split())[:120]
        raise _file_fault(f"cannot be read as DXF: {said}", "Save it anew as DXF, release R12 or later.") from None
    scale = _scale_of(text) if mm_per_unit is None else FoundScale(mm_per_unit, "as you say", True)
    reader = _Reader(scale.mm_per_unit)
    heaps = list(reader.heaps(document))
    if reader.problems:
        raise FaultyInput(reader.problems)
    pieces, notes = find_pieces(heaps)
    return FoundDrawing(format="dxf", scale=scale, pieces=pieces, notes=(*notes, *reader.notes()))


def _text_of(data: bytes) -> str:
    if data.startswith(_BINARY):
        raise _file_fault("is a binary DXF", "Save it as text (ASCII) DXF.")
    if b"\0" in data:
        raise _file_fault("holds what is no text", "Save it anew as text (ASCII) DXF.")
    lines = data.count(b"\n")
    if lines > MOST_TEXT_LINES:
        raise _file_fault(f"has {lines} lines of text", f"Split it: up to {MOST_TEXT_LINES} lines can be read.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _file_fault(what: str, remedy: str) -> FaultyInput:
    allowed = "a text DXF drawing, up to 5 MB"
    return FaultyInput([Problem(place="file", value="", what=what, allowed=allowed, remedy=remedy)])


def _scale_of(text: str) -> FoundScale:
    found = _INSUNITS.search(text)
    number = int(found[1]) if found else 0
    if number in _UNITS:
        name, factor = _UNITS[number]
        return FoundScale(factor, f"the file counts in {name}", True)
    return FoundScale(1.0, "the file does not say its units: mm were taken", False)


@dataclass(slots=True)
class _Block:
    """What one block, or the drawing itself, holds; `is_standard`: it is one piece on the layers of the standard."""

    name: str
    is_standard: bool
    lines: list[DrawnLine] = field(default_factory=list)
    points: list[DrawnPoint] = field(default_factory=list)
    smooth_at: list[Point] = field(default_factory=list)

    def heap(self) -> Heap:
        name = plain_name(self.name) if self.is_standard else ""
        return Heap(self.lines, self.points, name, smooth_at=self.smooth_at)


def _layer_of(entity: DXFEntity) -> str:
    return str(entity.dxf.get("layer", "0"))


def _meaning(layer: str, *, is_standard: bool) -> Meaning | None:
    if is_standard:
        return _LAYERS.get(layer)
    word = next(words_of_meaning([layer]), None)
    return MEANINGS[word] if word else Meaning.UNTOLD


def _middle(run: Run) -> Point:
    if isinstance(run[0], Arc):
        return run[0].centre
    points = [point for curve in run for point in curve.points(0.1)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def plain_name(name: str) -> str:
    """The name of a block as words, without a number before it.

    >>> plain_name("03_Front_pocket"), plain_name("12")
    ('Front pocket', '12')
    """
    words = " ".join(re.sub(r"[_\s]+", " ", name).split())[:_LONGEST_NAME]
    return re.sub(r"^\d+[ .-]+(?=\S)", "", words) if words.isprintable() else ""


class _Reader:
    """Goes through blocks and entities."""

    def __init__(self, mm_per_unit: float) -> None:
        self.problems: list[Problem] = []
        self._mm_per_unit = mm_per_unit
        self._left_out: Counter[str] = Counter()
        self._drawn = 0

    def notes(self) -> Iterator[str]:
        """What was passed over."""
        if self._left_out:
            told = ", ".join(f"{count} {kind}" for kind, count in sorted(self._left_out.items()))
            yield f"Left out, for they are no outlines: {told}."

    def heaps(self, document: Document) -> Iterator[Heap]:
        """One heap for each block that is put into the drawing, one for what lies in the drawing itself."""
        modelspace = list(document.modelspace())
        inserts: dict[str, Insert] = {}
        for entity in modelspace:
            if isinstance(entity, Insert):
                inserts.setdefault(entity.dxf.name, entity)
        names = [name for name in inserts if name in document.blocks]
        if not inserts:
            names = [block.name for block in document.blocks if not block.name.startswith(("*", "_"))]
        if len(names) > MOST_PIECES:
            raise _file_fault(f"has {len(names)} blocks", f"Split it: up to {MOST_PIECES} can be read.")
        for name in names:
            factor = self._mm_per_unit * self._insert_scale(inserts.get(name), name)
            yield self._block(name, list(document.blocks.get(name)), factor).heap()
        loose = [entity for entity in modelspace if not isinstance(entity, Insert)]
        drawing = self._block("", loose, self._mm_per_unit)
        if drawing.lines:
            yield drawing.heap()

    def _insert_scale(self, insert: Insert | None, name: str) -> float:
        """By how much a block is made larger where it is put in."""
        if insert is None:
            return 1.0
        x, y = abs(insert.dxf.get("xscale", 1.0)), abs(insert.dxf.get("yscale", 1.0))
        if not (math.isfinite(x) and x > 0 and math.isclose(x, y, rel_tol=1e-6)):
            what, remedy = "is stretched more one way than the other", "Put it in with the same scale both ways."
            place = f"block {name!r}"
            self.problems.append(
                Problem(place=place, value=f"{x:g} x {y:g}", what=what, allowed="one scale for both", remedy=remedy)
            )
            return 1.0
        return float(x)

    def _block(self, name: str, entities: Iterable[DXFEntity], factor: float) -> _Block:
        entities = list(entities)
        block = _Block(name, is_standard=bool(name) and any(_layer_of(entity) == "1" for entity in entities))
        for entity in entities:
            where = f"block {name[:60]!r}, " if name else ""
            place = f"{where}{entity.dxftype()} {entity.dxf.get('handle', '')} on layer {_layer_of(entity)[:40]!r}"
            try:
                self._add(entity, block, factor, place)
            except FaultyInput:
                raise
            except OddEntity as odd:
                self._refuse(place, str(odd))
            except _BROKEN as error:
                self._refuse(place, f"cannot be read: {' '.join(str(error).split())[:80] or type(error).__name__}")
        return block

    def _add(self, entity: DXFEntity, block: _Block, factor: float, place: str) -> None:
        layer = _layer_of(entity)
        meaning = _meaning(layer, is_standard=block.is_standard)
        if at := point_of(entity, factor):
            if block.is_standard and layer == _CURVE_POINTS:
                block.smooth_at.append(at)
            elif meaning is not None:
                block.points.append(DrawnPoint(place, at, meaning))
            return
        found = None if meaning is None else run_of(entity, factor)
        if meaning is None or not found or not found[0]:
            if entity.dxftype() not in _WORDS:
                self._left_out[f"{entity.dxftype()} on layer {layer[:40]}"] += 1
            return
        self._drawn += 1
        if self._drawn > MOST_LINES:
            raise _file_fault(f"has more than {MOST_LINES} lines", "Take out what is no outline.")
        run, is_closed = found
        if block.is_standard and layer == _DRILL_HOLES:
            block.points.append(DrawnPoint(place, _middle(run)))
        else:
            layer_name = "" if layer.isdigit() or next(words_of_meaning([layer]), "") else layer
            name = plain_name(block.name or layer_name) if meaning.may_bound else ""
            block.lines.append(DrawnLine(place=place, run=run, is_closed=is_closed, meaning=meaning, name=name))

    def _refuse(self, place: str, what: str) -> None:
        allowed = "lines, arcs, circles, ellipses, splines and polylines in one plane"
        remedy = "Correct it in the drawing, or take it out."
        self.problems.append(Problem(place=place, value="", what=what, allowed=allowed, remedy=remedy))
