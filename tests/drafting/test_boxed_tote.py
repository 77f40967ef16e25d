"""The boxed-corner tote: its straps, pocket and corners, and the sizes it refuses."""

import re

import pytest
from hypothesis import given, settings

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import prove_sound
from bagwright.model.pattern import Pattern
from tests.drafting.measurement_strategies import measurements
from tests.drafting.test_forms import refusal


def strap_middles(pattern: Pattern, copy: int) -> list[float]:
    """Where along the top of one panel the strap ends are sewn in, from the seams themselves."""
    middles = []
    for seam in pattern.seams:
        top = next((s for s in seam.sides if (s.piece_id, s.copy, s.edge) == ("outer", copy, "top")), None)
        if seam.kind.joins and top and any(side.piece_id == "strap" for side in seam.sides):
            middles.append((top.from_mm + top.to_mm) / 2)
    return sorted(middles)


@settings(max_examples=60, deadline=None)
@given(measurements(FORMS["boxed_tote"]))
def test_strap_ends_property_lie_as_far_apart_as_asked_and_in_the_middle(sizes):
    pattern = draft_bag("boxed_tote", sizes)
    top = pattern.piece("outer").net.edge("top").length_mm
    for copy in (1, 2):
        low, high = strap_middles(pattern, copy)
        assert high - low == pytest.approx(sizes["strap_spacing_mm"], abs=1e-6)
        assert low + high == pytest.approx(top, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(measurements(FORMS["boxed_tote"]))
def test_pocket_property_lies_on_the_face_and_is_drawn_where_it_is_sewn(sizes):
    pattern = draft_bag("boxed_tote", sizes)
    lining = pattern.piece("lining")
    lines = [line for line in lining.lines if line.name.startswith("pocket_")]
    assert bool(lines) == (sizes["inside_pockets"] == 1) == any(p.id == "pocket" for p in pattern.pieces)
    bound = sizes["pocket_binding_mm"] if sizes["pocket_top"] else 0.0
    for line in lines:
        edge = pattern.piece("pocket").edge(line.name.removeprefix("pocket_"))
        shift = line.start[0] - edge.start[0], line.start[1] - edge.start[1]
        # The sides of a bound pocket go on along the folded ends of its binding.
        up = {"pocket_left": -bound, "pocket_right": bound}.get(line.name, 0.0)
        assert line.end == pytest.approx((edge.end[0] + shift[0], edge.end[1] + shift[1] + up), abs=1e-6)
        # On the front, not on what turns into the sides and the base.
        for x, y in (line.start, line.end):
            assert sizes["depth_mm"] / 2 < x < sizes["depth_mm"] / 2 + sizes["width_mm"]
            assert sizes["depth_mm"] / 2 < y < sizes["depth_mm"] / 2 + sizes["height_mm"]


def test_two_linings_property_differ_only_by_the_pocket_that_one_carries():
    seams = [s for s in draft_bag("boxed_tote", {}).seams if any(side.edge.startswith("pocket_") for side in s.sides)]
    assert {side.copy for seam in seams for side in seam.sides if side.piece_id == "lining"} == {1}


def test_lining_bottom_property_is_closed_last_over_a_gap_for_a_hand():
    pattern = draft_bag("boxed_tote", {})
    gap = next(seam for seam in pattern.seams if seam.id == "gap")
    assert gap.order == max(seam.order for seam in pattern.seams)
    notches = sorted(notch.at_mm for notch in pattern.piece("lining").notches if notch.edge == "bottom")
    assert notches == pytest.approx(sorted((gap.sides[0].from_mm, gap.sides[0].to_mm)))
    assert 100 <= gap.length_mm <= 152.4 + 1e-6


@pytest.mark.parametrize(
    ("field", "sizes"),
    [
        ("depth_mm", {"depth_mm": 340.0}),
        ("depth_mm", {"depth_mm": 25.0, "seam_allowance_mm": 15.0}),
        ("strap_spacing_mm", {"strap_spacing_mm": 310.0, "strap_length_mm": 900.0}),
        ("strap_spacing_mm", {"strap_spacing_mm": 28.0}),
        (
            "strap_width_mm",
            {"width_mm": 150.0, "strap_width_mm": 55.0, "strap_spacing_mm": 62.0, "inside_pockets": 0},
        ),
        ("strap_length_mm", {"strap_length_mm": 155.0}),
        ("pocket_width_mm", {"pocket_width_mm": 320.0}),
        ("pocket_height_mm", {"pocket_height_mm": 320.0}),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_field_and_nearest_value(field, sizes):
    allowed = refusal("boxed_tote", {"depth_mm": 100.0, **sizes})
    assert field in allowed
    nearest = re.search(r"at (most|least) ([\d.]+) mm", allowed[field])
    assert nearest
    beyond = 0.2 if nearest[1] == "most" else -0.2
    still = {"depth_mm": 100.0, **sizes, field: float(nearest[2]) + beyond}
    assert field in refusal("boxed_tote", still)
    works = {**still, field: float(nearest[2])}
    if set(allowed) == {field}:
        assert prove_sound(draft_bag("boxed_tote", works)).passed


def test_pocket_size_property_does_not_matter_without_a_pocket():
    assert draft_bag("boxed_tote", {"pocket_width_mm": 600.0, "inside_pockets": 0})


def test_boxed_corner_property_brings_side_and_bottom_seam_together():
    """The four box stretches of one corner start where the seams meet and end in two different tips."""
    pattern = draft_bag("boxed_tote", {})
    for step in ("outer-box", "lining-box"):
        for seam in (s for s in pattern.seams if s.id.startswith(step)):
            rise, run = seam.sides
            piece = pattern.piece(rise.piece_id)
            tips = [piece.edge(side.edge).at(side.to_mm) for side in (rise, run)]
            assert tips[0] == pytest.approx(tips[1], abs=1e-9)
            start_x, start_y = piece.edge(rise.edge).at(rise.from_mm)
            assert start_y == pytest.approx(0, abs=1e-9)
            assert min(abs(start_x - 63.5), abs(start_x - (63.5 + 330.2))) < 1e-6
