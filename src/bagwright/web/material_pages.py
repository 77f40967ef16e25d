"""The page values of the shelf and of one material."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.pages import Check, Field, Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFact:
    """One number of a material; `mark` says how it is known."""

    label: str
    value: str
    mark: str
    is_usual: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialCard:
    """One material on the shelf."""

    name: str
    href: str
    words: str
    swatch: Markup
    picture: str
    facts: tuple[CardFact, ...]
    next_step: str


@dataclass(frozen=True, slots=True)
class MaterialGroup:
    """Materials of one kind."""

    name: str
    materials: tuple[MaterialCard, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialsPage:
    """materials.html"""

    frame: Frame
    groups: tuple[MaterialGroup, ...]
    away: tuple[MaterialCard, ...]
    has_usual: bool
    new_fields: tuple[Field, ...]
    said: str
    problems: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingForm:
    """One property: value or range, how it is known, who says so."""

    value: Field
    known: Field
    said_by: Field
    note: str


@dataclass(frozen=True, slots=True)
class ReadingGroup:
    """Properties that belong together."""

    title: str
    readings: tuple[ReadingForm, ...]

    @property
    def is_told(self) -> bool:
        """Whether anything is known of them, or typed wrong: they are shown then."""
        return any(one.value.value or one.value.problem or one.said_by.problem for one in self.readings)


@dataclass(frozen=True, slots=True, kw_only=True)
class FromName:
    """What the name tells; `facts` can be put in at once, the width stands in the form of an offer."""

    facts: tuple[tuple[str, str], ...]
    width: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferForm:
    """One offer, or a new one of its kind."""

    id: str
    version: int
    sold: str
    headline: str
    fields: tuple[Field, ...]
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialPage:
    """material.html"""

    frame: Frame
    id: str
    version: int
    name: str
    kind: str
    swatch: Markup
    picture: str
    picture_problem: str
    plain_fields: tuple[Field, ...]
    traits: tuple[Check, ...]
    advice: tuple[str, ...]
    from_name: FromName | None
    readings: tuple[ReadingGroup, ...]
    overhang_words: str
    can_be_measured: bool
    offers: tuple[OfferForm, ...]
    new_offers: tuple[OfferForm, ...]
    dropped_offer: str
    said: str
    stale: str
    is_away: bool
    can_undo: bool
    can_redo: bool
