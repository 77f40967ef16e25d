"""Drafted pieces against geometry and sizes known from outside the project."""

import math

import pytest

from bagwright.drafting.cards import CARD_HEIGHT_MM, CARD_WIDTH_MM
from bagwright.drafting.forms import draft_bag
from bagwright.drafting.straps import strap_for_drop_mm
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region

IN = 25.4


def corner_square_mm(region: Region) -> float:
    """Side of the square missing at each lower corner, from the area alone."""
    return math.sqrt((region.width_mm * region.height_mm - region.area_mm2) / 2)


@pytest.mark.parametrize("form", ["boxed_tote", "zip_pouch"])
def test_cut_panel_matches_boxed_corner_identities(form):
    # Source: the boxed-corner identities, derived: q = D / 2 from the raw edges if all allowances are alike, finished
    # width = W - 2 s - D, height = H - s - D / 2 - top allowance. Worked: W 16, H 14, s 0.5, D 4 in -> q 2, width 11,
    # height 11.5 less the top allowance (here 0.25 in).
    top = {"boxed_tote": "top_allowance_mm", "zip_pouch": "zip_allowance_mm"}[form]
    sizes = {"width_mm": 11 * IN, "height_mm": (11.5 - 0.25) * IN, "depth_mm": 4 * IN, "seam_allowance_mm": 0.5 * IN}
    for piece_id in ("outer", "lining"):
        cut = draft_bag(form, {**sizes, top: 0.25 * IN}).piece(piece_id).region()
        assert cut.width_mm == pytest.approx(16 * IN, abs=1e-6)
        assert cut.height_mm == pytest.approx(14 * IN, abs=1e-6)
        assert corner_square_mm(cut) == pytest.approx(2 * IN, abs=1e-6)


def test_cut_out_matches_sewshare_rule_of_two_to_four():
    # Source: sewshare.com on boxed corners: a "2 in (5 cm) cut-out yields about a 4 in finished base".
    cut = draft_bag("boxed_tote", {"depth_mm": 4 * IN}).piece("outer").region()
    assert corner_square_mm(cut) == pytest.approx(2 * IN, abs=1e-6)


def test_strap_strip_matches_four_times_finished():
    # Source: binding tables give a strip four times as wide as the binding: 1/2 in finished -> 2 in cut.
    strap = draft_bag("boxed_tote", {"strap_width_mm": 0.5 * IN}).piece("strap").region()
    assert strap.width_mm == pytest.approx(2 * IN, abs=1e-6)


def test_strap_length_matches_v_estimate():
    # Source: strap = 2 sqrt(drop^2 + (spread / 2)^2), derived; 10 in drop, 8 in spread -> 21.54 in plus ends.
    assert strap_for_drop_mm(10, 8) == pytest.approx(21.54, abs=0.005)


def test_pockets_match_card_id_1():
    # Source: card ID-1 of ISO/IEC 7810, 85.60 x 53.98 mm (from memory; the standard was not at hand).
    assert (CARD_WIDTH_MM, CARD_HEIGHT_MM) == (85.60, 53.98)
    wallet = draft_bag("card_wallet", {"closed_width_mm": 89.6, "pocket_step_mm": 12.0, "corner_radius_mm": 0.0})
    pocket = wallet.piece("back_pocket").net
    assert pocket.edge("bottom").length_mm >= 85.60
    # A card stands on the foot line and shows above the pocket's fold by the step that was asked.
    assert 53.98 - pocket.edge("left").length_mm == pytest.approx(12.0, abs=1e-9)


@pytest.mark.parametrize("sizes", [{"closed_width_mm": 85.0}, {"height_mm": 53.0, "card_pockets": 1}])
def test_wallet_too_small_for_card_id_1_rejects(sizes):
    with pytest.raises(FaultyInput) as refused:
        draft_bag("card_wallet", sizes)
    assert {problem.place for problem in refused.value.problems} == set(sizes) - {"card_pockets"}


def test_rounded_cover_matches_full_loop_round_four_corners():
    # Source: length round a rectangle with rounded corners, derived: 2 (w + h) - 8 r + 2 pi r; w 30, h 20, r 5 ->
    # 91.416.
    def loop(w: float, h: float, r: float) -> float:
        return 2 * (w + h) - 8 * r + 2 * math.pi * r

    assert loop(30, 20, 5) == pytest.approx(91.416, abs=0.0005)
    sizes = {"closed_width_mm": 100.0, "fold_ease_mm": 4.0, "height_mm": 90.0, "corner_radius_mm": 8.0}
    cover = draft_bag("card_wallet", sizes).piece("cover").net
    assert cover.length_mm == pytest.approx(loop(204, 90, 8), abs=1e-9)


@pytest.mark.parametrize("tape_mm", [25, 32, 40])
def test_zip_rectangle_matches_tape_widths(tape_mm):
    # Source: closed tape about 25 mm (#3), 32 mm (#5), 38 to 42 mm (#8 to #10), from memory; measure yours.
    pattern = draft_bag("zip_pouch", {"tape_width_mm": float(tape_mm)})
    chain, notion = pattern.piece("zip_chain"), pattern.notions[0]
    assert chain.is_bought
    assert chain.region().height_mm == pytest.approx(tape_mm, abs=1e-9)
    assert chain.region().width_mm == pytest.approx(notion.length_mm, abs=1e-9)
    # Tabs are cut as wide as the tape, so that one line of stitching takes both.
    assert pattern.piece("tab").region().height_mm == pytest.approx(tape_mm, abs=1e-9)


def test_zip_opening_matches_teeth_less_parked_slider():
    # Common practice, no source: usable opening = length of teeth less 10 to 15 mm for the parked slider.
    pattern = draft_bag("zip_pouch", {})
    teeth = pattern.piece("zip_chain").net.edge("tape_front").length_mm
    assert pattern.zips[0].teeth_mm == pytest.approx(teeth, abs=1e-9)
    assert 10 <= teeth - pattern.zips[0].opening_mm <= 15
