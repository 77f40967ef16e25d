"""A photo of the mat that was brought and is being looked at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bagwright.model.found_outline import FoundOutlines, OutlineWishes


@dataclass(frozen=True, slots=True)
class InStash:
    """The piece of the stash that an outline became, and the version it was given then."""

    piece_id: str
    version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtPhoto:
    """As it came, what was found and put right, and straightened.

    `in_stash`: by number, which outlines were put in the stash. `can_undo`: something was put right.
    """

    name: str
    data: bytes = field(repr=False)
    wishes: OutlineWishes
    found: FoundOutlines = field(repr=False)
    picture: bytes = field(repr=False)
    px_per_mm: float
    in_stash: Mapping[int, InStash] = field(default_factory=dict)
    can_undo: bool = False


@dataclass(frozen=True, slots=True)
class PhotoLine:
    """One photo in a list: its name, how many outlines it holds, and how many of them were put in the stash."""

    token: str
    name: str
    outlines: int
    in_stash: int
