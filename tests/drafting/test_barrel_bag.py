"""The barrel: halves and zip go just round the ends, notches meet, straps stand up, a cylinder's worth goes in."""

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings

from bagwright.drafting.barrel_sizes import barrel_zip, half_mm
from bagwright.drafting.fold_faults import find_fold_faults
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import prove_sound
from bagwright.drafting.zips import LEAST_OPENING_MM
from bagwright.model.pattern import Pattern, SeamSide
from tests.drafting.measurement_strategies import measurements
from tests.drafting.test_forms import refusal
from tests.drafting.twists import edges_closed_on_themselves

BARRELS = measurements(FORMS["barrel_bag"])
KINDS = list(itertools.product((0.0, 1.0), (0.0, 1.0), (0.0, 1.0, 2.0, 3.0)))


@settings(max_examples=60, deadline=None)
@given(BARRELS)
def test_halves_and_zip_property_go_round_the_ends(sizes):
    """pi d, from the pieces' own edges, for outer and lining."""
    pattern = draft_bag("barrel_bag", sizes)
    round_mm = math.pi * sizes["diameter_mm"]
    zip_mm = pattern.piece("zip_chain").edge("end_right").length_mm
    for half, end in (("outer", "end"), ("lining", "lining_end")):
        assert 2 * pattern.piece(half).edge("right").length_mm + zip_mm == pytest.approx(round_mm, abs=1e-6)
        assert pattern.piece(end).net.length_mm == pytest.approx(round_mm, abs=1e-6)
        assert pattern.piece(end).edge("zip").length_mm == pytest.approx(zip_mm, abs=1e-6)
    tabs_mm = 2 * sizes["tab_length_mm"] if sizes["zip_ends"] == 0 else 0.0
    assert pattern.piece("zip_chain").edge("tape_front").length_mm + tabs_mm == pytest.approx(sizes["width_mm"])
    assert barrel_zip(sizes).opening_mm >= LEAST_OPENING_MM - 1e-6 or sizes["zip_ends"] == 1


@settings(max_examples=60, deadline=None)
@given(BARRELS)
def test_notches_property_meet_where_the_ends_are_sewn_in(sizes):
    """Along every seam of the ends, notches of one side lie on notches of the other."""
    pattern = draft_bag("barrel_bag", {**sizes, "key_tab": 0.0})
    for seam in (seam for seam in pattern.seams if seam.id.startswith(("outer-ends-", "lining-ends-"))):
        places = []
        # The end and the half; piping between them has no notches.
        for side in seam.sides[:2]:
            low, high = sorted((side.from_mm, side.to_mm))
            found = {n.at_mm for n in pattern.piece(side.piece_id).notches if n.edge == side.edge}
            inside = sorted(abs(at - side.from_mm) for at in found if low + 1e-6 < at < high - 1e-6)
            places.append(inside)
        assert places[0] == pytest.approx(places[1], abs=1e-6), seam.id
        assert len(places[0]) == 1


@pytest.mark.parametrize(("carried", "zip_ends", "kind"), KINDS)
def test_seams_property_close_and_straps_stand_up(carried, zip_ends, kind):
    sizes = {"carried": carried, "zip_ends": zip_ends, "strap_kind": kind, "width_mm": 300.0, "diameter_mm": 180.0}
    pattern = draft_bag("barrel_bag", sizes)
    fold = fold_up(pattern)
    assert [fault.words for fault in find_fold_faults(pattern, fold)] == []
    assert fold.assembled_size_mm == pytest.approx((300, 180, 180), abs=0.5)
    for copy in range(1, 2 if carried else 3):
        heights = [p[2] for f in fold.facets if (f.piece_id, f.copy) == ("strap", copy) for p in f.points]
        # Straps go up from where they are stitched on, in the upper half of the bag.
        assert min(heights) > 90
        assert max(heights) > 180


@pytest.mark.parametrize(("wide", "across"), [(250.0, 150.0), (400.0, 220.0), (600.0, 320.0)])
def test_capacity_agrees_with_a_cylinder(wide, across):
    fold = fold_up(draft_bag("barrel_bag", {"width_mm": wide, "diameter_mm": across}))
    assert fold.capacity_l == pytest.approx(math.pi / 4 * across**2 * wide / 1e6, rel=0.01)


