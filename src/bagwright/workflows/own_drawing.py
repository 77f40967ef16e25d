"""A drawing she brings: read, brought to size, and turned into pieces as she answers what the file leaves open."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bagwright.drafting.own_pieces import OWN_FORM, free_id
from bagwright.drafting.own_start import USUAL_ALLOWANCE_MM, WIDEST_ALLOWANCE_MM, StartSettings
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.found_piece import FoundDrawing, FoundPiece, OutlineKind
from bagwright.output.drawing_reading import read_drawing
from bagwright.output.named_edges import edge_in_words
from bagwright.units import MM_PER_INCH, UnitSystem, print_length, read_length_mm
from bagwright.workflows.contracts import Faults
from bagwright.workflows.usual_allowances import usual_seam_mm

UNITS_MM = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": MM_PER_INCH,
    "ft": 12 * MM_PER_INCH,
    "pt": MM_PER_INCH / 72,
    "px": MM_PER_INCH / 96,
}
"""What one unit of a drawing may be."""
UNIT_NAMES = {
    "mm": "a millimetre",
    "cm": "a centimetre",
    "m": "a metre",
    "in": "an inch",
    "ft": "a foot",
    "pt": "a point, 72 to the inch",
    "px": "a pixel, 96 to the inch",
}
_ZERO = re.compile(r"0+([.,]0+)?\s*[a-z\"']*", re.ASCII | re.IGNORECASE)
LINES = {"cut": OutlineKind.CUT, "stitch": OutlineKind.STITCH}
SCALE_EXAMPLES = "mm, cm, m, in, ft, pt, px, or an edge with its true length such as front.edge_1=12 in"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What she says of a drawing, as typed; empty: as the file says, or as is usual."""

    scale: str = ""
    line: str = ""
    allowance: str = ""
    role: str = "outer"

    @classmethod
    def of_texts(cls, texts: Mapping[str, str]) -> Answers:
        """The answers in a form: a known length wins over a unit."""
        known, edge = texts.get("known_length", "").strip(), texts.get("known_edge", "")
        scale = f"{edge}={known}" if known else texts.get("scale_unit", "")
        role = texts.get("role", "outer")
        return cls(scale=scale, line=texts.get("line", ""), allowance=texts.get("allowance", ""), role=role)


def read_brought(data: bytes, scale: str, *, units: UnitSystem) -> FoundDrawing:
    """What the drawing holds, at the size she says: one unit of the file, or the true length of one edge.

    Raises `FaultyInput` with every fault of the file, or of `scale`.
    """
    said = scale.strip()
    if not said:
        return read_drawing(data)
    if said in UNITS_MM:
        return read_drawing(data, mm_per_unit=UNITS_MM[said])
    name, sign, length = said.rpartition("=")
    if not sign:
        raise _refusal("scale", said, "is no unit and no edge with its length", SCALE_EXAMPLES)
    length_mm = read_length_mm(length.strip(), place="scale", units=units)
    found = read_drawing(data)
    factor = length_mm / _edge_length_mm(found.pieces, name.strip())
    return read_drawing(data, mm_per_unit=found.scale.mm_per_unit * factor)


def found_ids(pieces: Sequence[FoundPiece]) -> list[str]:
    """Short ids of found pieces, in their order: those that a new bag gives them."""
    taken: set[str] = set()
    ids = []
    for piece in pieces:
        ids.append(free_id(piece.name, taken))
        taken.add(ids[-1])
    return ids


def edges_by_name(drawing: FoundDrawing, workroom: Workroom) -> Iterator[tuple[str, str]]:
    """Every edge as `read_brought` takes it, and in words with its length."""
    for piece_id, piece in zip(found_ids(drawing.pieces), drawing.pieces, strict=True):
        for edge in piece.outline.edges:
            length = print_length(edge.length_mm, workroom.units, fraction=workroom.fraction).text
            yield f"{piece_id}.{edge.name}", f"{piece.name}, {edge_in_words(edge.name)} (now {length})"


def role_names() -> list[tuple[str, str]]:
    """What pieces may be made of: keys and names."""
    return [(role.key, role.name) for role in OWN_FORM.roles]


def usual_allowance(workroom: Workroom) -> str:
    """The usual seam allowance as she types it."""
    return print_length(usual_seam_mm(workroom), workroom.units, fraction=workroom.fraction).text


def _edge_length_mm(pieces: Sequence[FoundPiece], name: str) -> float:
    piece_id, _, edge = name.rpartition(".")
    by_id = dict(zip(found_ids(pieces), pieces, strict=True))
    try:
        return by_id[piece_id].outline.edge(edge).length_mm
    except (KeyError, BrokenPromise):
        first = next(iter(by_id))
        known = ", ".join(f"{first}.{one.name}" for one in by_id[first].outline.edges)
        raise _refusal("scale", name, "is no edge of a piece in the file", f"one such as {known}") from None


def start_settings(answers: Answers, *, units: UnitSystem, usual_mm: float = USUAL_ALLOWANCE_MM) -> StartSettings:
    """Her answers as settings. Raises `FaultyInput` with every answer that cannot be read."""
    faults = Faults()
    allowance_mm = usual_mm
    with faults:
        allowance_mm = read_allowance_mm(answers.allowance, place="allowance", units=units, usual_mm=usual_mm)
    if answers.line and answers.line not in LINES:
        faults.problems += _refusal("line", answers.line, "is no line of a piece", ", ".join(LINES)).problems
    roles = [role.key for role in OWN_FORM.roles]
    if answers.role not in roles:
        faults.problems += _refusal("role", answers.role, "is no part of a bag known here", ", ".join(roles)).problems
    faults.raise_if_any()
    return StartSettings(LINES.get(answers.line, OutlineKind.STITCH), allowance_mm, answers.role)


def read_allowance_mm(text: str, *, place: str, units: UnitSystem, usual_mm: float) -> float:
    """A typed seam allowance; 0 is one, nothing is the usual. Raises `FaultyInput`."""
    text = text.strip()
    if not text:
        return usual_mm
    if _ZERO.fullmatch(text):
        return 0.0
    width_mm = read_length_mm(text, place=place, units=units)
    if width_mm > WIDEST_ALLOWANCE_MM:
        allowed = f"up to {WIDEST_ALLOWANCE_MM:g} mm"
        raise _refusal(place, text, "is wider than any seam allowance", allowed)
    return width_mm


def _refusal(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    problem = Problem(place=place, value=value[:60], what=what, allowed=allowed, remedy="Type one of these.")
    return FaultyInput([problem])
