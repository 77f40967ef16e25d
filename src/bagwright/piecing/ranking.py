"""Which of two covers is better.

One that is enough goes before one that is not. Of those that are not, the one that covers more; of those that are, one
that covers all without a cut, else one that leaves next to nothing bare. Of equals in this, the one that is less work
for what it covers: fewer scraps, then fewer cuts and less join near lines to keep off.
"""

from __future__ import annotations

from bagwright.model.cover import CoverMeasures, CoverRequest
from bagwright.piecing.partial import CUT_COSTS, JOIN_NEAR_COSTS, Partial

NEXT_TO_ALL, ALL = 0.995, 0.9995
"""Shares of the need that leave next to nothing, and nothing, bare."""
MORE = 2e-4
"""Of covers that are not enough, one covers more if it is by so much of the need."""
SCRAP_WEIGHS = 0.005
"""What a scrap more must cover: of covers that leave next to nothing bare, fewer scraps are better."""

Rank = tuple[bool, int, float]
"""Whether it is enough; how far it covers, in steps; share covered less what scraps, cuts and joins weigh."""
WORST: Rank = (False, -1, float("-inf"))
LITTLE_BARE: Rank = (True, 1, float("-inf"))
"""Of a cover that leaves next to nothing bare, at worst."""


def does_its_work(request: CoverRequest, measures: CoverMeasures) -> bool:
    """Whether share covered and widest gap are as was asked."""
    return measures.covered_share >= request.enough_share and measures.widest_gap_mm <= request.widest_gap_mm


def rank_of_cover(request: CoverRequest, measures: CoverMeasures, scraps: int) -> Rank:
    """Of a cover that is measured; `scraps` is how many it takes."""
    toll = JOIN_NEAR_COSTS * measures.join_near_mm + CUT_COSTS * measures.cuts
    return _rank(does_its_work(request, measures), measures.covered_share, scraps, toll)


def rank_at_best(request: CoverRequest, partial: Partial, *, has_wide_gap: bool = False, more_scraps: int = 0) -> Rank:
    """What a cover in the making may rank, with so many scraps more."""
    share = 1 - partial.bare_mm2 / request.need.area_mm2
    is_enough = share >= request.enough_share and not has_wide_gap
    return _rank(is_enough, share, len(partial.laid) + more_scraps, partial.toll)


def _rank(is_enough: bool, share: float, scraps: int, toll: float) -> Rank:
    covers = (share >= NEXT_TO_ALL) + (share >= ALL and toll == 0) if is_enough else int(share / MORE)
    return is_enough, covers, round(share - SCRAP_WEIGHS * scraps - toll, 6)
