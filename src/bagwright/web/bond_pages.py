"""The page value of how firmly two materials hold together."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.measure_pages import FoundView
from bagwright.web.pages import Field, Frame, Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptBondView:
    """A tested pair as it is kept, and what can be done with it."""

    id: str
    version: int
    title: str
    words: tuple[str, ...]
    is_removed: bool
    can_undo: bool
    can_redo: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BondsPage:
    """bonds.html"""

    frame: Frame
    version: int
    seen: str
    said: str
    stale: str
    refused: tuple[str, ...]
    kept: tuple[KeptBondView, ...]
    pair: tuple[Field, ...]
    picture: Markup
    angle: Field
    cards: tuple[Paper, ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    scrap: tuple[Field, ...]
    found: FoundView | None
    found_words: str
    has_faults: bool
