"""`bagwright stand` and `bagwright bond`: from JSON to values and words."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bagwright.body.bond import share_of_bond
from bagwright.body.held_panel import held_panel_body, holds_in_a_bag
from bagwright.errors import FaultyInput
from bagwright.model.body import BondedSwatch, Sheet
from bagwright.model.held_panel import HeldPanel
from bagwright.model.source import Reading
from bagwright.units import UnitSystem
from bagwright.workflows.tell_bond import bond_as_json, bond_in_words, bond_of_file
from bagwright.workflows.tell_stand import stand_as_json, stand_in_words, stand_of_file

FELT = {"mass_gsm": 500, "thickness_mm": 3, "overhang_mm": 160}
CANVAS = {"mass_gsm": 340, "thickness_mm": 0.6, "overhang_mm": 50}


def as_sheet(words, name):
    readings: Any = {key: Reading.exact(value) for key, value in words.items()}
    return Sheet(name=name, **readings)


def stand(**changes):
    file = {"layers": [FELT], "width_mm": 300, "height_mm": 250, "depth_mm": 100} | changes
    return stand_of_file(json.dumps(file).encode())


def test_stand_agrees_with_the_same_panel_built_by_hand():
    least, most = holds_in_a_bag(100)
    by_hand = HeldPanel(
        name="panel", width_mm=300, height_mm=250, sheets=(as_sheet(FELT, "layer 1"),), least=least, most=most
    )
    panel, body = stand()
    assert panel == by_hand
    assert body == held_panel_body(by_hand)


@pytest.mark.parametrize(
    ("height", "verdict"), [(200, "stands flat"), (450, "may stay flat, or bow by"), (1200, "bows by")]
)
def test_words_tell_the_verdict_and_what_is_left_out(height, verdict):
    words = stand_in_words(stand(height_mm=height), UnitSystem.METRIC)
    assert verdict in words and "Not counted" in words and " cm" in words


def test_crosswise_overhang_counts():
    limp = stand(layers=[FELT | {"crosswise_overhang_mm": 60}])
    assert limp[1].weight_multiplier.low < stand()[1].weight_multiplier.low


def test_strip_without_depth_has_no_band():
    told: Any = stand_as_json(stand(depth_mm=0))
    assert told["weight_multiplier"]["low"] == told["weight_multiplier"]["high"]
    assert " to " not in stand_in_words(stand(depth_mm=0), UnitSystem.INCH).splitlines()[1].replace("up to", "")


def test_stand_rejects_every_fault_at_once():
    with pytest.raises(FaultyInput) as refused:
        stand(width_mm=5, depth_mm=-1, layers=[FELT | {"held": "taped"}])
    assert {problem.place for problem in refused.value.problems} == {"width_mm", "depth_mm", "layers[0].held"}


def test_bond_agrees_with_the_body_room():
    file = {"outer": CANVAS | {"name": "canvas"}, "inner": CANVAS, "swatch": {"overhang_mm": 60}}
    found = bond_of_file(json.dumps(file).encode())
    swatch = BondedSwatch(overhang_mm=Reading.exact(60))
    assert found.share.value == share_of_bond(as_sheet(CANVAS, "a"), as_sheet(CANVAS, "b"), swatch).share.value
    answer: Any = bond_as_json(found)
    assert answer["share"]["value"] == found.share.value
    words = bond_in_words(found, UnitSystem.INCH)
    assert words.startswith("The bond gives 24%") and found.word in words


def test_bond_rejects_what_is_missing():
    with pytest.raises(FaultyInput) as refused:
        bond_of_file(json.dumps({"outer": CANVAS, "inner": {"mass_gsm": 90}}).encode())
    places = {problem.place for problem in refused.value.problems}
    assert places == {"inner.thickness_mm", "inner.overhang_mm", "swatch"}
