"""Ours is never worse than two plain searches: correlation on a raster, and a beam over corners."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.model.cover import CoverSettings
from bagwright.piecing.cover import cover_template
from tests.piecing.plain_searches import beam_cover, correlated_cover
from tests.piecing.planted import planted


def is_worse(ours, theirs):
    """It covers less, unless it does all that is asked with fewer scraps, or as few and fewer cuts."""
    covers_less = ours.measures.covered_share < theirs.measures.covered_share - 1e-4
    is_simpler = (len(ours.placements), ours.measures.cuts) < (len(theirs.placements), theirs.measures.cuts)
    return covers_less and not (ours.is_enough and is_simpler)


@pytest.mark.parametrize(("seed", "grain", "missing"), [(1, True, 1), (4, False, 1)])
def test_ours_is_never_worse_than_correlation_or_a_beam(seed, grain, missing):
    planted_request, *_ = planted(seed, 3, grain=grain, missing=missing, strays=3)
    request = replace(planted_request, max_scraps=5)
    beam = beam_cover(request)
    ours = cover_template(request, settings=CoverSettings(iterations=120))
    assert not is_worse(ours, correlated_cover(request))
    assert not is_worse(ours, beam)
