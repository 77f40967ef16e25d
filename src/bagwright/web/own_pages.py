"""The page values of bags of her own pieces: the look at a drawing, and the part of the bag's page for its pieces."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.pages import Field, Frame, Option


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRow:
    """One edge in the form of its piece, with what the proof says of it."""

    label: str
    length: str
    name: Field
    use: Field
    allowance: Field
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceForm:
    """One piece: its drawing, its form, and what can be done with it."""

    id: str
    name: str
    svg: Markup
    small_svg: Markup
    size: str
    fields: tuple[Field, ...]
    edges: tuple[EdgeRow, ...]
    divide: tuple[Field, ...]
    faults: tuple[str, ...]
    is_only: bool


@dataclass(frozen=True, slots=True)
class SideLine:
    """One side of a seam in words, with its length."""

    words: str
    length: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamLine:
    """One seam in the order of work, with what the proof says of it."""

    id: str
    number: int
    name: str
    kind: str
    sides: tuple[SideLine, ...]
    faults: tuple[str, ...]
    is_first: bool
    is_last: bool


@dataclass(frozen=True, slots=True)
class MeasureLine:
    """A measure to prove: as asked and as it comes out."""

    key: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnView:
    """What the page of a bag shows of its own pieces."""

    headline: str
    is_sound: bool
    faults: tuple[str, ...]
    problems: tuple[str, ...]
    pieces: tuple[PieceForm, ...]
    seams: tuple[SeamLine, ...]
    seam_fields: tuple[Field, ...]
    part_fields: tuple[Field, ...]
    measures: tuple[MeasureLine, ...]
    measure_fields: tuple[Field, ...]
    measure_edges: tuple[Option, ...]
    measure_problem: str
    unit: Field


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundCard:
    """One piece as it was found in a drawing."""

    name: str
    svg: Markup
    words: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingPage:
    """drawing.html: a drawing that was brought, before it is taken; without `token` it could not be read."""

    frame: Frame
    heading: str
    token: str
    file_name: str
    bag_id: str
    version: int
    scale: str
    is_sure: bool
    problems: tuple[str, ...]
    fields: tuple[Field, ...]
    pieces: tuple[FoundCard, ...]
    notes: tuple[str, ...]
