"""Neighbours, against distances by shapely."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bagwright.geometry.neighbours import Neighbours
from bagwright.geometry.region import Region

SQUARE = Region.rectangle((0, 0), (100, 100))
SHIFTS = st.tuples(st.floats(-150, 150), st.floats(-150, 150))


@given(st.lists(SHIFTS, min_size=1, max_size=12), st.floats(0, 50))
def test_property_neighbours_miss_none_within_reach(shifts, within):
    regions = [SQUARE.shifted(*shift) for shift in shifts]
    near = Neighbours.of(regions).near(SQUARE, within_mm=within)
    for i, region in enumerate(regions):
        if region.distance_mm(SQUARE) <= within - 1e-9:
            assert i in near
