"""Barrel, binding, zip-round rim and card pockets against geometry and sizes known from outside the project."""

import math

import pytest
from shapely.geometry import Polygon

from bagwright.drafting.cards import CARD_HEIGHT_MM, CARD_WIDTH_MM
from bagwright.drafting.forms import draft_bag
from bagwright.drafting.mitred_binding import mitre_mm
from bagwright.drafting.zip_rim import rim_mm

IN, CM = 25.4, 10.0


def test_barrel_matches_cylinder_identities():
    # Source: cylinder, derived: strip = pi d + 2 s, radius of the cut circle d / 2 + s. d 20, s 1 cm -> 62.832 (+ 2 s),
    # 64.832. A barrel's strip is two halves and what shows of the zip; the sum of its cut edges takes 2 s once.
    sizes = {"diameter_mm": 20 * CM, "seam_allowance_mm": 1 * CM, "zip_ends": 1}
    pattern = draft_bag("barrel_bag", sizes)
    round_mm = (
        2 * pattern.piece("outer").edge("right").length_mm + pattern.piece("zip_chain").edge("end_left").length_mm
    )
    assert round_mm / CM == pytest.approx(62.832, abs=0.0005)
    assert (round_mm + 2 * sizes["seam_allowance_mm"]) / CM == pytest.approx(64.832, abs=0.0005)
    cut = pattern.piece("end").region()
    assert cut.width_mm / 2 == pytest.approx(20 * CM / 2 + 1 * CM, abs=0.01)
    assert cut.area_mm2 == pytest.approx(math.pi * (11 * CM) ** 2, rel=1e-4)


def test_mitre_matches_seam_over_sine_of_half_the_corner():
    # Source: mitre at a corner of angle a: the seam runs s / sin(a / 2) from the corner, derived; 90 deg -> 1.41421 s.
    assert mitre_mm(1.0) == pytest.approx(1.41421, abs=5e-6)
    binding = draft_bag("organiser", {"binding_width_mm": 0.5 * IN}).piece("binding_across")
    for end in ("left_front", "left_back", "right_front", "right_back"):
        assert binding.edge(end).length_mm == pytest.approx(1.41421 * 0.5 * IN, abs=0.0002)


@pytest.mark.parametrize("corner_deg", [60.0, 90.0, 120.0])
def test_mitre_agrees_with_an_offset_corner(corner_deg):
    """Independent computation: shapely offsets a corner of that angle; its new tip lies one mitre from the old."""
    turn = math.radians(corner_deg)
    corner = Polygon([(0, 0), (100, 0), (100 * math.cos(turn), 100 * math.sin(turn))])
    grown = corner.buffer(5.0, join_style="mitre", mitre_limit=20.0)
    tip = min(grown.exterior.coords, key=lambda point: math.hypot(*point))
    assert math.hypot(*tip) == pytest.approx(mitre_mm(5.0, corner_deg), abs=1e-6)


def test_binding_strip_matches_four_times_finished():
    # Source: binding tables give a strip four times as wide as the binding: 1/2 in finished -> 2 in cut.
    for piece_id in ("binding_across", "binding_upright"):
        cut = draft_bag("organiser", {"binding_width_mm": 0.5 * IN}).piece(piece_id).region()
        assert cut.height_mm == pytest.approx(2 * IN, abs=1e-6)


def test_zip_round_rim_matches_three_sides_with_two_corners():
    # Source: length round three sides with two round corners, derived: 2 h + w - 4 r + pi r; w 30, h 20, r 5 -> 65.708.
    # A leaf's two short sides start at the spine, so they take the place of h.
    assert rim_mm(20, 30, 5) == pytest.approx(65.708, abs=0.0005)


def test_zip_round_pockets_match_card_id_1():
    # Source: card ID-1 of ISO/IEC 7810, 85.60 x 53.98 mm (from memory; the standard was not at hand).
    assert (CARD_WIDTH_MM, CARD_HEIGHT_MM) == (85.60, 53.98)
    pattern = draft_bag("zip_round_wallet", {"closed_width_mm": 90.0, "pocket_step_mm": 12.0, "corner_radius_mm": 10.0})
    pocket = pattern.piece("back_pocket").net
    assert pocket.edge("bottom").length_mm >= 85.60
    assert 53.98 - pocket.edge("left").length_mm == pytest.approx(12.0, abs=1e-9)


def test_organiser_pocket_matches_a_sheet_of_a5():
    # Source: ISO 216, A5 is 148 x 210 mm (from memory). A pocket asked as wide and as high as that is so on the cloth.
    sizes = {
        "panel_width_mm": 2 * 148.0,
        "height_mm": 300.0,
        "edge_finish": 1.0,
        "pocket_rows": 1.0,
        "row_1_height_mm": 210.0,
    }
    pattern = draft_bag("organiser", sizes)
    division = pattern.piece("front").edge("row_1_division_1")
    assert division.start[0] == pytest.approx(148.0)
    assert division.length_mm == pytest.approx(210.0)
