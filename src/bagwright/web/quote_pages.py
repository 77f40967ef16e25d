"""The page value of the quotes of a bag."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.counting_pages import CountingView
from bagwright.web.pages import Field, Frame, Option, Table


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteCard:
    """One quote that was kept."""

    id: str
    version: int
    heading: str
    told: str
    note: str
    parts: Table
    assumed: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ComparedView:
    """Two quotes compared: a sentence, line by line, and what they rest on where that differs."""

    heading: str
    told: str
    parts: Table
    assumed: Table | None


@dataclass(frozen=True, slots=True)
class AwayQuote:
    """The quote that was just put away."""

    id: str
    version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotesPage:
    """quotes.html; `choices`: what can be compared, for the earlier and for the later price."""

    frame: Frame
    bag_id: str
    bag_name: str
    bag_version: int
    lead: str
    note_field: Field
    cards: tuple[QuoteCard, ...]
    choices: tuple[tuple[Option, ...], tuple[Option, ...]]
    compared: ComparedView | None
    away: AwayQuote | None
    problems: tuple[str, ...]
    stale: str
    counting: CountingView
