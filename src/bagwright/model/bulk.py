"""How thick it gets under the needle: what a piece is made of, and every seam and crossing with its layers."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.material import Extent
from bagwright.model.source import Band, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamLayer:
    """One layer of a piece as a seam meets it; `zone` names the part that it covers if it does not cover all."""

    name: str
    thickness_mm: Reading
    extent: Extent = Extent.WHOLE
    zone: str = ""


class Fit(StrEnum):
    """Whether a machine sews through: surely, perhaps, surely not."""

    FITS = "fits"
    MAY_FIT = "may be too thick"
    TOO_THICK = "too thick"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamBulk:
    """What the needle meets along one seam, or where it crosses seams sewn before it (`crosses` names those steps).

    `at_mm`: how far along the seam a crossing lies. As cut, and `trimmed`: with all but the outermost layer of every
    piece trimmed out of the seam allowances before they are sewn over.
    """

    seam_id: str
    name: str
    order: int
    crosses: tuple[str, ...]
    at_mm: float | None
    layers: int
    thickness_mm: Band
    trimmed_layers: int
    trimmed_mm: Band

    def fit(self, takes_mm: float, *, trimmed: bool = False) -> Fit:
        """Whether a machine that takes `takes_mm` under its foot sews it."""
        band = self.trimmed_mm if trimmed else self.thickness_mm
        if band.high <= takes_mm:
            return Fit.FITS
        return Fit.TOO_THICK if band.low > takes_mm else Fit.MAY_FIT
