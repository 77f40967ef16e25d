"""The page values of the mat: how to take a photo, and what is in one."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from bagwright.web.pages import Check, Field, Frame, Paper
from bagwright.workflows.mat_photo import CheckLook


@dataclass(frozen=True, slots=True)
class HeldPhoto:
    """A photo that she can go on with."""

    name: str
    href: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MatPage:
    """mat.html"""

    frame: Frame
    problems: tuple[str, ...]
    held: tuple[HeldPhoto, ...]
    ruler: tuple[Field, ...]
    checks: tuple[Check, ...]
    cards: tuple[Paper, ...]
    mats: tuple[Paper, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineForm:
    """One outline: the box that keeps it, what is known of it, and what differs from the others.

    `found`: its corners as they were found, as they are typed.
    """

    number: int
    check: Check
    in_stash: bool
    size: str
    found: str
    asks: tuple[str, ...]
    line: Field
    join: Field | None
    corners: Field | None
    fields: tuple[Field, ...]
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MatPhotoPage:
    """mat_photo.html"""

    frame: Frame
    token: str
    file_name: str
    picture: Markup
    told: str
    scale: str
    refused: tuple[str, ...]
    sharpened: str
    ignored: str
    problems: tuple[str, ...]
    fields: tuple[Field, ...]
    outlines: tuple[OutlineForm, ...]
    check: CheckLook | None
    ruler: tuple[Field, ...]
    checks: tuple[Check, ...]
    can_undo: bool
    done: str
    units: str
    fraction: int
