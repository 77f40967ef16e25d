"""The page values of the stash and of the cutting table."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.pages import Check, Field, Frame, Paper
from bagwright.web.strip_views import StripsView


@dataclass(frozen=True, slots=True, kw_only=True)
class StashCard:
    """One piece of the stash with the form that changes it; `material` and `bin` with their addresses, or empty."""

    id: str
    version: int
    size: str
    picture: Markup
    material: tuple[str, str]
    bin: tuple[str, str]
    facts: tuple[tuple[str, str], ...]
    note: str
    fields: tuple[Field, ...]
    is_open: bool
    can_undo: bool


@dataclass(frozen=True, slots=True)
class StashGroup:
    """Pieces of one material, of one bin, or all; the address may be empty."""

    name: str
    href: str
    told: str
    cards: tuple[StashCard, ...]


@dataclass(frozen=True, slots=True)
class GonePiece:
    """A piece that was just taken out."""

    id: str
    version: int
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StashPage:
    """stash.html; `turns`: other parts of a long list, in words, with their addresses.

    `find`: what is looked for, as in the address; forms send it along. `is_open`: more is looked for than is seen
    first.
    """

    frame: Frame
    groups: tuple[StashGroup, ...]
    total: str
    is_empty: bool
    is_asked: bool
    turns: tuple[tuple[str, str], ...]
    find: str
    find_fields: tuple[Field, ...]
    more_fields: tuple[Field, ...]
    is_open: bool
    new_fields: tuple[Field, ...]
    gone: GonePiece | None
    said: str
    stale: str
    problems: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CutLineView:
    """One line of the list of cuts."""

    numbers: str
    words: str
    frees: str


@dataclass(frozen=True, slots=True)
class CutBlockView:
    """The cuts of one block of cloth; the whole cloth has no name."""

    name: str
    lines: tuple[CutLineView, ...]


@dataclass(frozen=True, slots=True)
class DoneCutting:
    """A cutting that stands, or (`is_back`) one that was just taken back."""

    id: str
    version: int
    told: str
    is_back: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TablePage:
    """cutting_table.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    bag_version: int
    material_id: str
    material_name: str
    told: str
    total: str
    svg: Markup
    before: tuple[str, ...]
    blocks: tuple[CutBlockView, ...]
    cautions: tuple[str, ...]
    left: tuple[tuple[Check, str], ...]
    bin_field: Field
    cutting_id: str
    layout_name: str
    done: tuple[DoneCutting, ...]
    ways: str
    in_rows: bool
    can_be_in_rows: bool
    best_only: tuple[tuple[Check, str], ...]
    any_print: tuple[tuple[Check, str], ...]
    matched: tuple[tuple[Check, str], ...]
    wish_problems: tuple[str, ...]
    strips: tuple[StripsView, ...]
    strip_problems: tuple[str, ...]
    papers: tuple[Paper, ...]
    stale: str
