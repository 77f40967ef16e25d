"""Soft strips in space, and what facets make together."""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.spatial import ConvexHull

from bagwright.geometry.ribbons import Ribbon, RibbonEnd, Station, arch_ribbon, hanging_ribbon, straightened
from bagwright.geometry.solids import enclosed_mm3, planes_of, reach_mm
from bagwright.geometry.space import cross, dot, minus, tuple_of, unit

UP, RIGHT, AWAY = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)


def ends(span) -> tuple[RibbonEnd, RibbonEnd]:
    return RibbonEnd((-span / 2, 0, 0), AWAY, UP), RibbonEnd((span / 2, 0, 0), AWAY, UP)


def length_mm(ribbon):
    return sum(math.dist(a.middle, b.middle) for a, b in itertools.pairwise(ribbon.stations))


@pytest.mark.parametrize(("span", "length"), [(100.0, 120.0), (150.0, 600.0), (20.0, 900.0)])
def test_arch_agrees_with_the_half_ellipse_of_its_length(span, length):
    """Independent computation: the height whose half ellipse, integrated, is that long."""
    ribbon = arch_ribbon(*ends(span), length, 25.0)
    height = max(station.middle[2] for station in ribbon.stations)

    def speed(angle):
        return math.hypot(span / 2 * math.sin(angle), height * math.cos(angle))

    assert quad(speed, 0, math.pi, limit=200)[0] == pytest.approx(length, rel=0.01)
    assert length_mm(ribbon) == pytest.approx(length, rel=1e-3)
    for x, y, z in (station.middle for station in ribbon.stations):
        assert (2 * x / span) ** 2 + (z / height) ** 2 == pytest.approx(1.0, abs=0.01)
        assert y == pytest.approx(0.0)


def test_arch_limit_too_short_to_reach_is_straight_and_stops():
    ribbon = arch_ribbon(*ends(100.0), 80.0, 10.0)
    assert ribbon.stations[0].middle == pytest.approx((-50, 0, 0))
    assert ribbon.stations[-1].middle == pytest.approx((30, 0, 0))


def test_arch_limit_held_at_one_place_goes_out_and_comes_back():
    ribbon = arch_ribbon(*ends(0.0), 80.0, 20.0)
    assert ribbon.is_loop
    assert ribbon.at(40.0, 0.0) == pytest.approx((0, 0, 40))
    assert ribbon.at(80.0, 0.0) == pytest.approx((0, 0, 0))


WAYS = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda way: math.hypot(*way) > 0.2).map(unit)


@settings(max_examples=60, deadline=None)
@given(WAYS, WAYS, st.floats(50, 400), st.floats(1.1, 6))
def test_arch_property_leaves_as_told_is_as_long_and_turns_no_more_than_asked(one, other, span, share):
    """Whatever the directions: ends in place, length kept, across square to the way, no folds between stations."""

    def square(way):
        return unit(cross(way, RIGHT)) if abs(way[0]) < 0.9 else unit(cross(way, UP))

    first = RibbonEnd((0, 0, 0), square(one), one)
    last = RibbonEnd((span, 0, 0), square(other), other)
    ribbon = arch_ribbon(first, last, share * span, 10.0)
    stations = ribbon.stations
    assert stations[0].middle == pytest.approx((0, 0, 0), abs=1e-6)
    assert stations[-1].middle == pytest.approx((span, 0, 0), abs=1e-6)
    assert length_mm(ribbon) == pytest.approx(share * span, rel=0.02)
    for station in stations:
        assert math.hypot(*station.across) == pytest.approx(1.0)
    for facet in ribbon.facets():
        assert all(math.isfinite(v) for point in facet.points for v in point)
        assert math.hypot(*facet.normal) == pytest.approx(1.0)


def test_hanging_ribbon_property_has_its_area_and_its_upper_side():
    (facet,) = hanging_ribbon(RibbonEnd((0, 0, 0), RIGHT, UP), 50.0, 10.0).facets()
    assert facet.area_mm2 == pytest.approx(500.0)
    # Seen along it (up), the upper side looks left of across (right): towards the one who looks from the front.
    assert facet.normal == pytest.approx((0.0, -1.0, 0.0))
    assert facet.turned_over().normal == pytest.approx((0.0, 1.0, 0.0))
    assert sorted(facet.turned_over().points) == sorted(facet.points)


def test_straightened_property_keeps_only_where_it_bends():
    line = [Station(x, (x, 0.0, 0.0), UP) for x in (0.0, 10.0, 20.0)]
    corner = [Station(20.0 + y, (20.0, y, 0.0), UP) for y in (10.0, 20.0)]
    kept = straightened([*line, *corner])
    assert [station.along_mm for station in kept] == [0.0, 20.0, 40.0]
    for along in (5.0, 20.0, 33.0):
        assert Ribbon(kept, 8.0).at(along, 3.0) == pytest.approx(Ribbon((*line, *corner), 8.0).at(along, 3.0))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(*[st.floats(-50, 50)] * 3), min_size=8, max_size=20, unique=True))
def test_volume_agrees_with_convex_hull(points):
    """Independent computation: scipy's hull of random points, its triangles turned outwards by its own equations."""
    hull = ConvexHull(points, qhull_options="QJ")
    rings = []
    for triangle, equation in zip(hull.simplices, hull.equations, strict=True):
        a, b, c = (tuple_of(hull.points[i]) for i in triangle)
        outwards = dot(cross(minus(b, a), minus(c, a)), tuple_of(equation[:3])) > 0
        rings.append((a, b, c) if outwards else (a, c, b))
    for about in ((0.0, 0.0, 0.0), (100.0, -40.0, 7.0)):
        assert enclosed_mm3(rings, about) == pytest.approx(hull.volume, rel=1e-6, abs=1e-3)


def test_volume_limit_an_open_box_holds_what_it_would_with_a_lid():
    floor = [(0, 0, 0), (0, 3, 0), (2, 3, 0), (2, 0, 0)]
    walls = [
        [(0, 0, 0), (2, 0, 0), (2, 0, 5), (0, 0, 5)],
        [(2, 0, 0), (2, 3, 0), (2, 3, 5), (2, 0, 5)],
        [(2, 3, 0), (0, 3, 0), (0, 3, 5), (2, 3, 5)],
        [(0, 3, 0), (0, 0, 0), (0, 0, 5), (0, 3, 5)],
    ]
    assert enclosed_mm3([floor, *walls], (1.0, 1.0, 5.0)) == pytest.approx(30.0)


def test_planes_property_take_together_what_lies_flat_on_one_another_whichever_way_it_looks():
    square = [(0.0, 0.0, 0.0), (9.0, 0.0, 0.0), (9.0, 9.0, 0.0)]
    raised = [(x, y, z + 0.2) for x, y, z in square]
    far = [(x, y, z + 5.0) for x, y, z in square]
    tipped = [(0.0, 0.0, 0.0), (90.0, 0.0, 4.0), (90.0, 90.0, 4.0)]
    normals = [UP, (0.0, 0.0, -1.0), UP, unit((-4.0, 0.0, 90.0))]
    assert planes_of(normals, [square, raised, far, tipped]) == [0, 0, 1, 2]


def test_reach_property_is_the_box_around():
    assert reach_mm([(1, 5, -2), (4, -3, 0)]) == ((1, -3, -2), (4, 5, 0))
