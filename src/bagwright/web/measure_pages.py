"""The page value of measuring a material."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.pages import Check, Field, Frame, Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundView:
    """One thing that the readings tell: the result, what it means, and what stood there until now."""

    title: str
    result: str
    words: tuple[str, ...]
    minds: tuple[str, ...] = ()
    choices: tuple[Check, ...] = ()
    before: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurePage:
    """measure.html"""

    frame: Frame
    id: str
    name: str
    version: int
    stale: str
    picture: Markup
    strips: Markup
    angle: Field
    cards: tuple[Paper, ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    along: tuple[Field, ...]
    across: tuple[Field, ...]
    loop: tuple[Field, ...]
    stack: tuple[Field, ...]
    piece: tuple[Field, ...]
    is_loop_open: bool
    found: tuple[FoundView, ...]
    found_words: str
    has_faults: bool
    seen: str
