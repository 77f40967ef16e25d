"""`bagwright measure`: from JSON or a bag to the tests that pay, and words."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bagwright.body.paying import paying_tests
from bagwright.errors import FaultyInput
from bagwright.model.paying import DoubtfulPanel
from bagwright.units import UnitSystem
from bagwright.workflows.stance import panel_sheets
from bagwright.workflows.tell_measure import doubtful_panels, measure_as_json, measure_in_words, measure_of_file
from tests.workflows.demo_values import BAGS, SHELF, TOTE, WALLET, demo_answer

GUESS = {"kind": "guess", "said_by": "me"}
CANVAS = {
    "name": "canvas",
    "mass_gsm": 340,
    "thickness_mm": 0.6,
    "overhang_mm": {"value": 50, "low": 40, "high": 60, "source": GUESS},
}
WEB = {"name": "web", "mass_gsm": 90, "thickness_mm": 0.3, "overhang_mm": 45, "held": "fused"}


def told(*panels: object):
    return measure_of_file(json.dumps({"panels": list(panels)}).encode())


def test_best_test_comes_first_with_what_it_brings():
    tests = told({"layers": [CANVAS], "needed_bending_length_mm": 25})
    words = measure_in_words(tests, UnitSystem.INCH)
    assert words.startswith("Measure how far the canvas hangs over: it tells most (settles ")
    answer: Any = measure_as_json(tests)
    assert answer["tests"][0]["names"] == ["canvas"]


def test_words_list_the_others_and_say_so_if_there_is_none():
    words = measure_in_words(told({"layers": [CANVAS, WEB]}), UnitSystem.METRIC)
    assert len(words.splitlines()) == 2 and "settles" not in words
    assert measure_in_words(told({"layers": [WEB]}), UnitSystem.METRIC) == "The readings leave nothing in doubt here."


def test_bag_agrees_with_its_panels():
    pattern, bag = demo_answer(WALLET).pattern, BAGS[WALLET]
    panels = [DoubtfulPanel(sheets=tuple(panel_sheets(p, pattern, bag.stacks, SHELF))) for p in pattern.panels]
    # What lies flat has nothing to reach.
    assert paying_tests(doubtful_panels(pattern, bag.stacks, SHELF)) == paying_tests(panels)
    tote = demo_answer(TOTE).pattern
    assert paying_tests(doubtful_panels(tote, BAGS[TOTE].stacks, SHELF))


def test_rejects_every_fault_at_once():
    with pytest.raises(FaultyInput) as refused:
        told({"layers": [], "needed_bending_length_mm": 0}, {"layers": [WEB | {"mass_gsm": 0}]})
    assert {problem.place for problem in refused.value.problems} == {
        "panels[0].layers",
        "panels[0].needed_bending_length_mm",
        "panels[1].layers[0].mass_gsm",
    }