@pytest.mark.parametrize("sizes", [{}, {"carried": 1.0, "zip_ends": 1.0, "strap_kind": 3.0}])
def test_work_property_is_in_an_order_that_can_be_sewn(sizes):
    pattern = draft_bag("barrel_bag", sizes)
    order = {s.id.rpartition("-")[0] if s.id[-1].isdigit() else s.id: s.order for s in pattern.seams}
    # Straps on flat cloth, the zip while the halves lie open and its ends with it; each bottom before its ends are sewn
    # round; the gap last.
    usual = ["strap-on", "zip-front", "zip-back", "zip-edge", "ends", "lining-bottom", "lining-ends"]
    usual += ["outer-bottom", "outer-ends", "gap"]
    assert all(order[a] < order[b] for a, b in itertools.pairwise(usual))


def with_side(pattern: Pattern, seam_id: str, number: int, changed: SeamSide) -> Pattern:
    (seam,) = (seam for seam in pattern.seams if seam.id == seam_id)
    sides = tuple(changed if n == number else side for n, side in enumerate(seam.sides))
    return replace(pattern, seams=tuple(replace(seam, sides=sides) if s is seam else s for s in pattern.seams))


def test_end_sewn_in_turned_round_rejects():
    good = draft_bag("barrel_bag", {})
    side = next(seam for seam in good.seams if seam.id == "outer-ends-1").sides[1]
    wrong = with_side(good, "outer-ends-1", 1, replace(side, from_mm=side.to_mm, to_mm=side.from_mm))
    assert edges_closed_on_themselves(wrong) or fold_up(wrong).worst_seam.gap_mm > 1


def test_end_sewn_in_short_rejects():
    good = draft_bag("barrel_bag", {})
    side = next(seam for seam in good.seams if seam.id == "outer-ends-1").sides[0]
    assert not prove_sound(with_side(good, "outer-ends-1", 0, replace(side, to_mm=side.to_mm - 2))).passed


@pytest.mark.parametrize(
    ("field", "sizes"),
    [
        ("diameter_mm", {"diameter_mm": 100.0, "seam_allowance_mm": 15.0}),
        ("tab_length_mm", {"width_mm": 150.0, "tab_length_mm": 45.0, "strap_spacing_mm": 60.0}),
        ("strap_length_mm", {"strap_length_mm": 150.0}),
        ("strap_length_mm", {"carried": 1.0, "width_mm": 600.0, "strap_length_mm": 500.0}),
        ("strap_down_mm", {"strap_down_mm": 260.0}),
        ("strap_down_mm", {"carried": 1.0, "strap_down_mm": 120.0}),
        ("strap_spacing_mm", {"strap_spacing_mm": 300.0}),
        ("strap_width_mm", {"carried": 1.0, "diameter_mm": 110.0, "strap_width_mm": 60.0}),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_field(field, sizes):
    assert set(refusal("barrel_bag", sizes)) == {field}


def test_spacing_of_handles_property_is_not_asked_of_one_strap():
    assert draft_bag("barrel_bag", {"carried": 1.0, "strap_spacing_mm": 700.0})


def test_half_agrees_with_what_a_string_round_it_measures():
    """d 20 cm, 2 cm of zip showing: the string is 62.83 cm long, of which each half takes 30.42 cm."""
    sizes = {**FORMS["barrel_bag"].defaults(), "diameter_mm": 200.0, "tape_width_mm": 32.0, "zip_allowance_mm": 6.0}
    assert half_mm(sizes) == pytest.approx(304.2, abs=0.05)


def test_lining_property_lies_inside_where_seams_are_equally_long_but_for_rounding():
    """519.1125 mm is rounded up or down by chance: the lining must not swing over the zip because of that."""
    sizes = {"width_mm": 519.1125, "diameter_mm": 275.358, "zip_ends": 1.0, "zip_allowance_mm": 4.0, "key_tab": 2.0}
    pattern = draft_bag("barrel_bag", sizes)
    assert [fault.words for fault in find_fold_faults(pattern, fold_up(pattern))] == []
