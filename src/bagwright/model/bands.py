"""Bands: strips torn or cut with a rotary cutter right across the cloth, then cut to length."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.source import Verdict


class StripWay(StrEnum):
    """How strips are cut: each by itself where it lies best; out of bands across the cloth; on the bias, in one go
    out of a square, or from edge to edge of the cloth and joined."""

    LAID = "laid"
    BANDS = "bands"
    BIAS_SQUARE = "bias square"
    BIAS_STRIPS = "bias strips"

    @property
    def is_bias(self) -> bool:
        """Whether it is for strips that lie slantwise on the cloth."""
        return self in (StripWay.BIAS_SQUARE, StripWay.BIAS_STRIPS)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripWish:
    """How the strips of one material are cut: those of one piece, or, with an empty `piece_id`, all that have no wish
    of their own."""

    material_id: str
    way: StripWay
    piece_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BandStrip:
    """A strip or strap `count` times. `may_join`: its length may be joined from parts; else it stays whole."""

    id: str
    length_mm: float
    width_mm: float
    count: int = 1
    may_join: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BandRequest:
    """Strips out of bands `band_mm` long (the usable width of the cloth, or its length if they run along it).

    A join takes `join_mm` of length from the two parts together; no part is shorter than `least_part_mm`.
    """

    band_mm: float
    strips: tuple[BandStrip, ...]
    join_mm: float = 20.0
    least_part_mm: float = 100.0


@dataclass(frozen=True, slots=True)
class BandPart:
    """A stretch of a band: `part` of `copy` of a strip, both from 0, from `start_mm` along the band."""

    id: str
    copy: int
    part: int
    start_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Band:
    """One band across the cloth, and what it is cut into."""

    width_mm: float
    parts: tuple[BandPart, ...]


@dataclass(frozen=True, slots=True)
class BandPlan:
    """A checked answer to a `BandRequest`. `taken_mm`: cloth taken up by all bands side by side. `joins`: in all.

    `is_least`: no plan could take less cloth, by the area of the strips of each width.
    """

    bands: tuple[Band, ...]
    taken_mm: float
    joins: int
    is_least: bool
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class JoinedStrip:
    """`count` copies of a strip that are joined from parts, each part a shape of the layout, in their order."""

    strip_id: str
    part_ids: tuple[str, ...]
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BandsInLayout:
    """Strips of a layout that come out of whole bands. `asked`: the strips as they are sewn.

    `bands`: what each is cut into; their parts bear the ids of shapes in the layout, and stand apart by its gap.
    """

    asked: BandRequest
    bands: tuple[Band, ...]
    joined: tuple[JoinedStrip, ...] = ()

    @property
    def joins(self) -> int:
        """Joins in all."""
        return sum((len(one.part_ids) - 1) * one.count for one in self.joined)
