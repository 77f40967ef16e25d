"""The order of covers, as the page and docs/json.md tell it."""

from __future__ import annotations

from bagwright.geometry.region import Region
from bagwright.model.cover import CoverMeasures, CoverRequest
from bagwright.piecing.ranking import rank_of_cover

REQUEST = CoverRequest(need=Region.rectangle((0, 0), (300, 200)), scraps=())


def rank(share, scraps, *, gap_mm=1.0, cuts=0, near_mm=0.0):
    measures = CoverMeasures(
        covered_share=share, widest_gap_mm=gap_mm, join_mm=0, join_near_mm=near_mm, cuts=cuts, wasted_mm2=0
    )
    return rank_of_cover(REQUEST, measures, scraps)


def test_property_what_is_enough_goes_first_then_what_covers_then_what_is_little_work():
    in_order = [
        rank(0.9996, 9),  # covers all without a cut
        rank(0.999, 4),
        rank(0.996, 4),  # covers less
        rank(0.996, 4, cuts=3),
        rank(0.996, 4, cuts=3, near_mm=2),
        rank(1.0, 5, cuts=1),  # a scrap more
        rank(0.9949, 3),  # leaves more than next to nothing bare
        rank(0.9949, 4),
        rank(0.97, 4),
        rank(0.9999, 2, gap_mm=6.1),  # not enough
        rank(0.9694, 7, cuts=30),
        rank(0.9691, 1),
        rank(0.9691, 2),
    ]
    assert in_order == sorted(in_order, reverse=True)
    assert len(set(in_order)) == len(in_order)
