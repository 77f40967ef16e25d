"""Piping: a bias strip as long as its seam, round the cord, both edges caught all along."""

import math

import pytest

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.piping import piping_strip_mm
from bagwright.drafting.soundness import prove_sound
from tests.drafting.test_forms import refusal

PIPED = [
    (key, float(value))
    for key, form in FORMS.items()
    for add_on in form.add_ons
    if add_on.key == "piping"
    for value in range(1, int(add_on.measurements[0].high_mm) + 1)
]


@pytest.mark.parametrize(("form", "choice"), PIPED)
def test_strip_property_is_as_long_as_its_seam_and_caught_with_both_edges(form, choice):
    pattern = draft_bag(form, {"piping": choice})
    strip = pattern.piece("piping")
    assert prove_sound(pattern).passed
    for copy in range(1, strip.count + 1):
        for edge in ("edge_one", "edge_two"):
            sewn = [
                s.edge_length_mm
                for seam in pattern.seams
                for s in seam.sides
                if (s.piece_id, s.copy, s.edge) == ("piping", copy, edge)
            ]
            assert math.fsum(sewn) == pytest.approx(strip.net.edge("edge_one").length_mm, abs=1e-6)


def test_length_round_a_gusset_is_that_of_the_handbook_sum():
    """2 h + w - 4 r + pi r for 300 x 200 mm and r = 50 mm: 400 + 300 - 200 + 157.08 (derived)."""
    pattern = draft_bag("gusset_bag", {"width_mm": 300.0, "height_mm": 200.0, "corner_radius_mm": 50.0, "piping": 1.0})
    assert pattern.piece("piping").net.edge("edge_one").length_mm == pytest.approx(657.08, abs=0.01)
    (cord,) = [notion for notion in pattern.notions if notion.role == "piping_cord"]
    assert cord.length_mm == pytest.approx(657.08, abs=0.01)


def test_strip_goes_round_the_cord_on_the_bias():
    strip = draft_bag("gusset_bag", {"piping": 1.0, "piping_cord_mm": 6.0}).piece("piping")
    assert strip.grain_deg == 45.0
    assert strip.net.edge("end_left").length_mm == pytest.approx(math.pi * 6) == piping_strip_mm(6)


def test_round_that_is_too_long_for_a_bias_strip_rejects_on_the_choice():
    big = {"width_mm": 700.0, "height_mm": 600.0, "piping": 1.0}
    assert refusal("gusset_bag", big)["piping"].startswith("0 with")
