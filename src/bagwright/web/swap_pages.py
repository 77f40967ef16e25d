"""The page value of the stacks that could be used instead."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.lacks import Lack
from bagwright.web.pages import Frame, Option


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapView:
    """One stack that could be used instead: what it is, what changes, and the layers to send if she takes it."""

    headline: str
    differences: tuple[tuple[str, str], ...]
    layers: tuple[tuple[str, str, str], ...]
    is_now: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapsPage:
    """swaps.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    version: int
    role_key: str
    role_name: str
    now: str
    keeps: tuple[Option, ...]
    swaps: tuple[SwapView, ...]
    told: str
    lacks: tuple[Lack, ...]
    limits: tuple[str, ...]
