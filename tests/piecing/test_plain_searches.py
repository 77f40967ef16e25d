"""Ours is never worse than two plain searches: correlation on a raster, and a beam over corners."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.model.cover import CoverSettings
from bagwright.piecing.cover import cover_template
from bagwright.piecing.ranking import rank_of_cover
from tests.piecing.plain_beam import beam_covers
from tests.piecing.plain_correlation import correlated_cover
from tests.piecing.planted import planted


@pytest.mark.parametrize(("seed", "grain", "missing"), [(1, True, 1), (4, False, 1)])
def test_ours_is_never_worse_than_correlation_or_a_beam(seed, grain, missing):
    planted_request, *_ = planted(seed, 3, grain=grain, missing=missing, strays=3)
    request = replace(planted_request, max_scraps=5)
    correlated = correlated_cover(request)
    ours = cover_template(request, settings=CoverSettings(iterations=120))
    rank = rank_of_cover(request, ours.measures, len(ours.placements))
    assert correlated
    for scraps, measures in [correlated, *beam_covers(request)]:
        assert rank >= rank_of_cover(request, measures, scraps)
