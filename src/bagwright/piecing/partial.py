"""Partial covers: what is laid, what is still bare."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import with_area, without_holes, without_slivers
from bagwright.model.cover import CoverRequest, ScrapPlacement
from bagwright.piecing.heap import Heap

SLIVER_MM = 0.1
_LEAST_PART_MM2 = 4.0
_LEAST_WIDE_MM = 1.0
"""Nobody keeps a strip narrower than this."""
SCRAP_COSTS = 0.003
"""One scrap more must cover so much more of the need to be worth laying."""


@dataclass(frozen=True, slots=True)
class Laid:
    """One scrap where it lies. Turn in radians."""

    scrap: int
    turn: float
    x: float
    y: float

    @property
    def move(self) -> Affine:
        """From the scrap's frame to the template's."""
        return Affine(round(float(np.degrees(self.turn)) % 360, 9), (self.x, self.y))


@dataclass(frozen=True, slots=True)
class Partial:
    """A cover in the making."""

    laid: tuple[Laid, ...]
    bare: Region = field(repr=False)
    bare_mm2: float
    promise: float

    @property
    def key(self) -> frozenset[tuple[int, int, int, int]]:
        """Equal for the same scraps in the same places, whatever their order."""
        return frozenset((one.scrap, round(one.turn * 40), round(one.x), round(one.y)) for one in self.laid)

    def worth(self, need_mm2: float) -> float:
        """What is compared: share covered less a toll for each scrap."""
        return 1 - self.bare_mm2 / need_mm2 - SCRAP_COSTS * len(self.laid)


def start(need: Region) -> Partial:
    """Nothing laid yet."""
    return Partial((), without_slivers(need, SLIVER_MM), need.area_mm2, 0.0)


def lay(partial: Partial, heap: Heap, laid: Laid, promise: float = 0.0, *, sliver_mm: float = SLIVER_MM) -> Partial:
    """With one scrap more; what is left bare but thinner than `sliver_mm` is forgotten."""
    outline = heap.shapes[laid.scrap].moved(laid.move)
    bare = without_slivers(partial.bare.minus(outline), sliver_mm)
    return Partial((*partial.laid, laid), bare, bare.area_mm2, partial.promise + promise)


def relay(need: Region, heap: Heap, laid: Iterable[Laid]) -> Partial:
    """From the start again with these."""
    partial = start(need)
    for one in laid:
        partial = lay(partial, heap, one)
    return partial


def placements_of(request: CoverRequest, heap: Heap, partial: Partial) -> tuple[ScrapPlacement, ...]:
    """The scraps with what stays of each: what no scrap laid before covers."""
    bare, placements = request.need, []
    for one in partial.laid:
        scrap = heap.scraps[one.scrap]
        outline = scrap.region.moved(one.move)
        free = with_area(outline.shared_with(bare))
        kept = with_area(without_slivers(free, _LEAST_WIDE_MM).shared_with(free))
        parts = [piece for part in kept.parts() if part.area_mm2 > _LEAST_PART_MM2 for piece in without_holes(part)]
        if parts:
            placements.append(ScrapPlacement(scrap.id, one.move.turn_deg, one.x, one.y, tuple(parts)))
            bare = with_area(bare.minus(Region.union(parts)))
    return tuple(placements)
