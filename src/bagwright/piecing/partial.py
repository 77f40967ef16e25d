"""Partial covers: what is laid, what is still bare."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import border_inside_mm, with_area, without_holes, without_slivers
from bagwright.model.cover import CoverRequest, ScrapPlacement
from bagwright.piecing.heap import Heap
from bagwright.piecing.measures import cuts_to_trim

SLIVER_MM = 0.1
_LEAST_PART_MM2 = 4.0
_LEAST_WIDE_MM = 1.0
"""Nobody keeps a strip narrower than this."""
SCRAP_COSTS = 0.003
"""One scrap more must cover so much more of the need to be worth laying."""
CUT_COSTS = 2.5e-4
"""Toll for each cut."""
JOIN_NEAR_COSTS = 1e-4
"""Toll for each mm of join too near a line that joins keep off, as a share of the need."""
_HAIRS_MM2, _HAIRS_SHARE = 20.0, 0.002
_OFF_THE_BORDER_MM = 0.6
_SIDES = ((1, 0), (-1, 0), (0, 1), (0, -1))
_RIM_MM = 80.0


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
    """A cover in the making. `toll`: what cuts and joins near lines to keep off cost, as a share of the need."""

    laid: tuple[Laid, ...]
    bare: Region = field(repr=False)
    bare_mm2: float
    promise: float
    toll: float = 0.0

    @property
    def key(self) -> frozenset[tuple[int, int, int, int]]:
        """Equal for the same scraps in the same places, whatever their order."""
        return frozenset((one.scrap, round(one.turn * 40), round(one.x), round(one.y)) for one in self.laid)

    def worth(self, need_mm2: float) -> float:
        """What is compared: share covered less the tolls for scraps, cuts and joins."""
        return 1 - self.bare_mm2 / need_mm2 - SCRAP_COSTS * len(self.laid) - self.toll


def start(need: Region) -> Partial:
    """Nothing laid yet."""
    return Partial((), without_slivers(need, SLIVER_MM), need.area_mm2, 0.0)


def lay(partial: Partial, heap: Heap, laid: Laid, promise: float = 0.0, *, sliver_mm: float = SLIVER_MM) -> Partial:
    """With one scrap more; what is left bare but thinner than `sliver_mm` is forgotten."""
    outline = heap.shapes[laid.scrap].moved(laid.move)
    bare = without_slivers(partial.bare.minus(outline), sliver_mm)
    toll = partial.toll + _cuts_cost(partial, heap, outline, bare) + _joins_cost(partial, heap, outline)
    return Partial((*partial.laid, laid), bare, bare.area_mm2, partial.promise + promise, toll)


def _cuts_cost(partial: Partial, heap: Heap, outline: Region, bare: Region) -> float:
    """Toll for the cuts that trim a scrap to what was bare; none for one that only overlaps by hairs."""
    wasted_mm2 = outline.area_mm2 - (partial.bare_mm2 - bare.area_mm2)
    if wasted_mm2 < max(_HAIRS_MM2, _HAIRS_SHARE * outline.area_mm2):
        return 0.0
    return CUT_COSTS * cuts_to_trim(with_area(outline.shared_with(partial.bare)), outline)


def _joins_cost(partial: Partial, heap: Heap, outline: Region) -> float:
    """Toll for the border that runs through bare ground near a line to keep off: a join will lie there, or a gap."""
    if heap.keep_off is None:
        return 0.0
    ground = heap.keep_off.shared_with(partial.bare.grown(-_OFF_THE_BORDER_MM))
    return 0.0 if ground.is_empty else JOIN_NEAR_COSTS * border_inside_mm(outline, ground)


def nudged(laid: Laid, heap: Heap, step_mm: float) -> list[Laid]:
    """It shifted to each side and, if scraps turn freely, turned each way so that its rim moves by about as much."""
    found = [Laid(laid.scrap, laid.turn, laid.x + dx * step_mm, laid.y + dy * step_mm) for dx, dy in _SIDES]
    if heap.turns is None:
        middle, held = complex(*heap.middles[laid.scrap]), complex(laid.x, laid.y)
        for turn in (step_mm / _RIM_MM, -step_mm / _RIM_MM):
            stays = middle * np.exp(1j * laid.turn)
            to = held + stays - stays * np.exp(1j * turn)
            found.append(Laid(laid.scrap, laid.turn + turn, float(to.real), float(to.imag)))
    return found


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
