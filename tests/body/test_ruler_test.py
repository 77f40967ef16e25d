"""The ruler test: scaling laws, round trips, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.body.ruler_test import bending_length_mm, bending_length_of_rigidity_mm, over_all, rigidity_unm
from bagwright.body.standing import standing_height_mm
from bagwright.errors import FaultyInput

ANGLES = st.floats(5, 80).map(lambda angle: round(angle, 1))
LENGTHS = st.floats(1, 500)
MASSES = st.floats(5, 3000)
NOT_SIZES = [0.0, -1.0, math.nan, math.inf, -math.inf, 1e300, 1e-300]


@given(LENGTHS, ANGLES, st.floats(0.1, 10))
def test_property_bending_length_scales_with_overhang(overhang, angle, scale):
    once, scaled = (bending_length_mm(length, angle_deg=angle) for length in (overhang, overhang * scale))
    assert scaled == pytest.approx(scale * once)


@given(ANGLES, st.floats(0.1, 20))
def test_property_steeper_slope_means_limper_cloth(angle, more):
    steeper = min(round(angle + more, 1), 80.0)
    flat, steep = (bending_length_mm(100, angle_deg=a) for a in (angle, steeper))
    assert steep <= flat if steeper == angle else steep < flat


@given(MASSES, LENGTHS)
def test_property_rigidity_and_bending_length_undo_each_other(mass, length):
    assert bending_length_of_rigidity_mm(rigidity_unm(mass, length), mass) == pytest.approx(length)


@given(MASSES, LENGTHS, st.floats(0.1, 10))
def test_property_rigidity_scales_with_mass_and_cubed_length(mass, length, scale):
    once = rigidity_unm(mass, length)
    assert rigidity_unm(mass * scale, length) == pytest.approx(scale * once)
    assert rigidity_unm(mass, length * scale) == pytest.approx(scale**3 * once)


@given(LENGTHS, LENGTHS)
def test_property_over_all_lies_between_and_ignores_order(one, other):
    both = over_all(one, other)
    assert min(one, other) * (1 - 1e-12) <= both <= max(one, other) * (1 + 1e-12)
    assert both == over_all(other, one)


@given(MASSES, LENGTHS, LENGTHS)
def test_property_over_all_of_rigidities_agrees_with_over_all_of_lengths(mass, one, other):
    of_rigidities = over_all(rigidity_unm(mass, one), rigidity_unm(mass, other))
    assert of_rigidities == pytest.approx(rigidity_unm(mass, over_all(one, other)))


@given(LENGTHS, st.floats(0.1, 10))
def test_property_standing_height_scales_with_bending_length(length, scale):
    assert standing_height_mm(length * scale) == pytest.approx(scale * standing_height_mm(length))


@pytest.mark.parametrize("number", NOT_SIZES)
@pytest.mark.parametrize(
    ("formula", "place"),
    [
        (lambda n: bending_length_mm(n, angle_deg=45), "overhang_mm"),
        (lambda n: rigidity_unm(n, 20), "mass_gsm"),
        (lambda n: rigidity_unm(200, n), "bending_length_mm"),
        (lambda n: bending_length_of_rigidity_mm(n, 200), "rigidity_unm"),
        (lambda n: bending_length_of_rigidity_mm(10, n), "mass_gsm"),
        (lambda n: over_all(n, 2), "lengthwise"),
        (lambda n: over_all(2, n), "crosswise"),
        (standing_height_mm, "bending_length_mm"),
    ],
)
def test_rejects_numbers_that_are_no_size(formula, place, number):
    with pytest.raises(FaultyInput) as refused:
        formula(number)
    (problem,) = refused.value.problems
    assert problem.place == place
    assert problem.value == f"{number:g}"


@pytest.mark.parametrize("angle", [0, 4.9, 80.1, 90, -41.5, math.nan, math.inf])
def test_rejects_slopes_out_of_range(angle):
    with pytest.raises(FaultyInput) as refused:
        bending_length_mm(40, angle_deg=angle)
    (problem,) = refused.value.problems
    assert problem.place == "angle_deg"
    assert "5 to 80" in problem.allowed


def test_rejects_all_faults_at_once():
    with pytest.raises(FaultyInput) as refused:
        bending_length_mm(-40, angle_deg=90)
    assert [problem.place for problem in refused.value.problems] == ["overhang_mm", "angle_deg"]


@pytest.mark.parametrize("angle", [5, 80])
def test_limit_angles_are_accepted(angle):
    assert 0 < bending_length_mm(40, angle_deg=angle) < 60
