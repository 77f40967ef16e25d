"""Which cells of a grid are free, against what GEOS says of each cell."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from bagwright.geometry.free_cells import free_cells
from bagwright.geometry.largest_rectangle import largest_rectangle
from bagwright.geometry.region import Region

SLACK_MM = 1e-6
corners = st.tuples(st.integers(0, 40), st.integers(0, 30))


@settings(max_examples=60)
@given(
    st.lists(st.lists(corners, min_size=3, max_size=8, unique=True), min_size=1, max_size=3),
    st.lists(st.integers(-2, 42), min_size=2, max_size=9, unique=True),
    st.lists(st.integers(-2, 32), min_size=2, max_size=9, unique=True),
)
def test_free_cells_agree_with_geos(hulls, xs, ys):
    """Shapes with holes, notches and several parts: one hull more, the next less, all corners on a grid of whole mm."""
    shape: BaseGeometry = shapely.Polygon()
    for number, points in enumerate(hulls):
        hull = shapely.MultiPoint(points).convex_hull
        shape = shape.symmetric_difference(hull, grid_size=1e-8) if number % 2 else shape.union(hull, grid_size=1e-8)
    region = Region(shape)
    if not list(region.parts()):
        return
    along, across = np.array(sorted(xs), dtype=float), np.array(sorted(ys), dtype=float)
    cells = [
        shapely.box(a + SLACK_MM, c + SLACK_MM, b - SLACK_MM, d - SLACK_MM)
        for a, b in pairwise(along.tolist())
        for c, d in pairwise(across.tolist())
    ]
    found = free_cells(region.rings(), along, across, slack_mm=SLACK_MM)
    # A corner that GEOS put on its fine grid lies off its edge by up to 1e-8 mm: what is nearer than that may differ.
    for free, cell in zip(found.ravel().tolist(), cells, strict=True):
        if shapely.distance(shape.boundary, cell) > 1e-7 or free:
            assert free == shape.buffer(1e-7).covers(cell)


def test_a_turned_square_holds_what_calculus_says():
    """In a square of side s turned by an eighth the largest upright rectangle is the square with sides s / sqrt 2."""
    half = 100 / math.sqrt(2)
    found = largest_rectangle(Region.from_ring([(half, 0), (0, half), (-half, 0), (0, -half)]))
    assert found is not None
    assert (found[2] - found[0]) * (found[3] - found[1]) == pytest.approx(100 * 100 / 2, rel=0.01)
