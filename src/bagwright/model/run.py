"""A run: which bags are made together, and how many of each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class RunBag:
    """So many of one bag."""

    bag_id: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Bags made together. `left_worth`: what leftovers are worth to her, as a share of their price, 0 to 1.

    `version` grows by one at every save.
    """

    id: str
    name: str
    bags: tuple[RunBag, ...] = ()
    left_worth: float = 0.0
    version: int = 0
