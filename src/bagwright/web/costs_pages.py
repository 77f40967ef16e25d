"""The page value of running costs."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.pages import Check, Field, Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyView:
    """One small supply: its fields, and boxes for the seams that it goes along; `counts` says whether it is counted."""

    title: str
    hint: str
    counts: str
    fields: tuple[Field, ...]
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CostsPage:
    """costs.html; `overhead_now` and `scraps_now`: how they are reckoned as it stands."""

    frame: Frame
    version: int
    said: str
    stale: str
    overhead_now: str
    month: tuple[Field, ...]
    shared: tuple[Field, ...]
    supplies: tuple[SupplyView, ...]
    own: tuple[SupplyView, ...]
    scraps: tuple[Field, ...]
    prices: tuple[Field, ...]
