"""Pieces as they were found in a drawing from outside, before the maker has said what becomes of them. In mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from bagwright.geometry.outline import Outline
from bagwright.model.piece import DrillMark, Notch, PlacementLine


class OutlineKind(StrEnum):
    """Which line of a piece an outline is."""

    STITCH = "stitch line"
    CUT = "cut line"


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundPiece:
    """One closed outline and what lies on it, moved so that its lowest left corner of all is near (0, 0).

    `place` says where in the file it is. `kind` is None if the file does not say which line it is; `allowance_mm` holds
    an allowance for each edge only where the file draws both lines. `fold_edge` is the edge on a mirror line, if any.
    `notes` say what was left out or taken for granted.
    """

    name: str
    place: str
    outline: Outline
    kind: OutlineKind | None = None
    allowance_mm: Mapping[str, float] = field(default_factory=dict)
    fold_edge: str = ""
    grain_deg: float | None = None
    notches: tuple[Notch, ...] = ()
    lines: tuple[PlacementLine, ...] = ()
    drill_marks: tuple[DrillMark, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FoundScale:
    """How many mm one unit of the file is, and whence that is known; not `is_sure`: the file leaves it open."""

    mm_per_unit: float
    said: str
    is_sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundDrawing:
    """All that was found in one file; `format` is "svg" or "dxf"."""

    format: str
    scale: FoundScale
    pieces: tuple[FoundPiece, ...]
    notes: tuple[str, ...] = ()
