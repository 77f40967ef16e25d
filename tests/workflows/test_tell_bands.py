"""`bagwright bands` and `bagwright bias`: what they take and refuse, and printed tables."""

from __future__ import annotations

import json

import pytest

from bagwright.errors import FaultyInput, NoAnswer
from bagwright.units import UnitSystem
from bagwright.workflows.tell_bands import bands_as_json, bands_in_words, bands_of_file
from bagwright.workflows.tell_bias import bias_as_json, bias_in_words, bias_of_file

IN = 25.4
STRAP = {"id": "strap", "length_mm": 700, "width_mm": 80, "count": 3}


def bands(**changes):
    return bands_of_file(json.dumps({"width_mm": 1100, "strips": [STRAP]} | changes).encode())


def test_bands_across_are_told_in_numbers_and_words():
    plan = bands()
    answer = json.loads(json.dumps(bands_as_json(plan)))
    assert answer["taken_mm"] == 240
    assert [part["copy"] for band in answer["bands"] for part in band["parts"]] == [1, 2, 3]
    said = bands_in_words(plan, UnitSystem.METRIC)
    assert said.startswith("3 bands take 0.24 m.\n3 x 8.0 cm wide: strap 70.0 cm")
    assert "close the blade" in said


def test_bands_along_take_the_width():
    assert bands(run="along", length_mm=2200).taken_mm == 80
    with pytest.raises(NoAnswer, match="take 240 mm"):
        bands(run="along", length_mm=700, width_mm=200)


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"run": "along"}, "length_mm"),
        ({"run": "askew"}, "run"),
        ({"width_mm": 600}, "strips[0].length_mm"),
        ({"strips": []}, "strips"),
        ({"strips": [STRAP | {"count": 0}]}, "strips[0].count"),
        ({"strips": [STRAP | {"count": 2000}, STRAP | {"id": "other"}]}, "strips"),
        ({"strips": [STRAP, STRAP]}, "strips[0].id"),
    ],
)
def test_rejects_with_the_place_of_the_fault(change, place):
    with pytest.raises(FaultyInput) as caught:
        bands(**change)
    assert caught.value.problems[0].place == place


def test_square_for_bias_matches_printed_tables():
    # Sources: K14 of the reference facts, found: 100 in of a 3.5 in strip -> sqrt(350) = 18.71 in; and a quilter's
    # worked example, found: 22 in square with 1/4 in allowance, 3 in strip -> 157.7 in.
    told = bias_of_file(
        json.dumps({"length_mm": 100 * IN, "strip_mm": 3.5 * IN, "allowance_mm": 0, "width_mm": 1100}).encode()
    )
    assert bias_as_json(told)["square_mm"] == pytest.approx(18.71 * IN, abs=0.005 * IN)
    told = bias_of_file(json.dumps({"length_mm": 157.7 * IN, "strip_mm": 3 * IN, "width_mm": 500}).encode())
    assert told.square_mm == pytest.approx(22 * IN, abs=0.005 * IN)
    assert not told.fits_width
    assert "two smaller squares" in bias_in_words(told, UnitSystem.INCH)


@pytest.mark.parametrize("width_mm", [1e-320, 0.5, 0, -3])
def test_bias_rejects_cloth_narrower_than_a_millimetre(width_mm):
    asked = {"length_mm": 2540, "strip_mm": 88.9, "allowance_mm": 0, "width_mm": width_mm}
    with pytest.raises(FaultyInput) as caught:
        bias_of_file(json.dumps(asked).encode())
    assert [problem.place for problem in caught.value.problems] == ["width_mm"]


def test_bias_rejects_cloth_too_narrow_to_join():
    with pytest.raises(FaultyInput) as caught:
        bias_of_file(b'{"length_mm": 900, "strip_mm": 30, "allowance_mm": 10, "width_mm": 40}')
    assert caught.value.problems[0].place == "width_mm"
