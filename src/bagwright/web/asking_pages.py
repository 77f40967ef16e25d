"""The page value of what to ask for a bag."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.counting_pages import CountingView
from bagwright.web.lacks import Lack
from bagwright.web.pages import Field, Frame, Table


@dataclass(frozen=True, slots=True, kw_only=True)
class WayView:
    """One way of selling: sentences first, the figures below."""

    name: str
    asked: str
    sentences: tuple[str, ...]
    splits: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class BringingView:
    """How many to bring to a market day."""

    lead: str
    sentences: tuple[str, ...]
    counts: Table


@dataclass(frozen=True, slots=True, kw_only=True)
class AskingPage:
    """asking.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    lead: str
    groups: tuple[tuple[str, tuple[Field, ...]], ...]
    ways: tuple[WayView, ...]
    bringing: BringingView | None
    money: str
    problems: tuple[Lack, ...]
    limits: tuple[str, ...]
    counting: CountingView
