"""Zones of pieces: inside the net line, apart from one another, bounded by bends, as large as the measurements say."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.own_pieces import draft_own
from bagwright.geometry.region import Region
from bagwright.model.material import Extent
from bagwright.model.piece import Bend, Piece
from tests.drafting.measurement_strategies import corrected, random_sizes
from tests.drafting.own_samples import pouch

TRIES = 4
NEAR_MM = 0.01
HAS_PLEATS = ("row_1", "row_2", "row_3", "row_4", "row_5", "row_6")


def area_mm2(form: str, sizes: dict[str, float], piece_id: str, zone_name: str) -> float:
    zone = draft_bag(form, sizes).piece(piece_id).zone(zone_name)
    assert zone, zone_name
    return zone.region.area_mm2


def drafted_at_random(key: str):
    """Patterns of a form over its accepted sizes, everything added now and then."""
    form, chance = FORMS[key], random.Random(f"zones of {key}")
    for _ in range(TRIES):
        sizes = random_sizes(form, chance)
        everything = {add_on.measurements[0].key: 1.0 for add_on in form.add_ons}
        yield draft_bag(key, sizes)
        yield draft_bag(key, corrected(form, {**sizes, **everything}))


def is_sharp_and_crosses(bend: Bend, piece: Piece) -> bool:
    middle = ((bend.start[0] + bend.end[0]) / 2, (bend.start[1] + bend.end[1]) / 2)
    return not bend.band_mm and piece.net.region().grown(-1.0).holds_lines([(middle, middle)])[0]


@pytest.mark.parametrize("key", FORMS)
def test_zones_property_lie_inside_the_net_line_apart_from_one_another_and_no_bend_runs_through_one(key):
    for pattern in drafted_at_random(key):
        for piece in pattern.pieces:
            zones, whole = piece.zones, piece.region(Extent.NET)
            assert bool(zones) or piece.is_bought or not piece.bends, piece.id
            assert len({zone.name for zone in zones}) == len(zones)
            assert all(whole.holds(zone.region, slack_mm=NEAR_MM) for zone in zones), piece.id
            for one, other in itertools.combinations(zones, 2):
                assert one.region.overlap_mm2(other.region) < NEAR_MM * whole.perimeter_mm, (one.name, other.name)
            for bend in (bend for bend in piece.bends if is_sharp_and_crosses(bend, piece)):
                middle = ((bend.start[0] + bend.end[0]) / 2, (bend.start[1] + bend.end[1]) / 2)
                inner = (zone.region.grown(-NEAR_MM) for zone in zones if len(zones) > 1)
                assert not any(zone.holds_lines([(middle, middle)])[0] for zone in inner), (piece.id, bend)


@pytest.mark.parametrize("key", FORMS)
def test_zones_property_are_all_of_a_piece_that_is_creased_sharply_but_for_its_pleats(key):
    """Independent of how the piece is divided: the area within the net line, exact for lines and arcs."""
    for pattern in drafted_at_random(key):
        for piece in pattern.pieces:
            if piece.zones and piece.id not in HAS_PLEATS and not any(bend.band_mm for bend in piece.bends):
                fold_doubles = 2 if piece.fold_edge else 1
                found = math.fsum(zone.region.area_mm2 for zone in piece.zones)
                assert found == pytest.approx(fold_doubles * piece.net.area_mm2, rel=1e-4, abs=1), piece.id


@pytest.mark.parametrize("form", ["boxed_tote", "drawstring_bag", "backpack", "zip_pouch"])
def test_base_of_both_boxed_panels_agrees_with_width_times_depth(form):
    """Geometry, no source needed: the two halves of the base, one in each panel, are the base of the bag."""
    half = area_mm2(form, {"width_mm": 300, "depth_mm": 80}, "outer", "base")
    assert 2 * half == pytest.approx(300 * 80, rel=1e-6)


def test_base_of_a_based_tote_agrees_with_width_times_depth():
    sizes = {"width_mm": 320.0, "depth_mm": 110.0, "rise_mm": 70.0}
    assert area_mm2("based_tote", sizes, "base", "base") == pytest.approx(320 * 110, rel=1e-6)
    assert area_mm2("based_tote", sizes, "base", "lower front") == pytest.approx(320 * 70, rel=1e-6)


def test_gusset_agrees_with_the_straight_runs_between_its_round_corners():
    sizes = {"width_mm": 300.0, "height_mm": 240.0, "depth_mm": 90.0, "corner_radius_mm": 60.0}
    found = [area_mm2("gusset_bag", sizes, "gusset", name) for name in ("left side", "bottom", "right side")]
    side, bottom = (240 - 60) * 90, (300 - 2 * 60) * 90
    assert found == pytest.approx([side, bottom, side], rel=1e-6)
    bands = 2 * (math.pi / 2 * 60) * 90
    assert sum(found) + bands == pytest.approx(draft_bag("gusset_bag", sizes).piece("gusset").net.area_mm2, rel=1e-6)


def test_flap_agrees_with_the_depth_above_and_the_rounded_front_below():
    flap = draft_bag("flap_bag", {"depth_mm": 60, "flap_length_mm": 200, "flap_radius_mm": 40}).piece("flap")
    wide = flap.net.region().width_mm
    over, front = (flap.region(Extent.ZONE, name).area_mm2 for name in ("flap, over the top", "flap, down the front"))
    assert over == pytest.approx(wide * 60, rel=1e-6)
    assert front == pytest.approx(wide * 140 - (2 - math.pi / 2) * 40**2, rel=1e-5)


def test_round_base_is_a_zone_by_itself():
    found = area_mm2("bucket_bag", {"diameter_mm": 200}, "base", "base")
    assert found == pytest.approx(math.pi * 100**2, rel=1e-4)


def test_wallet_leaves_and_spine_are_the_cover():
    cover = draft_bag("card_wallet", {}).piece("cover")
    assert [zone.name for zone in cover.zones] == ["left leaf", "spine", "right leaf"]
    left, _, right = (zone.region.area_mm2 for zone in cover.zones)
    assert left == pytest.approx(right, rel=1e-6)


def test_no_zones_without_bends():
    assert draft_bag("zip_pouch", {"depth_mm": 0}).piece("outer").zones == ()
    assert not any(piece.zones for piece in draft_own(pouch()).pieces)


def test_zones_between_slanted_bends_are_three_cornered():
    """A pouch whose front and back meet along the top: its sides are triangles, half depth by height."""
    sides = [
        area_mm2("zip_pouch", {"height_mm": 150, "depth_mm": 60}, "outer", f"{hand} side") for hand in ("left", "right")
    ]
    assert sides == pytest.approx([150 * 30 / 2] * 2, rel=1e-5)


def test_zone_region_is_what_is_cut_for_it():
    outer = draft_bag("boxed_tote", {"width_mm": 300, "depth_mm": 80}).piece("outer")
    base = Region.rectangle((40, 0), (340, 40))
    assert outer.region(Extent.ZONE, "base").minus(base).area_mm2 == pytest.approx(0, abs=0.1)
    assert base.minus(outer.region(Extent.ZONE, "base")).area_mm2 == pytest.approx(0, abs=0.1)
