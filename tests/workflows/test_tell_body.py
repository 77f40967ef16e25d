"""`bagwright body`: from JSON to a stack and back."""

from __future__ import annotations

import json
from dataclasses import asdict

import pytest

from bagwright.body.stack import stack_body
from bagwright.errors import FaultyInput
from bagwright.model.body import Body, Sheet
from bagwright.model.material import Held
from bagwright.model.source import Band, Reading, Source, SourceKind
from bagwright.units import UnitSystem
from bagwright.workflows.tell_body import ToldBody, body_as_json, body_in_words, body_of_file

CANVAS = {"mass_gsm": 340, "thickness_mm": 0.6, "overhang_mm": 50}


def body(*layers):
    return told(*layers).lengthwise


def told(*layers):
    return body_of_file(json.dumps({"layers": list(layers)}).encode())


def test_file_agrees_with_the_same_stack_built_by_hand():
    source = {"kind": "guess", "said_by": "me"}
    read = body(
        {"name": "canvas", **CANVAS},
        {
            "mass_gsm": {"value": 90, "low": 80, "high": 100, "source": source},
            "thickness_mm": 0.3,
            "overhang_mm": 45,
            "angle_deg": 45,
            "held": "fused",
        },
    )
    mass = Reading(90, 80, 100, Source(SourceKind.GUESS, "me"))
    canvas, fused = (
        Sheet(
            name="canvas", mass_gsm=Reading.exact(340), thickness_mm=Reading.exact(0.6), overhang_mm=Reading.exact(50)
        ),
        Sheet(
            name="layer 2",
            mass_gsm=mass,
            thickness_mm=Reading.exact(0.3),
            overhang_mm=Reading.exact(45),
            angle_deg=45,
            held=Held.FUSED,
        ),
    )
    assert read == stack_body([canvas, fused])


def test_json_holds_every_number_of_the_body():
    one = Body(
        mass_gsm=1,
        thickness_mm=2,
        rigidity_unm=Band(3, 4),
        bending_length_mm=Band(5, 6),
        standing_height_mm=Band(7, 8),
    )
    bands = {
        "rigidity_unm": {"low": 3, "high": 4},
        "bending_length_mm": {"low": 5, "high": 6},
        "standing_height_mm": {"low": 7, "high": 8},
    }
    nowhere: dict[str, object] = {"crosswise": None, "seam_allowance": None, "zones": [], "lap": None}
    assert body_as_json(ToldBody(one, None)) == {"mass_gsm": 1, "thickness_mm": 2, **bands, **nowhere}
    both = body_as_json(ToldBody(one, one, one))
    assert both["crosswise"] == both["seam_allowance"] == bands


def test_crosswise_is_told_as_soon_as_one_layer_was_tested_so():
    assert told(CANVAS).crosswise is None
    both = told(CANVAS | {"crosswise_overhang_mm": 40}, CANVAS)
    assert both.crosswise == body(CANVAS | {"overhang_mm": 40}, CANVAS)
    assert both.lengthwise == body(CANVAS, CANVAS)
    assert "crosswise" in body_in_words(both, UnitSystem.METRIC)


def test_known_bonds_narrow_the_band():
    open_, share, swatch = (
        body(CANVAS, CANVAS | {"held": "fused"} | known)
        for known in ({}, {"bond_share": 0.5}, {"swatch": {"overhang_mm": 60}})
    )
    assert open_.rigidity_unm.low < share.rigidity_unm.low == share.rigidity_unm.high < open_.rigidity_unm.high
    assert swatch.bending_length_mm.low == pytest.approx(60 * 0.49991, rel=1e-4)


def test_swatch_counts_crosswise_by_its_share():
    # Both layers alike: half of what the bond adds lengthwise is half of what it adds crosswise.
    solid = body(CANVAS, CANVAS | {"held": "fused"}).bending_length_mm.high
    pair = (CANVAS | {"crosswise_overhang_mm": 25}, CANVAS | {"crosswise_overhang_mm": 25, "held": "fused"})
    fused = pair[1] | {"swatch": {"overhang_mm": solid / 0.49991}}
    across = told(pair[0], fused).crosswise
    assert across is not None
    assert across.bending_length_mm.low == pytest.approx(solid / 2, rel=1e-3)
    assert across.bending_length_mm.high == pytest.approx(solid / 2, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "low", "high"), [("mass_gsm", 1, 20000), ("thickness_mm", 0.01, 50), ("overhang_mm", 1, 2000)]
)
def test_limits_are_taken_and_beyond_them_refused(name, low, high):
    for taken in (low, high):
        assert body(CANVAS | {name: taken}).standing_height_mm.low > 0
    for beyond in (low * 0.999, high * 1.001, 0, -1):
        with pytest.raises(FaultyInput, match=rf"layers\[0\].{name}"):
            body(CANVAS | {name: beyond})


def test_words_tell_a_band_only_where_there_is_one():
    one, two = told(CANVAS), told(CANVAS, CANVAS | {"held": "fused"})
    assert " to " not in body_in_words(one, UnitSystem.METRIC).splitlines()[1]
    assert " to " in body_in_words(two, UnitSystem.METRIC).splitlines()[1]
    assert "12.0 oz" not in body_in_words(one, UnitSystem.INCH) and "10.0 oz/yd²" in body_in_words(one, UnitSystem.INCH)


def test_a_lap_is_told_in_the_stack_where_its_layer_lies():
    fuse, felt = {**CANVAS, "held": "fused"}, {**CANVAS, "overhang_mm": 90, "extent": "zone", "zone": "base"}

    def lap(number, *layers):
        return body_of_file(json.dumps({"layers": layers or [CANVAS, felt, fuse], "lapped_layer": number}).encode())

    outside = lap(3)
    assert outside.lap == lap(2, CANVAS, fuse).lap
    assert outside.lap and outside.lap.stiffer.high == pytest.approx(4.5)  # (1 + 2 cubed) / (1 + 1)
    inside = lap(2).lap
    assert inside and inside.step_mm == 0.6
    assert body_as_json(outside)["lap"] == {"step_mm": 0.6, "stiffer": asdict(outside.lap.stiffer)}
    assert "0.024 in (0.6 mm) thicker and" in body_in_words(outside, UnitSystem.INCH)
    with pytest.raises(FaultyInput, match="lapped_layer"):
        lap(4)
