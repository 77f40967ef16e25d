"""Curves cut in two: the parts lie on the whole, and their lengths add up."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from bagwright.geometry.curves import Arc, Cubic, Line
from bagwright.geometry.outline import Edge
from bagwright.geometry.splitting import split_curve, split_curves, split_edge

numbers = st.floats(-200, 200).map(lambda number: round(number, 3))
points = st.tuples(numbers, numbers)
curves = st.one_of(
    st.builds(Line, points, points),
    st.builds(Arc, points, points, st.floats(5, 355) | st.floats(-355, -5)),
    st.builds(Cubic, points, points, points, points),
)


def speed(cubic, t):
    legs = [
        (a, b)
        for a, b in zip((cubic.start, cubic.first, cubic.second), (cubic.first, cubic.second, cubic.end), strict=True)
    ]
    weights = (3 * (1 - t) ** 2, 6 * t * (1 - t), 3 * t * t)
    return math.hypot(*(sum(w * (b[i] - a[i]) for w, (a, b) in zip(weights, legs, strict=True)) for i in (0, 1)))


gentle = st.builds(
    lambda rise, fall: Cubic((0.0, 0.0), (60.0, rise), (120.0, fall), (180.0, 0.0)),
    st.floats(-90, 90),
    st.floats(-90, 90),
)


@given(gentle)
def test_length_of_a_cubic_agrees_with_adaptive_quadrature(cubic):
    # scipy's QUADPACK, another way to integrate the same speed.
    expected = sum(quad(lambda t: speed(cubic, t), k / 8, (k + 1) / 8, limit=200)[0] for k in range(8))
    assert cubic.length_mm == pytest.approx(expected, abs=1e-6)


@given(curves, st.floats(0.02, 0.98))
def test_property_parts_lie_on_the_whole_and_add_up(curve, share):
    assume(curve.length_mm > 1)
    at_mm = share * curve.length_mm
    before, after = split_curve(curve, at_mm)
    assert before.start == curve.start
    assert math.dist(after.end, curve.end) < 1e-6
    assert math.dist(before.end, after.start) < 1e-9
    assert before.length_mm == pytest.approx(at_mm, abs=0.01)
    assert before.length_mm + after.length_mm == pytest.approx(curve.length_mm, abs=0.01)
    assert before.swept_area_mm2() + after.swept_area_mm2() == pytest.approx(curve.swept_area_mm2(), rel=1e-6, abs=1e-4)


def test_a_run_is_cut_at_a_joint_if_there_is_one():
    run = (Line((0, 0), (10, 0)), Line((10, 0), (10, 5)), Line((10, 5), (0, 5)))
    assert split_curves(run, 10) == (run[:1], run[1:])
    assert split_curves(run, 10 + 1e-9) == (run[:1], run[1:])
    assert split_curves(run, 12) == ((run[0], Line((10, 0), (10, 2))), (Line((10, 2), (10, 5)), run[2]))
    assert split_curves(run, 25) == (run, ())


def test_an_edge_becomes_two_of_new_names():
    edge = Edge("left", (Line((0, 8), (0, 0)),))
    upper, lower = split_edge(edge, 3, ("left_1", "left_2"))
    assert (upper.name, upper.length_mm, lower.name, lower.length_mm) == ("left_1", 3, "left_2", 5)
