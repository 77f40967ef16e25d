"""The page value of where the money of a bag goes."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.lacks import Lack
from bagwright.web.pages import Field, Frame, Table


@dataclass(frozen=True, slots=True)
class SpentView:
    """One part of the price, opened by its lines."""

    name: str
    amount: str
    lines: Table


@dataclass(frozen=True, slots=True)
class TotalLink:
    """One total that what matters can be told for."""

    name: str
    href: str
    is_chosen: bool


@dataclass(frozen=True, slots=True)
class KnownView:
    """The ranges that rest on one kind of knowledge."""

    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundMoney:
    """Everything that was found."""

    lead: str
    strip: Markup
    parts: tuple[SpentView, ...]
    sure: tuple[str, ...]
    totals: Table
    links: tuple[TotalLink, ...]
    bars: Markup
    swings_said: tuple[str, ...]
    swings: Table | None
    known: tuple[KnownView, ...]
    exact: str
    method: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FieldGroup:
    """Fields that are opened when they are needed."""

    name: str
    hint: str
    fields: tuple[Field, ...]
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyPage:
    """money.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    first: tuple[Field, ...]
    groups: tuple[FieldGroup, ...]
    chosen: str
    found: FoundMoney | None
    stale: tuple[Lack, ...]
    problems: tuple[Lack, ...]
    asking: str
