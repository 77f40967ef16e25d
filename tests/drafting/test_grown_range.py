"""The wider range of forms: curved edges meet straight ones, thousands of sizes hold, misfits are refused."""

import math

import pytest

from bagwright.drafting.forms import FORMS, draft_bag
from tests.drafting.accepted_sizes import SIZES_PER_FORM, trials_of_all_forms
from tests.drafting.test_forms import refusal


@pytest.fixture(scope="module")
def trials():
    with trials_of_all_forms(SIZES_PER_FORM) as submitted:
        yield submitted


@pytest.mark.parametrize("key", FORMS)
def test_random_accepted_sizes_property_are_sound_and_not_twisted(key, trials):
    """`draft_bag` raises if the proof fails."""
    trial = trials[key].result()
    assert not trial.failure, trial.failure
    assert trial.held >= SIZES_PER_FORM


def test_round_base_property_meets_its_wall_at_every_notch():
    pattern = draft_bag("bucket_bag", {})
    for wall, base in (("outer", "base"), ("lining", "lining_base")):
        bottom = {n.at_mm for n in pattern.piece(wall).notches if n.edge == "bottom"}
        length = pattern.piece(wall).edge("bottom").length_mm
        for edge in ("front", "back"):
            rim = {n.at_mm for n in pattern.piece(base).notches if n.edge == edge}
            assert pattern.piece(base).edge(edge).length_mm == pytest.approx(length, abs=1e-9)
            # The rim is walked against the wall; its notch at 0 is the side seam.
            assert sorted(length - at for at in rim if at) == pytest.approx(sorted(bottom))


@pytest.mark.parametrize("separate_sides", [0.0, 1.0])
@pytest.mark.parametrize("form", ["gusset_bag", "flap_bag"])
def test_gusset_property_is_as_long_as_the_panel_on_both_sides(form, separate_sides):
    pattern = draft_bag(form, {"separate_sides": separate_sides})
    panel = pattern.piece("outer").net
    strips = [piece for piece in pattern.pieces if piece.id.startswith("gusset")]
    for edge in ("front", "back"):
        round_mm = sum(piece.count * piece.edge(edge).length_mm for piece in strips)
        assert round_mm == pytest.approx(panel.length_mm - panel.edge("top").length_mm, abs=1e-6)


def test_gusset_property_turns_by_half_round_in_all():
    for form in ("gusset_bag", "flap_bag"):
        bends = [bend for piece in draft_bag(form, {}).pieces if piece.id == "gusset" for bend in piece.bends]
        assert [bend.angle_deg for bend in bends] == [90.0, 90.0]
        assert all(bend.radius_mm == FORMS[form].defaults()["corner_radius_mm"] for bend in bends)


def test_drawcords_property_go_round_once_and_leave_their_tails():
    for form in ("drawstring_bag", "backpack"):
        sizes = FORMS[form].defaults()
        (cord,) = draft_bag(form, {}).notions
        assert cord.count == 2
        assert cord.length_mm == pytest.approx(2 * (sizes["width_mm"] + sizes["depth_mm"]) + 2 * sizes["cord_tail_mm"])


@pytest.mark.parametrize("form", ["drawstring_bag", "backpack"])
def test_cords_property_come_with_a_caution_for_children(form):
    assert any("small children" in caution and "cord" in caution.lower() for caution in draft_bag(form, {}).cautions)


@pytest.mark.parametrize("key", ["based_tote", "bucket_bag", "gusset_bag", "flap_bag", "drawstring_bag", "backpack"])
def test_bodies_property_say_where_they_fold(key):
    pattern = draft_bag(key, {})
    assert any(piece.bends for piece in pattern.pieces if piece.role == "outer")
    for piece in pattern.pieces:
        net = piece.net.region()
        for bend in piece.bends:
            middle = ((bend.start[0] + bend.end[0]) / 2, (bend.start[1] + bend.end[1]) / 2)
            low_x, low_y, high_x, high_y = net.bounds
            assert low_x <= middle[0] <= high_x and low_y <= middle[1] <= high_y
            assert math.dist(bend.start, bend.end) > 0


@pytest.mark.parametrize(
    ("form", "field", "sizes"),
    [
        ("based_tote", "rise_mm", {"height_mm": 150.0, "rise_mm": 120.0}),
        ("bucket_bag", "diameter_mm", {"diameter_mm": 100.0, "seam_allowance_mm": 15.0, "strap_spacing_mm": 50.0}),
        ("bucket_bag", "strap_spacing_mm", {"strap_spacing_mm": 190.0}),
        ("gusset_bag", "corner_radius_mm", {"width_mm": 120.0, "corner_radius_mm": 55.0}),
        ("gusset_bag", "strap_width_mm", {"depth_mm": 25.0}),
        ("flap_bag", "flap_length_mm", {"flap_length_mm": 90.0}),
        ("flap_bag", "flap_length_mm", {"flap_length_mm": 400.0}),
        ("flap_bag", "flap_radius_mm", {"width_mm": 120.0, "flap_radius_mm": 60.0, "corner_radius_mm": 20.0}),
        ("backpack", "strap_width_mm", {"strap_width_mm": 60.0, "width_mm": 150.0}),
        ("drawstring_bag", "depth_mm", {"depth_mm": 5.0}),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_field(form, field, sizes):
    assert set(refusal(form, sizes)) == {field}
