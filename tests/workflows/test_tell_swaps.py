"""`bagwright swaps`: from JSON to the best trade-offs and what they change, in words."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bagwright.body.held_panel import holds_in_a_bag, needed_bending_length_mm
from bagwright.body.standing import standing_height_mm
from bagwright.errors import FaultyInput
from bagwright.model.held_panel import HeldPanel
from bagwright.units import UnitSystem
from bagwright.workflows.tell_swaps import swaps_as_json, swaps_in_words, swaps_of_file


def cloth(name, overhang, **more):
    return {"name": name, "mass_gsm": 300, "thickness_mm": 0.6, "overhang_mm": overhang, "cost": 2} | more


OUTER = {"choices": [cloth("canvas", 50, cost=4), cloth("duck", 90, cost=6, mass_gsm=500)]}
WEB = {"choices": [cloth("web", 40, held="fused", minutes=5, mass_gsm=90, thickness_mm=0.3)], "may_be_empty": True}


def told(**changes):
    file = {"places": [OUTER, WEB], "width_mm": 250, "height_mm": 80} | changes
    return swaps_of_file(json.dumps(file).encode())


def test_need_agrees_with_the_panel():
    assert standing_height_mm(told().needed_bending_length_mm) == pytest.approx(80, rel=1e-3)
    least, most = holds_in_a_bag(60)
    panel = HeldPanel(name="", width_mm=250, height_mm=80, sheets=(), least=least, most=most)
    assert told(depth_mm=60).needed_bending_length_mm == needed_bending_length_mm(panel)


def test_lines_name_what_fills_each_place_and_what_it_comes_to():
    answer: Any = swaps_as_json(told())
    line = answer["swaps"][0]
    assert (line["choices"], line["cost"], line["minutes"]) == (["duck", "none"], 6, 0)
    assert line["mass_g"] == pytest.approx(500 * 0.25 * 0.08)
    assert line["bulk_mm"] == 0.6
    assert line["says"] == "duck"


def test_changes_are_told_against_what_is_there_now():
    (line,) = told(now=["canvas", "web"]).lines
    assert line.says == "Take duck in place of canvas and leave out web: 5 min less, 2 g heavier and 0.3 mm thinner."
    (line,) = told(now=["duck", "none"]).lines
    assert line.says == "As it is now."
    added = told(now=["duck", "none"], height_mm=20, stance="leans", rank="body").lines
    assert [one.says for one in added if one.names[1] == "web" and one.names[0] == "duck"] == []


@pytest.mark.parametrize(("rank", "first"), [("cost", "canvas"), ("body", "duck"), ("weight", "canvas")])
def test_rank_puts_the_best_of_its_kind_first(rank, first):
    assert told(height_mm=20, rank=rank).lines[0].names[0] == first


def test_most_cuts_the_list_but_not_the_count():
    every, cut = told(height_mm=20), told(height_mm=20, most=1)
    assert len(cut.lines) == 1 < len(every.lines) == len(cut.answer.swaps)
    assert "here are 1" in swaps_in_words(cut, UnitSystem.INCH)


def test_known_bond_lets_a_lighter_stack_stand():
    places = [{"choices": [OUTER["choices"][0]]}, {"choices": WEB["choices"]}]
    assert told(places=places).lines == ()
    bonds = [{"outer": "canvas", "inner": "web", "swatch": {"overhang_mm": 90}}]
    (line,) = told(places=places, bonds=bonds).lines
    assert line.bending_length_mm.low == pytest.approx(90 * 0.49991, rel=1e-4)


def test_words_say_so_if_nothing_stands():
    assert swaps_in_words(told(height_mm=900), UnitSystem.METRIC).startswith("None of 4 stacks")
    words = swaps_in_words(told(), UnitSystem.METRIC).splitlines()
    assert words[0].startswith("Of 4 stacks 1") and "6.00  duck" in words[2]


def test_rejects_every_fault_at_once():
    doubled = {"choices": [cloth("canvas", 50), cloth("canvas", 60), cloth("none", 60)]}
    with pytest.raises(FaultyInput) as refused:
        told(places=[doubled, WEB], now=["linen"])
    assert [problem.place for problem in refused.value.problems] == [
        "places[0].choices[0].name",
        "places[0].choices[1].name",
        "places[0].choices[2].name",
        "now",
        "now[0]",
    ]
