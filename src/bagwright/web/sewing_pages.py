"""The page value of sewing a bag."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.lacks import Lack
from bagwright.web.pages import Field, Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class BulkView:
    """One step at its thickest: where, how thick, what to do if that is too much."""

    name: str
    where: str
    thick: str
    fits: bool
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StrapView:
    """The fields of the straps and, unless something is wrong in them, what one end bears."""

    fields: tuple[Field, ...]
    lines: tuple[str, ...]
    is_safe: bool
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SewingPage:
    """sewing.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...]
    machine: str
    worst: tuple[BulkView, ...]
    others: tuple[BulkView, ...]
    strap: StrapView | None
    problems: tuple[Lack, ...]
