"""The page values of runs and their supply lists."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.lacks import Lack
from bagwright.web.pages import AwayView, Field, Frame, Option, Paper, SearchView, Table


@dataclass(frozen=True, slots=True)
class RunCard:
    """A run in the list."""

    name: str
    href: str
    made: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunsPage:
    """All runs."""

    frame: Frame
    runs: tuple[RunCard, ...]
    away: AwayView | None


@dataclass(frozen=True, slots=True)
class ShopView:
    """What is bought of one seller, and the form of what he asks for."""

    name: str
    headline: str
    lines: tuple[str, ...]
    version: int
    fields: tuple[Field, ...]
    can_undo: bool
    is_open: bool


@dataclass(frozen=True, slots=True)
class RunCloth:
    """One cloth with all pieces on it."""

    headline: str
    caption: str
    svg: Markup


@dataclass(frozen=True, slots=True)
class CutBeforeLine:
    """What was cut from the stash and is left out; where that is undone, or said to be sewn."""

    words: str
    bag_name: str
    href: str


@dataclass(frozen=True, slots=True)
class OneMoreLine:
    """What one more of a bag takes, in a sentence."""

    words: str


@dataclass(frozen=True, slots=True)
class MorePage:
    """The sentences on one more of each bag, and on buying each bag by itself."""

    more: tuple[OneMoreLine, ...]
    saved: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPage:
    """One run."""

    frame: Frame
    run_id: str
    version: int
    name: str
    stale: str
    problems: tuple[Lack, ...]
    name_field: Field
    counts: tuple[Field, ...]
    others: tuple[Option, ...]
    add_problem: str
    worths: tuple[Option, ...]
    headline: str
    how_sure: str
    money: Table | None
    cut_before: tuple[CutBeforeLine, ...]
    shelf: tuple[str, ...]
    shops: tuple[ShopView, ...]
    other_shops: tuple[ShopView, ...]
    old_prices: tuple[str, ...]
    lines: Table | None
    times: tuple[str, ...]
    practice: str
    cloths: tuple[RunCloth, ...]
    job: SearchView | None
    search_words: str
    more: MorePage | None
    can_undo: bool
    can_redo: bool


@dataclass(frozen=True, slots=True)
class SupplyPart:
    """Lines of a supply list under a heading."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SuppliesPage:
    """A supply list to print."""

    frame: Frame
    run_id: str
    title: str
    made: str
    is_for_group: bool
    parts: tuple[SupplyPart, ...]
    total: str
    swaps: tuple[str, ...]
    cautions: tuple[str, ...]
    papers: tuple[Paper, ...]
