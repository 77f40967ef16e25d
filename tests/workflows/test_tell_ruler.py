"""`bagwright ruler`: from JSON to readings that can be used as they are, and words."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bagwright.body.heart_loop import heart_loop_bending_length_mm
from bagwright.body.ruler_readings import ruler_finding
from bagwright.errors import FaultyInput
from bagwright.model.home_tests import FaceReadings
from bagwright.units import UnitSystem
from bagwright.workflows.tell_body import body_of_file
from bagwright.workflows.tell_ruler import ruler_as_json, ruler_in_words, ruler_of_file
from tests.json_doc import examples

FILE: Any = next(example.file for example in examples() if example.command == "ruler")


def told(**changes: object):
    return ruler_of_file(json.dumps(FILE | changes).encode())


def test_finding_agrees_with_the_body_room():
    by_hand = ruler_finding(
        FaceReadings(face_up_mm=(52, 50, 51, 53, 71), face_down_mm=(48, 49, 47, 49)),
        FaceReadings(face_up_mm=(41, 43, 42), face_down_mm=(40, 40, 41, 39)),
        mass_gsm=told().mass_gsm,
    )
    assert told().finding == by_hand
    assert told().thickness_mm is not None and told().thickness_mm.value == pytest.approx(0.6)
    assert told().mass_gsm is not None and told().mass_gsm.value == pytest.approx(340)


def test_answers_can_be_used_as_readings_of_a_layer():
    answer: Any = ruler_as_json(told())
    layer = {
        "mass_gsm": answer["mass_gsm"],
        "thickness_mm": answer["thickness_mm"],
        "overhang_mm": answer["lengthwise"]["overhang_mm"],
        "crosswise_overhang_mm": answer["crosswise"]["overhang_mm"],
    }
    body = body_of_file(json.dumps({"layers": [layer]}).encode())
    assert body.lengthwise.bending_length_mm.low == pytest.approx(answer["lengthwise"]["bending_length_mm"]["low"])
    assert body.crosswise is not None


def test_what_was_not_measured_is_null():
    bare: Any = ruler_as_json(ruler_of_file(json.dumps({"crosswise": {"face_up_mm": [40]}}).encode()))
    assert bare["lengthwise"] is bare["thickness_mm"] is bare["mass_gsm"] is None
    assert bare["crosswise"]["rigidity_unm"] is bare["crosswise"]["face_down"] is None


def test_words_show_what_was_set_apart_and_what_one_millimetre_does():
    words = ruler_in_words(told(), UnitSystem.METRIC)
    assert "Set apart, face up: 7.1 cm" in words
    assert "One millimetre more of overhang would make it 6% stiffer." in words
    assert "0.60 mm thick (0.55 to 0.65)" in words and "340 g/m²" in words
    assert "oz/yd²" in ruler_in_words(told(), UnitSystem.INCH)


def test_rejects_every_fault_at_once():
    with pytest.raises(FaultyInput) as refused:
        told(lengthwise={"face_up_mm": [0]}, thickness={"height_mm": 0.3, "layers": 1})
    assert {problem.place for problem in refused.value.problems} == {"lengthwise.face_up_mm[0]", "thickness.height_mm"}
    with pytest.raises(FaultyInput) as refused:
        ruler_of_file(b"{}")
    assert [problem.place for problem in refused.value.problems] == ["readings"]


def test_heart_loop_stands_in_for_the_ruler_test():
    loop = ruler_of_file(json.dumps({"heart_loop": {"strip_mm": 200, "loop_mm": 60}}).encode())
    assert loop.finding is None and loop.loop_overhang_mm is not None
    assert loop.loop_overhang_mm.value == pytest.approx(2 * heart_loop_bending_length_mm(200, 60), rel=1e-3)
    assert "By its heart loop" in ruler_in_words(loop, UnitSystem.METRIC)
    answer: Any = ruler_as_json(loop)
    assert answer["lengthwise"] is answer["bending_length_mm"] is None
    with pytest.raises(FaultyInput) as refused:
        ruler_of_file(json.dumps({"heart_loop": {"strip_mm": 200, "loop_mm": 90}}).encode())
    assert [problem.place for problem in refused.value.problems] == ["heart_loop.loop_mm"]
