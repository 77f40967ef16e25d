"""Shifts at which shapes meet or lie inside, against shapely's own overlap and cover at random shifts."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.geometry.no_fit import convex_parts, inner_fit, no_fit, stretches
from bagwright.geometry.region import Region
from tests.geometry.shapes import star_regions

ELL = [(0, 0), (30, 0), (30, 10), (10, 10), (10, 40), (0, 40)]
CROSS = [
    (10, 0),
    (20, 0),
    (20, 10),
    (30, 10),
    (30, 20),
    (20, 20),
    (20, 30),
    (10, 30),
    (10, 20),
    (0, 20),
    (0, 10),
    (10, 10),
]
BAR = [(0, 0), (25, 3), (24, 9), (-1, 6)]


@given(star_regions())
@settings(deadline=None, max_examples=40)
def test_convex_parts_cover_the_region_once_each_and_are_convex(region):
    parts = [shapely.Polygon(part) for part in convex_parts(region)]
    assert sum(part.area for part in parts) == pytest.approx(region.area_mm2)
    assert shapely.union_all(parts, grid_size=1e-8).symmetric_difference(region.shape, grid_size=1e-8).area < 1e-4
    assert all(part.convex_hull.area == pytest.approx(part.area) for part in parts)
    assert all(part.exterior.is_ccw for part in [*parts, *map(shapely.Polygon, convex_parts(Region.from_ring(BAR)))])


@given(st.sampled_from([ELL, CROSS, BAR]), star_regions(), st.floats(-60, 60), st.floats(-60, 60))
@settings(deadline=None, max_examples=60)
def test_no_fit_agrees_with_overlap_in_shapely(ring, moving, x, y):
    still = Region.from_ring(ring)
    blocked = no_fit(convex_parts(still), convex_parts(moving)).shape
    at = shapely.Point(x, y)
    if blocked.boundary.distance(at) > 1e-6:
        overlap = shapely.intersection(still.shape, moving.shifted(x, y).shape, grid_size=1e-8).area
        assert blocked.contains(at) == (overlap > 0)


@given(star_regions(), st.sampled_from([BAR, ELL]), st.floats(-40, 40), st.floats(-40, 40))
@settings(deadline=None, max_examples=60)
def test_inner_fit_agrees_with_cover_in_shapely(hole, ring, x, y):
    sheet = Region(shapely.box(-60, -50, 60, 50)).minus(hole.shifted(-20, -10))
    moving = Region.from_ring(ring)
    room = inner_fit(sheet, convex_parts(moving)).shape
    at = shapely.Point(x, y)
    if room.boundary.distance(at) > 1e-6:
        assert room.contains(at) == sheet.shape.covers(moving.shifted(x, y).shape)


def test_nothing_fits_where_the_container_is_too_small():
    assert inner_fit(Region.rectangle((0, 0), (10, 10)), convex_parts(Region.from_ring(ELL))).is_empty


def test_stretches_of_a_cross_by_hand():
    cross = Region.from_ring(CROSS)
    assert stretches(cross, [5.0, 15.0, 35.0], across=False) == [[(10.0, 20.0)], [(0.0, 30.0)], []]
    assert stretches(cross, [5.0], across=True) == [[(10.0, 20.0)]]
