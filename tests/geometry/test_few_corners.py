"""Fewer corners: shapely's own cover and distance judge."""

from __future__ import annotations

import math
from random import Random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.geometry.few_corners import with_corners_at_most, with_few_corners, within_few_corners
from bagwright.geometry.region import Region
from tests.geometry.shapes import star_regions


@given(star_regions(), st.integers(4, 8))
@settings(deadline=None, max_examples=40)
def test_few_corners_cover_from_outside_and_lie_inside(region, most):
    outside, inside = with_few_corners(region, most), within_few_corners(region, most)
    assert outside.shape.buffer(1e-9).covers(region.shape)
    assert outside.corners <= most
    assert region.shape.buffer(1e-9).covers(inside.shape)


@pytest.mark.parametrize("seed", [4, 9])
def test_spiky_outlines_of_many_corners_stay_in_one_part_when_they_get_fewer(seed):
    """With these, found by trying, plain simplifying by shapely tears thin places: no order of cuts was found."""
    rng, turns = Random(seed), [i * math.tau / 900 for i in range(900)]
    ring = [((10 + 90 * rng.random()) * math.cos(t), (10 + 90 * rng.random()) * math.sin(t)) for t in turns]
    parts = shapely.get_parts(shapely.Polygon(ring).buffer(0))
    spiky = Region.from_ring(Region(max(parts, key=shapely.area)).outer_ring())
    few = with_corners_at_most(spiky, 400)
    assert len(few.outer_ring()) == few.corners <= 400 < spiky.corners
    assert shapely.hausdorff_distance(spiky.shape, few.shape) <= 20
