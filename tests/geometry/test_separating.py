"""Lines between shapes, against distances by shapely (GEOS)."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPoint, Polygon

from bagwright.geometry.region import Region
from bagwright.geometry.separating import ConvexParts, separations

POINTS = st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20)), min_size=4, max_size=8, unique=True)


def hull_at(points, dx, dy) -> Polygon | None:
    hull = MultiPoint([(x + dx, y + dy) for x, y in points]).convex_hull
    return hull if isinstance(hull, Polygon) and hull.area > 1 else None


def parts_of(shape: Polygon) -> ConvexParts:
    return ConvexParts.of(Region.from_ring([(x, y) for x, y in list(shape.exterior.coords)[:-1]]))


@given(POINTS, POINTS, st.integers(-25, 25), st.integers(-25, 25))
@settings(max_examples=60)
def test_there_is_room_just_where_shapely_sees_a_distance_property(first, second, dx, dy):
    one, other = hull_at(first, 0, 0), hull_at(second, dx, dy)
    if one is None or other is None:
        return
    ((direction,), (gap,)) = separations(parts_of(one), parts_of(other))
    distance = one.distance(other)
    assert math.hypot(*direction) == 1 or abs(math.hypot(*direction) - 1) < 1e-12
    if one.intersection(other).area > 1e-6:
        assert gap < 0
    else:
        # the best side gives at least the distance over the square root of two, where two corners face each other
        assert -1e-9 <= gap <= distance + 1e-9
    away = parts_of(other).shifted(*(direction * (1e-6 - min(gap, 0.0))))
    assert Polygon(away.corners).intersection(one).area < 1e-9


ELL = [(0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)]


@pytest.mark.parametrize(
    "ring", [ELL, [corner for corner in ELL for _ in range(3)]], ids=["plain", "each corner thrice"]
)
def test_parts_of_an_ell_have_sides_of_length_1_that_point_outwards(ring):
    ell = ConvexParts.of(Region.from_ring(ring))
    assert np.hypot(*ell.normals.T) == pytest.approx(1)
    for part in np.split(np.arange(len(ell.corners)), ell.starts[1:]):
        outwards = ell.normals[part] * (ell.corners[part] - ell.corners[part].mean(axis=0))
        assert (outwards.sum(axis=1) > 0).all()
    assert ell.bounds == (0.0, 0.0, 3.0, 3.0)


def test_each_part_of_an_ell_has_its_own_side_to_a_square_in_its_nook():
    ell = ConvexParts.of(Region.from_ring(ELL))
    square = ConvexParts.of(Region.rectangle((1.25, 1.5), (2.25, 2.5)))
    _, gaps = separations(ell, square)
    assert sorted(gaps.tolist()) == [0.25, 0.5]
