"""Curves and outlines: lengths, areas, flattening to the safe side, moves."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine, Arc, Cubic, Line
from bagwright.geometry.outline import Edge, Outline, polygon_outline, rectangle_outline
from bagwright.geometry.region import FURTHEST_MM, Region, ring_fault
from tests.geometry.shapes import MOVES, OUTLINES, dart, flap, polygons, rounded_front

EACH = pytest.mark.parametrize("outline", OUTLINES.values(), ids=OUTLINES.keys())
TOLERANCES = [0.001, 0.1, 1.0]
WAVE = Cubic((0, 0), (30, -60), (80, 70), (120, -10))


@EACH
def test_area_agrees_with_a_fine_polygon(outline):
    # Second method: the shoelace sum over many corners, by shapely; chords of 1e-5 mm leave at most length x 1e-5.
    assert outline.area_mm2 == pytest.approx(outline.region(1e-5).area_mm2, abs=outline.length_mm * 1e-5)


def test_area_of_round_corners_matches_the_circle():
    # Derived: four corners of radius r take (4 - pi) r^2 off the rectangle; here two.
    assert rounded_front(300, 240, 40).area_mm2 == pytest.approx(300 * 240 - (2 - math.pi / 2) * 40**2)


def test_length_of_a_cubic_agrees_with_quad():
    # Second method: scipy.integrate.quad over the speed of the curve.
    def speed(t: float) -> float:
        points = (WAVE.start, WAVE.first, WAVE.second, WAVE.end)
        weights = (-3 * (1 - t) ** 2, 3 * (1 - t) ** 2 - 6 * t * (1 - t), 6 * t * (1 - t) - 3 * t * t, 3 * t * t)
        return math.hypot(*(sum(w * p[axis] for w, p in zip(weights, points, strict=True)) for axis in (0, 1)))

    assert WAVE.length_mm == pytest.approx(quad(speed, 0, 1)[0], abs=1e-4)


@pytest.mark.parametrize("tolerance", TOLERANCES)
@EACH
def test_property_right_only_grows_and_left_only_shrinks(outline, tolerance):
    true = outline.region(1e-6).shape
    grown, shrunk = outline.region(tolerance, "right").shape, outline.region(tolerance, "left").shape
    # "True" is itself made of chords, which may leave the curve by 1e-6 mm to either side.
    assert grown.buffer(2e-6).covers(true)
    assert true.buffer(2e-6).covers(shrunk)
    assert true.buffer(tolerance * 1.0001).covers(grown)
    assert shrunk.buffer(tolerance * 1.0001).covers(true)


@given(st.floats(1, 500), st.floats(5, 355), st.floats(0.001, 5), st.booleans())
def test_property_flattened_arcs_keep_to_their_side(radius, sweep, tolerance, clockwise):
    arc = Arc((radius, 0), (0, 0), -sweep if clockwise else sweep)
    slack = 1e-9 * radius
    for side in ("on", "left", "right"):
        line = shapely.LineString(arc.points(tolerance, side))
        nearest, furthest = line.distance(shapely.Point(0, 0)), max(math.hypot(*p) for p in line.coords)
        inside = side == "on" or (side == "left") != clockwise
        assert nearest >= (radius - tolerance if inside else radius) - slack
        assert furthest <= (radius if inside else radius + tolerance) + slack


@settings(max_examples=50, deadline=None)
@given(st.tuples(*[st.floats(0, 100)] * 4), st.tuples(*[st.floats(-40, 40)] * 4), st.sampled_from([0.001, 0.05, 0.5]))
def test_property_flattened_cubics_stay_within_the_tolerance(xs, ys, tolerance):
    cubic = Cubic(*zip(sorted(xs), ys, strict=True))
    fine = shapely.LineString(cubic.points(1e-4))
    for side in ("on", "left", "right"):
        line = shapely.LineString(cubic.points(tolerance, side))
        assert line.hausdorff_distance(fine) <= tolerance + 1e-4
        assert (line.coords[0], line.coords[-1]) == (cubic.start, cubic.end)


@pytest.mark.parametrize("half_mm", [40, 10, 2])
@pytest.mark.parametrize("side", ["on", "left", "right"])
def test_a_sharp_notch_with_curved_sides_stays_simple(half_mm, side):
    assert not dart(half_mm).region(0.001, side).is_empty


@settings(max_examples=20, deadline=None)
@given(MOVES)
@EACH
def test_property_moved_outlines_keep_area_and_edges(outline, move):
    moved = outline.moved(move)
    assert moved.area_mm2 == pytest.approx(outline.area_mm2)
    assert sorted(e.name for e in moved.edges) == sorted(e.name for e in outline.edges)
    for edge in outline.edges:
        assert moved.edge(edge.name).length_mm == pytest.approx(edge.length_mm, rel=1e-6)
        ends = {move.apply(edge.start), move.apply(edge.end)}
        for end in (moved.edge(edge.name).start, moved.edge(edge.name).end):
            assert min(math.dist(end, one) for one in ends) < 1e-9


@given(MOVES, polygons())
def test_property_moving_the_outline_agrees_with_moving_the_region(move, outline):
    # Second method: shapely's affine transform of the area.
    assert outline.moved(move).region().overlap_mm2(outline.region().moved(move)) == pytest.approx(outline.area_mm2)


@given(st.floats(-720, 720), st.floats(-100, 100), st.floats(-100, 100))
def test_property_mirroring_twice_puts_a_point_back(turn, x, y):
    # A mirroring and a turn together reflect across a line, and reflecting twice undoes it.
    move = Affine(turn_deg=turn, mirrors=True)
    assert move.apply(move.apply((x, y))) == pytest.approx((x, y), abs=1e-9)


@pytest.mark.parametrize("quarter", [0, 90, 180, 270, 360, -90, 450])
def test_quarter_turns_are_exact(quarter):
    x, y = Affine(turn_deg=quarter).apply((3.0, 1.0))
    assert {abs(x), abs(y)} == {3.0, 1.0}


@pytest.mark.parametrize("curve", [Line((0, 0), (30, 40)), Arc((50, 0), (0, 0), 120), Arc((50, 0), (0, 0), -40), WAVE])
def test_property_reversed_curves_run_back_along_the_same_path(curve):
    back = curve.reversed()
    assert (back.start, back.end) == (pytest.approx(curve.end), pytest.approx(curve.start))
    assert back.length_mm == pytest.approx(curve.length_mm)
    assert back.swept_area_mm2() == pytest.approx(-curve.swept_area_mm2())
    third = curve.length_mm / 3
    assert back.at(third) == pytest.approx(curve.at(curve.length_mm - third), abs=1e-3)


@pytest.mark.parametrize("share", [0, 0.01, 0.3, 0.5, 0.77, 1])
def test_property_walking_an_edge_covers_its_length(share):
    edge = flap().edge("wave")
    line = shapely.LineString(edge.points(1e-3))
    walked = shapely.Point(edge.at(share * edge.length_mm))
    assert line.project(walked) == pytest.approx(share * edge.length_mm, abs=0.01)
    assert math.hypot(*edge.direction_at(share * edge.length_mm)) == pytest.approx(1)


def test_walking_past_the_ends_stays_on_the_edge():
    edge = rounded_front().edge("foot")
    assert edge.at(-5) == edge.start
    assert edge.at(edge.length_mm + 5) == edge.end


def test_rejects_outlines_that_do_not_close_repeat_names_or_run_clockwise():
    with pytest.raises(BrokenPromise, match="repeat"):
        rectangle_outline(30, 20, {"top": "bottom"})
    with pytest.raises(BrokenPromise, match="starts elsewhere"):
        Outline((Edge("a", (Line((0, 0), (1, 0)),)), Edge("b", (Line((1, 0.1), (0, 0)),))))
    with pytest.raises(BrokenPromise, match="clockwise"):
        polygon_outline([("a", (0, 0)), ("b", (0, 1)), ("c", (1, 0))])
    with pytest.raises(BrokenPromise, match="no edge 'lid'"):
        rectangle_outline(30, 20).edge("lid")


@pytest.mark.parametrize(
    ("ring", "fault"),
    [
        ([], "has fewer than three different corners"),
        ([(0, 0), (1, 0), (1, 0), (0, 0)], "has fewer than three different corners"),
        ([(0, 0), (1, 1), (2, 2)], "encloses no area"),
        ([(0, 0), (2, 2), (2, 0), (0, 2)], "crosses itself near (1, 1)"),
        ([(0, 0), (math.nan, 0), (1, 1)], "has a corner that is not a number within 10 km"),
        ([(0, 0), (math.inf, 0), (1, 1)], "has a corner that is not a number within 10 km"),
        ([(0, 0), (2 * FURTHEST_MM, 0), (1, 1)], "has a corner that is not a number within 10 km"),
        ([(0, 0), (1, 0), (1, 1)], ""),
        ([(0, 0), (0, 1), (1, 1)], ""),
    ],
)
def test_rejects_rings_in_plain_words(ring, fault):
    assert ring_fault(ring) == fault
    if fault.startswith("crosses"):
        with pytest.raises(BrokenPromise):
            Region.from_ring(ring)
