"""Covers: scraps pieced edge to edge under a template. Frame and outlines of the template; mm and degrees."""

from __future__ import annotations

from dataclasses import dataclass, field

from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import Region
from bagwright.model.source import Verdict

LEAST_CUT_MM = 0.5
"""Nobody cuts off less than this: a kept part whose edge lies so close to the scrap's own is not cut there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverScrap:
    """One scrap, seen from the side that will lie up. `grain_deg`: direction of its grain in its own frame, if any.

    It is never turned over: one side may be fusible.
    """

    id: str
    region: Region = field(repr=False)
    grain_deg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverRequest:
    """A template and the scraps at hand. `need`: what has to be covered; `keep_off`: lines that joins stay away from.

    `keeps_grain`: the grain of each scrap must run along x, either way; else scraps turn freely.
    `enough_share` and `widest_gap_mm`: from where on the cover does its work.
    """

    need: Region = field(repr=False)
    scraps: tuple[CoverScrap, ...] = field(repr=False)
    keeps_grain: bool = False
    max_scraps: int = 7
    keep_off: tuple[tuple[Point, ...], ...] = ()
    keep_off_mm: float = 5.0
    enough_share: float = 0.97
    widest_gap_mm: float = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverSettings:
    """Budget of a search. `seconds` 0 = first answer only, unless `iterations` asks for so many rounds of search."""

    seconds: float = 0.0
    iterations: int | None = None
    seed: int = 1


@dataclass(frozen=True, slots=True)
class ScrapPlacement:
    """Where a scrap lies: turned about the origin, then shifted. `kept`: what stays of it, parts without holes."""

    id: str
    turn_deg: float
    x_mm: float
    y_mm: float
    kept: tuple[Region, ...] = field(repr=False)

    @property
    def move(self) -> Affine:
        """The move from the scrap's own outline to the template."""
        return Affine(self.turn_deg, (self.x_mm, self.y_mm))

    @property
    def kept_mm2(self) -> float:
        """Area that stays."""
        return sum(part.area_mm2 for part in self.kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverMeasures:
    """What a cover comes to. `cuts`: straight cuts to trim, cuts along one curve counted once.

    `join_near_mm`: length of joins too near a line that they should keep off. `wasted_mm2`: cut off used scraps.
    """

    covered_share: float
    widest_gap_mm: float
    join_mm: float
    join_near_mm: float
    cuts: int
    wasted_mm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """A checked answer to a `CoverRequest`. Placements are numbered in the order in which they are laid."""

    request_hash: str
    placements: tuple[ScrapPlacement, ...]
    measures: CoverMeasures
    is_enough: bool
    verdict: Verdict
    settings: CoverSettings


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverTemplate:
    """One of several templates: `count` copies of it are wanted. `keep_off`: lines that joins stay away from."""

    id: str
    need: Region = field(repr=False)
    count: int = 1
    keep_off: tuple[tuple[Point, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CoversRequest:
    """Several templates and one heap of scraps for all of them; the rest as in `CoverRequest`."""

    templates: tuple[CoverTemplate, ...]
    scraps: tuple[CoverScrap, ...] = field(repr=False)
    keeps_grain: bool = False
    max_scraps: int = 7
    keep_off_mm: float = 5.0
    enough_share: float = 0.97
    widest_gap_mm: float = 6.0

    def of(self, template: CoverTemplate, scraps: tuple[CoverScrap, ...]) -> CoverRequest:
        """What is asked of one template and some of the scraps."""
        return CoverRequest(
            need=template.need,
            scraps=scraps,
            keeps_grain=self.keeps_grain,
            max_scraps=self.max_scraps,
            keep_off=template.keep_off,
            keep_off_mm=self.keep_off_mm,
            enough_share=self.enough_share,
            widest_gap_mm=self.widest_gap_mm,
        )


@dataclass(frozen=True, slots=True)
class TemplateCover:
    """One copy of a template and the scraps under it."""

    template_id: str
    cover: Cover

    @property
    def scrap_ids(self) -> frozenset[str]:
        """The scraps that it takes."""
        return frozenset(one.id for one in self.cover.placements)


@dataclass(frozen=True, slots=True)
class LeftTemplate:
    """Copies of a template that stay for new material. `best_share`: the most that any cover found of it covers."""

    template_id: str
    count: int
    best_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Covers:
    """A checked answer to a `CoversRequest`: covers that do their work, no scrap in two of them, and what is left."""

    covers: tuple[TemplateCover, ...]
    left: tuple[LeftTemplate, ...]
    verdict: Verdict
    settings: CoverSettings
