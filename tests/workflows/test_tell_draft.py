"""Drafting from what a maker types."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.drafting.forms import FORMS
from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.tell_draft import (
    draft_of_settings,
    forms_as_json,
    forms_in_words,
    pattern_in_words,
    settings_of,
)

INCH, METRIC = UnitSystem.INCH, UnitSystem.METRIC


def faults(form, settings, units=INCH):
    with pytest.raises(FaultyInput) as refused:
        draft_of_settings(form, settings, units=units)
    return {problem.place: problem for problem in refused.value.problems}


@pytest.mark.parametrize(
    ("key", "text", "units", "width_mm"),
    [
        # 1 in = 25.4 mm exactly (international inch).
        ("width", "14 in", METRIC, 355.6),
        ("width_mm", "14 in", METRIC, 355.6),
        ("width", "13 3/4", INCH, 349.25),
        ("width", "35", METRIC, 350.0),
        ("width_mm", "350", INCH, 350.0),
        ("width_mm", "350.5", METRIC, 350.5),
        ("width_mm", "35 cm", INCH, 350.0),
        ("width", "1 ft 2 in", INCH, 355.6),
    ],
)
def test_sizes_are_read_as_typed(key, text, units, width_mm):
    assert draft_of_settings("boxed_tote", {key: text}, units=units).measurements_mm["width_mm"] == width_mm


def test_what_is_not_set_keeps_its_usual_size():
    for form in FORMS.values():
        assert draft_of_settings(form.key, {}, units=INCH).measurements_mm == form.defaults()


@pytest.mark.parametrize("text", ["0", "0 in", "0,0cm", "0.0"])
def test_zero_is_a_size_where_the_form_takes_it(text):
    assert draft_of_settings("zip_pouch", {"depth": text}, units=INCH).measurements_mm["depth_mm"] == 0
    assert "width_mm" in faults("zip_pouch", {"width": text})


def test_rejects_every_fault_at_once_as_it_was_typed():
    found = faults(
        "boxed_tote", {"width": "wide", "height_mm": "5", "depth": "900 in", "wdth": "3", "inside_pockets": "-1"}
    )
    assert found.keys() == {"width_mm", "height_mm", "depth_mm", "wdth", "inside_pockets"}
    assert [found[key].value for key in ("width_mm", "height_mm", "depth_mm", "wdth")] == ["wide", "5", "900 in", "3"]
    assert "width_mm" in found["wdth"].remedy


def test_rejects_an_unreadable_size_without_blaming_what_depends_on_it():
    # With the usual width this pocket would be too wide; what the width is to be is not known yet.
    assert faults("boxed_tote", {"width": "?", "pocket_width": "17 in"}).keys() == {"width_mm"}


@pytest.mark.parametrize("pairs", [["width"], ["=3"], [""], ["width=3", "width=4"], ["width=3", "width_mm=76.2"]])
def test_rejects_settings_that_are_no_pairs_or_come_twice(pairs):
    with pytest.raises(FaultyInput) as refused:
        settings_of(pairs)
    assert [problem.place for problem in refused.value.problems] == ["--set"]


def test_a_size_may_hold_an_equals_sign_of_its_own():
    assert settings_of(["a==b"]) == {"a": "=b"}


@given(text=st.text(max_size=50), key=st.sampled_from(["width", "width_mm", "inside_pockets", "x"]))
def test_property_any_text_is_a_size_or_refused(text, key):
    try:
        pattern = draft_of_settings("boxed_tote", {key: text}, units=INCH)
    except FaultyInput as refused:
        assert all(problem.remedy and problem.allowed for problem in refused.problems)
    else:
        assert all(math.isfinite(size) for size in pattern.measurements_mm.values())


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("units", [INCH, METRIC])
def test_words_name_every_piece_and_caution(form, units):
    pattern = draft_of_settings(form, {}, units=units)
    words = pattern_in_words(pattern, units, written=["a.svg"])
    assert all(piece.name in words for piece in pattern.pieces)
    assert all(caution in words for caution in pattern.cautions)
    assert words.endswith("Written: a.svg")


def test_forms_are_told_with_every_measurement():
    told = json.loads(json.dumps(forms_as_json()))["forms"]
    assert [form["form"] for form in told] == list(FORMS)
    in_words = forms_in_words(INCH)
    for form in FORMS.values():
        assert all(spec.meaning in in_words for spec in form.measurements)
