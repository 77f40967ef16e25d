"""Heat and glue: verdicts from ranges, glue between the right layers, sides, cloths, ways out, cautions."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.body.heat import CAUTIONS, heat_plan
from bagwright.body.heat_limits import bears_c, glue_needs_c, heat_said, setting_for
from bagwright.errors import FaultyInput
from bagwright.model.heat import Fusing, HeatLayer
from bagwright.model.material import Held, MaterialKind
from bagwright.model.source import Reading, SourceKind
from tests.body.sheets import GUESS

K = MaterialKind


def between(low: float, high: float) -> Reading:
    return Reading((low + high) / 2, low, high, GUESS)


CANVAS = HeatLayer(name="canvas", kind=K.BOTTOM_WEIGHT, highest_iron_c=Reading.exact(200))
WEB = HeatLayer(
    name="web",
    kind=K.WOVEN_INTERFACING,
    fusible_sides=1,
    highest_iron_c=Reading.exact(200),
    glue_needs_c=Reading.exact(135),
    held=Held.FUSED,
)
FLEECE = replace(WEB, name="fleece", kind=K.FLEECE, highest_iron_c=Reading.exact(160))
LINING = HeatLayer(name="lining", kind=K.PLAIN_CLOTH, highest_iron_c=Reading.exact(110))
VINYL = HeatLayer(name="vinyl", kind=K.COATED, highest_iron_c=Reading.exact(80))


@pytest.mark.parametrize(
    ("bears", "needs", "verdict"),
    [
        (between(150, 200), between(125, 150), Fusing.CAN),
        (between(140, 200), between(125, 150), Fusing.PERHAPS),
        (between(100, 125), between(125, 150), Fusing.PERHAPS),
        (between(100, 124), between(125, 150), Fusing.CANNOT),
        (between(210, 240), between(205, 210), Fusing.CANNOT),  # no iron gets that hot
    ],
)
def test_verdict_follows_the_ranges(bears, needs, verdict):
    stack = [replace(CANVAS, highest_iron_c=bears), replace(WEB, glue_needs_c=needs, highest_iron_c=between(250, 260))]
    (joint,) = heat_plan(stack).joints
    assert joint.verdict is verdict
    assert bool(joint.conflicts) is (verdict is not Fusing.CAN)
    assert bool(joint.ways_out) is (verdict is not Fusing.CAN)


def test_conflict_names_the_glue_and_the_layer_that_bears_least():
    (joint,) = heat_plan([VINYL, WEB]).joints
    assert joint.verdict is Fusing.CANNOT
    assert (joint.glue_on, joint.least_bearing) == ("web", "vinyl")
    assert "glue on web needs about 135 °C (275 °F), but vinyl bears about 80 °C (176 °F)" in joint.conflicts[0]
    assert any("sew-in" in way for way in joint.ways_out)
    assert any("Fuse web to the lining" in way for way in joint.ways_out)


def test_layer_is_only_in_the_heat_once_it_is_there():
    # The tender lining is fused last, so only its own joint suffers.
    first, second = heat_plan([CANVAS, WEB, replace(LINING, held=Held.FUSED, fusible_sides=1)]).joints
    assert (first.verdict, second.verdict) == (Fusing.CAN, Fusing.CANNOT)
    assert second.least_bearing == "lining"


def test_loose_layers_begin_a_new_heap():
    # The vinyl hangs loose behind: it is never under the iron with the others.
    (joint,) = heat_plan([VINYL, replace(CANVAS, held=Held.LOOSE), WEB]).joints
    assert (joint.outer, joint.inner, joint.verdict) == ("canvas", "web", Fusing.CAN)


def test_a_joint_without_glue_cannot_be_fused():
    (joint,) = heat_plan([CANVAS, replace(WEB, fusible_sides=0)]).joints
    assert joint.verdict is Fusing.CANNOT
    assert joint.needs_c is None and joint.setting == "" and joint.glue_on == ""
    assert "No glue lies between canvas and web." in joint.conflicts
    assert any("fusible web" in way for way in joint.ways_out)


def test_glue_on_one_side_serves_one_joint_only():
    plain = replace(CANVAS, name="ticking", held=Held.FUSED)
    one, two = heat_plan([CANVAS, WEB, plain]).joints
    assert (one.glue_on, two.glue_on) == ("web", "")
    one, two = heat_plan([CANVAS, replace(WEB, fusible_sides=2), plain]).joints
    assert (one.glue_on, two.glue_on) == ("web", "web")
    # Glue left on the outer one goes first, so that the next joint has the web's.
    one, two = heat_plan([replace(CANVAS, fusible_sides=1), WEB, plain]).joints
    assert (one.glue_on, two.glue_on) == ("canvas", "web")


def test_glue_that_is_not_used_is_told():
    (note,) = heat_plan([CANVAS, replace(WEB, held=Held.BASTED)]).notes
    assert "one side of web is not used" in note
    (note,) = heat_plan([CANVAS, replace(WEB, fusible_sides=2, held=Held.BASTED)]).notes
    assert "both sides" in note
    assert heat_plan([CANVAS, WEB]).notes == ()


@pytest.mark.parametrize(
    ("stack", "press_on"),
    [
        ((CANVAS, FLEECE), "canvas"),  # not on padding
        ((replace(FLEECE, held=Held.LOOSE), replace(CANVAS, held=Held.FUSED)), "canvas"),
        ((LINING, WEB), "web"),  # the face that bears more
        ((CANVAS, WEB), "canvas"),  # alike: the cloth side
    ],
)
def test_iron_comes_down_on_the_better_face(stack, press_on):
    assert heat_plan(stack).joints[0].press_on == press_on


def test_press_cloth_by_what_the_face_bears():
    assert "thin cotton" in heat_plan([CANVAS, WEB]).joints[0].press_cloth
    tender = replace(LINING, highest_iron_c=Reading.exact(120))
    soft = replace(FLEECE, glue_needs_c=Reading.exact(150))
    assert "folded once" in heat_plan([tender, soft]).joints[0].press_cloth
    assert "baking paper" in heat_plan([VINYL, FLEECE]).joints[0].press_cloth


@pytest.mark.parametrize(
    ("layer", "steam"),
    [(CANVAS, True), (LINING, False), (replace(CANVAS, kind=K.CORK), False), (replace(CANVAS, kind=K.LEATHER), False)],
)
def test_no_steam_at_one_dot_nor_on_what_it_harms(layer, steam):
    assert heat_plan([layer, WEB]).joints[0].steam is steam


@pytest.mark.parametrize(
    ("fibres", "kind", "value"),
    [
        ("100 % cotton", K.PLAIN_CLOTH, 200),
        ("65% cotton, 35% polyester", K.PLAIN_CLOTH, 150),
        ("Polypropylene", K.WEBBING, 100),
        ("cotton, vinyl coated", K.COATED, 60),
        ("", K.LEATHER, 60),
        ("cottonish", K.PLAIN_CLOTH, 110),
    ],
)
def test_heat_is_taken_from_the_tenderest_fibre_or_kind(fibres, kind, value):
    layer = HeatLayer(name="a", kind=kind, fibres=fibres)
    assert bears_c(layer).value == value
    assert bears_c(layer).source.kind is (SourceKind.GUESS if fibres == "cottonish" else SourceKind.TYPICAL)


def test_what_is_known_counts_and_what_is_assumed_is_told():
    assert bears_c(replace(CANVAS, fibres="polypropylene")).value == 200
    assert glue_needs_c(WEB).value == 135
    assert heat_plan([CANVAS, WEB]).assumed == ()
    bare = [replace(CANVAS, highest_iron_c=None), replace(WEB, glue_needs_c=None)]
    assumed = heat_plan(bare).assumed
    assert "canvas is taken to bear" in assumed[0] and "say what it is made of" in assumed[0]
    assert "glue on web is taken to need 125 °C" in assumed[1]


@given(st.floats(40, 260), st.floats(100, 200))
def test_property_more_heat_borne_never_makes_it_worse(bears, needs):
    order = [Fusing.CANNOT, Fusing.PERHAPS, Fusing.CAN]

    def verdict(heat: float) -> int:
        glue = replace(WEB, glue_needs_c=between(needs - 5, needs + 5))
        return order.index(
            heat_plan([replace(CANVAS, highest_iron_c=between(heat, heat + 10)), glue]).joints[0].verdict
        )

    assert verdict(bears + 5) >= verdict(bears)


def test_cautions_come_with_every_fusing_and_only_then():
    assert heat_plan([CANVAS, WEB]).cautions == CAUTIONS
    assert heat_plan([CANVAS, replace(WEB, held=Held.QUILTED)]).cautions == ()
    assert any("leaflet" in caution for caution in CAUTIONS) and any("window" in caution for caution in CAUTIONS)


def test_dots_match_care_symbols():
    # Found: one dot 110, two dots 150, three dots 200 C.
    assert [setting_for(heat).split(",")[0] for heat in (110, 111, 150, 151, 200, 201)] == [
        "one dot",
        "two dots",
        "two dots",
        "three dots",
        "three dots",
        "hotter than three dots",
    ]
    # Found: a fusible fleece's label, 300 F = 149 C.
    assert heat_said(149) == "149 °C (300 °F)"


def test_rejects_an_empty_stack():
    with pytest.raises(FaultyInput):
        heat_plan([])
