"""`bagwright zip`, and the zips in the answer of `bagwright draft`: from JSON to plans and words."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest

from bagwright.drafting.forms import draft_bag
from bagwright.errors import FaultyInput
from bagwright.model.sewn_zip import ZipEnds
from bagwright.units import UnitSystem
from bagwright.workflows.pattern_json import pattern_as_json
from bagwright.workflows.tell_zip import stock_for, zip_as_json, zip_in_words, zip_of_file


def answer(**words) -> dict[str, Any]:
    return zip_as_json(zip_of_file(json.dumps(words).encode()))


def faults(**words) -> dict[str, str]:
    with pytest.raises(FaultyInput) as refused:
        answer(**words)
    return {problem.place: problem.allowed for problem in refused.value.problems}


def test_zip_with_tabs_matches_arithmetic_by_hand():
    # 180 mm open + 12 of slider = 192 of teeth between the tabs; 9.525 under each: 211.05 to cut. Of 8 in = 203.2 mm a
    # tail under the tab would hold the old stop, 192 + 9.525 = 201.525 from the top stops does not: it is cut off.
    told = answer(opening_mm=180)
    assert told["teeth_mm"] == told["between_ends_mm"] == 192
    assert told["roll"]["length_mm"] == 211.05
    assert told["ready_made"]["length_mm"] == 203.2
    assert told["ready_made"]["stop_mm"] == 192
    assert told["ready_made"]["bottom_cut_mm"] == 201.525
    # #5: 32 mm of tape from memory, less twice 6.35.
    assert (told["tape_width_mm"], told["tape_showing_mm"]) == (32, 19.3)
    assert told["slider_mouth_mm"] == {"over": 5.7, "up_to": 7.0}


@pytest.mark.parametrize("ends", list(ZipEnds))
def test_asked_opening_property_is_reached(ends):
    chance = random.Random(9)
    for _ in range(200):
        opening, parked = chance.uniform(20, 800), chance.uniform(3, 40)
        told = answer(opening_mm=opening, ends=ends, slider_parked_mm=parked)
        assert told["opening_mm"] == pytest.approx(opening, abs=1.0)
        ready = told["ready_made"]
        assert ready is None or told["roll"]["length_mm"] <= ready["length_mm"] + 2 * 12.7


@pytest.mark.parametrize(
    ("words", "field"),
    [
        ({}, "opening_mm"),
        ({"opening_mm": 10}, "opening_mm"),
        ({"opening_mm": 180, "size": 2}, "size"),
        ({"opening_mm": 180, "size": "five"}, "size"),
        ({"opening_mm": 180, "ends": "glue"}, "ends"),
        ({"opening_mm": 180, "tape_width_mm": 20}, "tape_width_mm"),
        ({"opening_mm": 180, "colour": "red"}, "colour"),
    ],
)
def test_what_is_no_zip_rejects_with_its_field(words, field):
    assert list(faults(**words)) == [field]


def test_narrow_tape_rejects_with_the_least_width():
    # Twice 6.35 mm of allowance and 10 mm for teeth and foot: 22.7 mm.
    assert "22.7 mm" in faults(opening_mm=180, tape_width_mm=20)["tape_width_mm"]


def test_no_ready_made_zip_on_the_list_is_told():
    told = answer(opening_mm=180, ready_made_mm=[])
    assert told["ready_made"] is None
    assert any("roll" in caution for caution in told["cautions"])


def test_words_give_lengths_in_her_units():
    plan = zip_of_file(b'{"opening_mm": 180}')
    inches, metric = (zip_in_words(plan, units) for units in (UnitSystem.INCH, UnitSystem.METRIC))
    assert "Buy a ready-made zip 8 in long" in inches and "19.2 cm" in metric
    assert "{" not in inches
    assert set(stock_for(UnitSystem.METRIC)) != set(stock_for(UnitSystem.INCH))


def test_pattern_property_tells_every_zip_with_its_own_steps():
    told: Any = pattern_as_json(draft_bag("boxed_tote", {"top_zip": 1, "zip_pocket": 1}))
    assert [one["key"] for one in told["zips"]] == ["zip_pocket_chain", "zip_chain"]
    names = {step["name"] for step in told["steps"]}
    for one in told["zips"]:
        assert {step.removesuffix(".") for step in one["steps"][:-1]} <= names
        assert {name for point in one["bulk"] for name in point["during"]} <= names
        assert next(n["length_mm"] for n in told["notions"] if n["length_mm"] == one["roll"]["length_mm"])
