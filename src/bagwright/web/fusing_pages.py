"""What the page of a bag shows of fusing: words ready to be shown."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class JointView:
    """One layer fused to the one outside it."""

    verdict: str
    is_sure: bool
    how: tuple[tuple[str, str], ...]
    conflicts: tuple[str, ...]
    ways_out: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FusingView:
    """All that is fused in one role, what was taken for granted, and the cautions of the iron."""

    joints: tuple[JointView, ...]
    notes: tuple[str, ...]
    assumed: tuple[str, ...]
    cautions: tuple[str, ...]
