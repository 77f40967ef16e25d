"""Needle, thread and stitch for a seam, and how much it and a strap can bear."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.source import Band


class Cloth(StrEnum):
    """How heavy what is sewn is, or that its holes stay."""

    LIGHT = "light"
    MEDIUM = "medium"
    HEAVY = "heavy"
    HOLES_STAY = "holes stay"


class StitchType(StrEnum):
    """Stitch types of ISO 4915 that the strength rule covers."""

    LOCKSTITCH = "lockstitch"
    CHAINSTITCH = "chainstitch"


@dataclass(frozen=True, slots=True, kw_only=True)
class SewingAdvice:
    """What to sew with, needles by metric number (hundredths of a mm); and in words what to mind and who says so."""

    needle_nm: Band
    thread_tex: Band
    stitch_mm: Band
    notes: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StrapJoin:
    """One end of a strap: the pull on it, what its stitching bears, and how many times the pull that is.

    `pull_n`: with the load at rest, hanging as the strap does; `peak_n`: with jerks; `safety`: bears over peak.
    """

    pull_n: float
    peak_n: float
    bears_n: Band
    safety: Band
    word: str
    cautions: tuple[str, ...]
