"""Readings of the ruler test made into one: mean, range, outliers, faces, and how often the range holds the truth."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from bagwright.body import ruler_readings
from bagwright.body.home_tests import mass_of_piece, thickness_of_stack
from bagwright.body.ruler_readings import reading_group, ruler_finding
from bagwright.body.ruler_test import bending_length_mm, rigidity_unm
from bagwright.errors import FaultyInput
from bagwright.model.home_tests import FaceReadings
from bagwright.model.source import Reading, SourceKind
from tests.body.sheets import GUESS

NONE = FaceReadings()
READINGS = st.lists(st.floats(20, 200), min_size=1, max_size=12)


def faces(up=(), down=()):
    return FaceReadings(face_up_mm=tuple(up), face_down_mm=tuple(down))


def test_outlier_agrees_with_the_rule_worked_by_hand():
    # Median 50.5, distances 0.5 0.5 1.5 1.5 9.5 0.5: MAD 1.0; 0.6745 x 9.5 / 1.0 = 6.4, over 3.5; 1.5 gives 1.0.
    group = reading_group([50, 51, 49, 52, 60, 51])
    assert (group.outliers_mm, group.kept_mm) == ((60,), (50, 51, 49, 52, 51))
    assert group.mean_mm == pytest.approx(50.6)
    assert group.spread_mm == pytest.approx(np.std([50, 51, 49, 52, 51], ddof=1))


def test_equal_readings_do_not_make_a_rounding_step_an_outlier():
    assert reading_group([50, 50, 50, 50, 51]).outliers_mm == ()
    assert reading_group([50, 50, 50, 50, 55]).outliers_mm == (55,)


def test_a_step_of_a_ruler_in_eighths_is_no_outlier():
    assert reading_group([114.3, 117.475, 114.3, 114.3]).outliers_mm == ()
    assert reading_group([114.3, 114.3, 114.3, 114.3, 133.35]).outliers_mm == (133.35,)


def test_three_readings_have_no_outliers():
    assert reading_group([50, 50, 90]).outliers_mm == ()


def test_reading_that_stands_out_can_be_kept_and_is_shown_all_the_same():
    readings = (50.0, 51.0, 49.0, 52.0, 60.0, 51.0)
    group = reading_group(readings, keep_outliers=True)
    assert (group.outliers_mm, group.kept_mm) == ((60,), readings)
    assert group.mean_mm == pytest.approx(np.mean(readings))
    apart, kept = (
        ruler_finding(FaceReadings(face_up_mm=readings, keep_outliers_up=keep), NONE).lengthwise
        for keep in (False, True)
    )
    assert apart is not None and kept is not None
    assert kept.overhang_mm.value > apart.overhang_mm.value
    assert kept.overhang_mm.high - kept.overhang_mm.low > apart.overhang_mm.high - apart.overhang_mm.low
    told_apart = "was set apart: measure that strip once more"
    assert [any(told_apart in note for note in found.notes) for found in (apart, kept)] == [True, False]


@given(READINGS)
def test_property_group_loses_no_reading_and_keeps_most(readings):
    group = reading_group(readings)
    assert sorted(group.kept_mm + group.outliers_mm) == sorted(readings)
    assert len(group.kept_mm) >= len(readings) / 2
    assert min(readings) - 1e-9 <= group.mean_mm <= max(readings) + 1e-9


@given(READINGS, READINGS)
def test_property_value_is_the_mean_of_the_faces_and_lies_in_its_range(up, down):
    found = ruler_finding(faces(up, down), NONE).lengthwise
    assert found is not None and found.face_up is not None and found.face_down is not None
    overhang = found.overhang_mm
    assert overhang.value == pytest.approx((found.face_up.mean_mm + found.face_down.mean_mm) / 2)
    assert 0 < overhang.low < overhang.value < overhang.high
    for end in ("low", "value", "high"):
        assert getattr(found.bending_length_mm, end) == pytest.approx(
            bending_length_mm(getattr(overhang, end), angle_deg=41.5)
        )


def test_student_table_matches_scipy():
    # The table is standard (from memory); scipy.stats.t gives it independently.
    table = ruler_readings._STUDENT
    assert table == pytest.approx([stats.t.ppf(0.975, df) for df in range(1, len(table) + 1)], abs=0.0006)


@pytest.mark.parametrize("count", [2, 4, 6])
def test_range_holds_the_true_mean_in_at_least_95_percent_of_trials(count):
    # A cloth that varies by 3 mm, both faces; and every maker reads up to 1 mm too much or too little throughout.
    rng = np.random.default_rng(count)
    hits = 0
    for _ in range(1000):
        wrong = rng.uniform(-1, 1)
        up, down = (rng.normal(60 + wrong, 3, count) for _ in range(2))
        found = ruler_finding(faces(up, down), NONE).lengthwise
        assert found is not None
        hits += found.overhang_mm.low <= 60 <= found.overhang_mm.high
    assert hits >= 950


def test_more_readings_narrow_the_range():
    widths = []
    for count in (1, 2, 4, 8):
        found = ruler_finding(faces([59, 61] * (count // 2) or [60]), NONE).bending_length_mm
        widths.append(found.high - found.low)
    assert widths == sorted(widths, reverse=True)


def test_one_millimetre_matches_derived_share():
    # Derived: 1 mm on a 40 mm overhang is +7.7 % of rigidity.
    found = ruler_finding(faces([40, 40, 40, 40]), NONE).lengthwise
    assert found is not None
    assert found.one_mm_more == pytest.approx(0.077, abs=0.0005)


def test_rigidity_has_all_ends_of_mass_and_overhang():
    mass = Reading(340, 320, 360, GUESS)
    found = ruler_finding(faces([50, 52, 51, 51]), NONE, mass_gsm=mass).lengthwise
    assert found is not None and found.rigidity_unm is not None
    assert found.rigidity_unm.low == pytest.approx(rigidity_unm(320, found.bending_length_mm.low))
    assert found.rigidity_unm.high == pytest.approx(rigidity_unm(360, found.bending_length_mm.high))
    without = ruler_finding(faces([50]), NONE).lengthwise
    assert without is not None and without.rigidity_unm is None


def test_both_directions_are_told_apart_and_over_all():
    found = ruler_finding(faces([80] * 4), faces([45] * 4))
    assert found.lengthwise is not None and found.crosswise is not None
    both = math.sqrt(found.lengthwise.bending_length_mm.value * found.crosswise.bending_length_mm.value)
    assert found.bending_length_mm.value == pytest.approx(both)
    assert found.bending_length_mm.source.kind is SourceKind.MEASURED
    assert ruler_finding(NONE, faces([45] * 4)).bending_length_mm.value == found.crosswise.bending_length_mm.value


@pytest.mark.parametrize(
    ("up", "down", "word"),
    [
        ([50, 51, 50, 50, 80], [50, 51, 50, 50], "set apart"),
        ([50, 51], [50, 51], "at least four"),
        ([50, 51, 50, 50], [], "Only one face"),
        ([80, 81, 80, 80], [40, 41, 40, 40], "two faces differ"),
    ],
)
def test_notes_say_what_to_mind(up, down, word):
    found = ruler_finding(faces(up, down), NONE).lengthwise
    assert found is not None
    assert any(word in note for note in found.notes)
    calm = ruler_finding(faces([50, 51, 50, 50], [52, 51, 52, 52]), NONE).lengthwise
    assert calm is not None and calm.notes == ()


def test_ruler_rejects_every_fault_at_once():
    with pytest.raises(FaultyInput) as refused:
        ruler_finding(faces([50, -1]), faces([], [0]), angle_deg=90, reading_error_mm=0)
    assert [problem.place for problem in refused.value.problems] == [
        "lengthwise.face_up_mm[1]",
        "crosswise.face_down_mm[0]",
        "angle_deg",
        "reading_error_mm",
    ]
    for nothing in (lambda: ruler_finding(NONE, NONE), lambda: reading_group([])):
        with pytest.raises(FaultyInput) as refused:
            nothing()
        assert [problem.place for problem in refused.value.problems] == ["readings"]


@given(st.floats(0.1, 5), st.integers(1, 40))
def test_property_stack_tells_better_the_more_layers(thickness, layers):
    reading = thickness_of_stack(thickness * layers + 0.6, layers)
    assert reading.high - reading.low == pytest.approx(1.0 / layers)
    assert reading.low < reading.value < reading.high


def test_thickness_of_ten_layers_by_hand():
    reading = thickness_of_stack(12.0, 10)
    assert (reading.value, reading.low, reading.high) == pytest.approx((1.2, 1.15, 1.25))


@given(st.floats(20, 900), st.floats(100, 600), st.floats(100, 600), st.floats(-0.5, 0.5), st.floats(-1, 1))
def test_property_mass_range_holds_the_truth(mass_gsm, a, b, scale_off, edge_off):
    # The true piece is a by b; the scale is off by up to half a gram, each side read up to 1 mm too long or too short.
    grams = mass_gsm * a * b / 1e6 + scale_off
    if grams > 0.6:
        reading = mass_of_piece(grams, (a + edge_off, b + edge_off))
        assert reading.low * (1 - 1e-9) <= mass_gsm <= reading.high * (1 + 1e-9)


def test_mass_matches_a_square_metre():
    assert mass_of_piece(250, (1000, 1000)).value == pytest.approx(250)


@pytest.mark.parametrize(
    ("call", "places"),
    [
        (lambda: thickness_of_stack(6, 0), ["layers"]),
        (lambda: thickness_of_stack(0.4, 2), ["height_mm"]),
        (lambda: thickness_of_stack(-1, 0, ruler_error_mm=0), ["height_mm", "ruler_error_mm", "layers"]),
        (lambda: mass_of_piece(0, (10, -1)), ["mass_g", "size_mm[1]"]),
        (lambda: mass_of_piece(0.4, (0.9, 100)), ["mass_g", "size_mm"]),
    ],
)
def test_home_tests_reject_what_tells_nothing(call, places):
    with pytest.raises(FaultyInput) as refused:
        call()
    assert [problem.place for problem in refused.value.problems] == places
