"""`bagwright heat`: from JSON or from the shelf to a plan and its words."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bagwright.errors import FaultyInput
from bagwright.model.heat import Fusing
from bagwright.model.material import Held, Layer
from bagwright.units import UnitSystem
from bagwright.workflows.tell_heat import heat_as_json, heat_in_words, heat_of_file, heat_of_stack
from tests.workflows.demo_values import BAGS, SHELF

CANVAS = {"name": "canvas", "kind": "bottom-weight cloth", "highest_iron_c": 200}
WEB = {"kind": "woven interfacing", "fusible_sides": 1, "highest_iron_c": 180, "glue_needs_c": 140, "held": "fused"}


def plan(*layers: object):
    return heat_of_file(json.dumps({"layers": list(layers)}).encode())


def test_words_tell_setting_side_cloth_and_cautions():
    words = heat_in_words(plan(CANVAS, WEB), UnitSystem.INCH)
    assert "layer 2 on canvas: can be fused." in words
    assert "Iron at two dots, 150 °C (302 °F), on the side of canvas, steam" in words
    assert "leaflet" in words and "Instead" not in words


def test_words_tell_conflicts_and_ways_out():
    words = heat_in_words(plan(CANVAS | {"highest_iron_c": 110}, WEB), UnitSystem.METRIC)
    assert "cannot be fused" in words and "bears about 110 °C" in words and "Instead: Take a sew-in" in words


def test_nothing_fused_is_told_with_its_notes_only():
    words = heat_in_words(plan(CANVAS, WEB | {"held": "basted"}), UnitSystem.METRIC)
    assert words.splitlines()[0] == "Nothing in this stack is fused."
    assert "is not used" in words and "leaflet" not in words


def test_json_tells_no_glue_as_null():
    answer: Any = heat_as_json(plan(CANVAS, WEB | {"fusible_sides": 0}))
    (joint,) = answer["joints"]
    assert (joint["needs_c"], joint["verdict"]) == (None, "cannot be fused")
    json.dumps(answer)


def test_stacks_of_the_demo_bags_have_plans_from_their_shelf():
    fused = 0
    for bag in BAGS.values():
        for role, layers in bag.stacks.items():
            made = heat_of_stack(layers, SHELF, place=f"stacks.{role}")
            fused += len(made.joints)
            assert len(made.joints) == sum(layer.held is Held.FUSED for layer in layers[1:])
    assert fused > 0


def test_a_fusible_of_the_shelf_agrees_with_the_same_in_words():
    web = next(m for m in SHELF.materials.values() if m.fusible_sides and m.highest_iron_c and m.glue_needs_c)
    cloth = next(m for m in SHELF.materials.values() if m.kind.value == "bottom-weight cloth" and m.highest_iron_c)
    made = heat_of_stack([Layer(cloth.id), Layer(web.id, held=Held.FUSED)], SHELF, place="stacks.outer")
    assert made.joints[0].glue_on == web.name
    assert made.joints[0].verdict in set(Fusing)


def test_rejects_every_fault_at_once():
    with pytest.raises(FaultyInput) as refused:
        plan(CANVAS | {"kind": "paper"}, WEB | {"fusible_sides": 3, "glue_needs_c": 400})
    assert {problem.place for problem in refused.value.problems} == {
        "layers[0].kind",
        "layers[1].fusible_sides",
        "layers[1].glue_needs_c",
    }
    with pytest.raises(FaultyInput) as refused:
        heat_of_stack([Layer("gone")], SHELF, place="stacks.outer")
    assert [problem.place for problem in refused.value.problems] == ["stacks.outer[0]"]
