"""The lined zip pouch: zip, tabs, flat or boxed, and the sizes it refuses."""

import pytest
from hypothesis import given, settings

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.zips import LEAST_OPENING_MM
from bagwright.model.pattern import SeamKind
from tests.drafting.measurement_strategies import measurements
from tests.drafting.test_forms import refusal


@settings(max_examples=60, deadline=None)
@given(measurements(FORMS["zip_pouch"]))
def test_tabs_and_zip_property_fill_the_top_from_side_to_side(sizes):
    pattern = draft_bag("zip_pouch", sizes)
    chain = pattern.piece("zip_chain").net.edge("tape_front").length_mm
    has_tabs = not sizes["zip_ends"]
    tab = pattern.piece("tab").net.edge("side_one").length_mm / 2 if has_tabs else 0.0
    assert chain + 2 * tab == pytest.approx(pattern.piece("outer").net.edge("top").length_mm, abs=1e-6)
    assert pattern.zips[0].opening_mm >= LEAST_OPENING_MM - 1e-6
    assert pattern.notions[0].length_mm == pytest.approx(chain + 2 * sizes["seam_allowance_mm"], abs=1e-6)


def test_zip_seams_property_take_outer_zip_and_lining_at_once():
    for seam in draft_bag("zip_pouch", {}).seams:
        if seam.kind is SeamKind.ZIP:
            pieces = [side.piece_id for side in seam.sides]
            assert pieces[:2] == ["outer", "lining"]
            assert pieces[2] in ("tab", "zip_chain")


def test_tab_fold_property_lies_at_the_tape_end_on_either_side():
    """Walking from a side seam, a folded tab ends where the tape begins, on front and back of each end."""
    pattern = draft_bag("zip_pouch", {})
    short, top = 19.05, pattern.piece("outer").net.edge("top").length_mm
    starts = {}
    for seam in pattern.seams:
        if seam.kind is SeamKind.ZIP and seam.sides[2].piece_id == "tab":
            outer, _, tab = seam.sides
            starts[outer.copy, tab.copy] = outer.from_mm
            assert abs(outer.to_mm - outer.from_mm) == pytest.approx(short)
            assert (tab.from_mm, tab.to_mm) == pytest.approx((0.0, 2 * short))
    # Seen from the front, tab 1 lies left: at the end of the front's top, at the start of the back's.
    assert starts == {(1, 1): top, (1, 2): 0.0, (2, 1): 0.0, (2, 2): top}


def test_stops_property_leave_no_tabs_and_the_tape_in_the_side_seams():
    pattern = draft_bag("zip_pouch", {"zip_ends": 1.0, "width_mm": 228.6, "depth_mm": 50.8, "seam_allowance_mm": 9.525})
    assert "tab" not in {piece.id for piece in pattern.pieces}
    (sewn,) = pattern.zips
    # 9 + 2 in from side seam to side seam; stops 3 mm off either; 12 mm of parked slider; 3/8 in of tape in each seam.
    assert sewn.teeth_mm == pytest.approx(279.4 - 6)
    assert sewn.opening_mm == pytest.approx(279.4 - 6 - 12)
    assert sewn.chain_mm == pattern.notions[0].length_mm == pytest.approx(279.4 + 19.05)
    ends = [s for seam in pattern.seams if seam.name.startswith("Open the zip") for s in seam.sides]
    assert {side.edge for side in ends if side.piece_id == "zip_chain"} == {"end_left", "end_right"}


def test_flat_pouch_property_has_no_boxed_corners():
    pattern = draft_bag("zip_pouch", {"depth_mm": 0.0})
    assert [edge.name for edge in pattern.piece("outer").net.edges] == ["bottom", "right", "top", "left"]
    assert not any("box" in seam.id for seam in pattern.seams)
    assert "depth_mm" not in {measure.key for measure in pattern.assembled}


@pytest.mark.parametrize(
    ("field", "sizes"),
    [
        ("depth_mm", {"width_mm": 120.0, "depth_mm": 130.0}),
        ("depth_mm", {"depth_mm": 5.0}),
        ("tab_length_mm", {"width_mm": 120.0, "tab_length_mm": 60.0}),
        ("tape_width_mm", {"tape_width_mm": 20.0}),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_field(field, sizes):
    assert set(refusal("zip_pouch", sizes)) == {field}


def test_shallow_depth_rejects_and_names_the_flat_pouch():
    assert "or 0" in refusal("zip_pouch", {"depth_mm": 5.0})["depth_mm"]
