"""The page value of the bag folded up, which also is a part of the bag's page."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class TurnLink:
    """A link that shows the folded bag from another side."""

    label: str
    href: str
    turn: str
    tilt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedView:
    """The bag folded up, seen from one side. Without `svg` the sketch stands in until a script has asked `src`."""

    src: str
    href: str
    turn: str
    tilt: str
    svg: Markup
    stand_in: Markup
    words: str
    notes: tuple[str, ...]
    steps: tuple[TurnLink, ...]


@dataclass(frozen=True, slots=True)
class FoldedPage:
    """folded.html"""

    folded: FoldedView
