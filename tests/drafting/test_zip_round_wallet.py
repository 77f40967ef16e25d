"""The zip-round wallet: the zip goes just round three sides, eased at the corners; cards go in; it closes to a box."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from shapely.geometry import box

from bagwright.drafting.cards import CARD_HEIGHT_MM, CARD_LIFT_MM, CARD_WIDTH_MM, corner_lift_mm
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import prove_sound
from bagwright.drafting.zip_rim import rim_mm
from bagwright.drafting.zip_round_wallet import wallet_zip
from bagwright.geometry.region import Region
from bagwright.model.pattern import Pattern, SeamKind
from tests.drafting.measurement_strategies import measurements
from tests.drafting.test_forms import refusal
from tests.drafting.twists import edges_closed_on_themselves

WALLETS = measurements(FORMS["zip_round_wallet"])


def tape_sides(pattern: Pattern, tape: str):
    return [
        (seam, side)
        for seam in pattern.seams
        if seam.kind is SeamKind.ZIP
        for side in seam.sides
        if (side.piece_id, side.edge) == ("zip_chain", tape)
    ]


@pytest.mark.parametrize(("leaf", "high", "radius"), [(110, 100, 13), (150, 90, 25), (90, 200, 10)])
def test_rim_agrees_with_the_boundary_of_a_rounded_leaf(leaf, high, radius):
    """Measured by shapely: a leaf whose outer corners are round, less the side along the spine."""
    rounded = (
        box(-leaf, 0, leaf, high).buffer(-radius).buffer(radius, quad_segs=256).intersection(box(0, 0, leaf, high))
    )
    assert rim_mm(leaf, high, radius) == pytest.approx(rounded.length - high, abs=0.01)


@settings(max_examples=60, deadline=None)
@given(WALLETS)
def test_tapes_property_are_longer_than_their_seams_by_the_ease_of_two_corners(sizes):
    pattern = draft_bag("zip_round_wallet", sizes)
    ease, chain = sizes["tape_ease_mm"], pattern.piece("zip_chain")
    for tape in ("tape_front", "tape_back"):
        found = tape_sides(pattern, tape)
        sewn = math.fsum(seam.length_mm for seam, _ in found)
        assert sewn == pytest.approx(rim_mm(sizes["closed_width_mm"], sizes["height_mm"], sizes["corner_radius_mm"]))
        assert chain.edge(tape).length_mm - sewn == pytest.approx(2 * ease, abs=1e-6)
        # Only where the seam goes round a corner is anything eased in.
        for seam, side in found:
            at_corner = "corner" in seam.sides[0].edge
            assert bool(side.ease_mm) == (at_corner and ease > 0)
    assert pattern.zips == (wallet_zip(pattern.measurements_mm),)
    needs = {need.role: need for need in pattern.notions}
    assert needs["zip_chain"].length_mm == pytest.approx(chain.region().width_mm)
    assert needs["slider"].count == 1


@settings(max_examples=60, deadline=None)
@given(WALLETS)
def test_card_property_goes_into_every_pocket(sizes):
    inside = draft_bag("zip_round_wallet", sizes).piece("inside")
    net, width = inside.net.region(side="left"), sizes["closed_width_mm"]
    held_up = corner_lift_mm(sizes["corner_radius_mm"], width - CARD_WIDTH_MM)
    assert held_up <= CARD_LIFT_MM + 1e-6
    for level in range(int(sizes["card_pockets"])):
        foot = level * sizes["pocket_step_mm"] + (0.0 if level else held_up)
        card = Region.rectangle((width - CARD_WIDTH_MM, foot), (width, foot + CARD_HEIGHT_MM))
        assert net.holds(card, slack_mm=0.05)


@pytest.mark.parametrize("ease", [0.0, 3.0, 4.9])
def test_closed_wallet_agrees_with_a_box_with_two_round_edges(ease):
    sizes = {"closed_width_mm": 120.0, "height_mm": 105.0, "corner_radius_mm": 12.7, "tape_ease_mm": ease}
    fold = fold_up(draft_bag("zip_round_wallet", sizes))
    depth = 32 - 2 * 6.35
    area = 120 * 105 - (2 - math.pi / 2) * 12.7**2
    assert fold.worst_seam.gap_mm < 0.1
    assert not fold.unplaced
    assert fold.assembled_size_mm == pytest.approx((depth, 120, 105), abs=0.5)
    assert fold.capacity_l == pytest.approx(area * depth / 1e6, rel=0.01)


def test_work_property_is_in_an_order_that_can_be_sewn():
    order = {seam.id.rpartition("-")[0] or seam.id: seam.order for seam in draft_bag("zip_round_wallet", {}).seams}
    # Pockets lie on the inside and the tapes on the cover before the two are joined; the gap closes after that.
    assert order["slants"] < order["feet"] < order["spine"] < order["rim"]
    assert order["tape"] < order["rim"] < order["gap"] < order["edge"]


def test_gap_property_lies_clear_of_pockets_and_corner():
    pattern = draft_bag("zip_round_wallet", {})
    (gap,) = (seam for seam in pattern.seams if seam.id == "gap")
    assert {side.piece_id for side in gap.sides} == {"inside", "cover", "zip_chain"}
    assert gap.length_mm > 60


def changed(pattern: Pattern, seam_id: str, change) -> Pattern:
    """The pattern with the tape's side of one seam changed."""
    seams = tuple(
        replace(s, sides=tuple(change(side) if side.piece_id == "zip_chain" else side for side in s.sides))
        if s.id == seam_id
        else s
        for s in pattern.seams
    )
    return replace(pattern, seams=seams)


def test_ease_that_is_forgotten_rejects():
    good = draft_bag("zip_round_wallet", {})
    corner = next(seam.id for seam, side in tape_sides(good, "tape_back") if side.ease_mm)
    assert not prove_sound(changed(good, corner, lambda side: replace(side, ease_mm=0.0))).passed


def test_tape_walked_the_wrong_way_rejects():
    good = draft_bag("zip_round_wallet", {})
    straight = next(seam.id for seam, side in tape_sides(good, "tape_front") if "right" in seam.sides[0].edge)
    wrong = changed(good, straight, lambda side: replace(side, from_mm=side.to_mm, to_mm=side.from_mm))
    assert edges_closed_on_themselves(wrong) or fold_up(wrong).worst_seam.gap_mm > 1


@pytest.mark.parametrize(
    ("field", "sizes"),
    [
        ("tape_ease_mm", {"tape_ease_mm": 9.0}),
        ("corner_radius_mm", {"corner_radius_mm": 18.0, "pocket_step_mm": 12.7}),
        ("corner_radius_mm", {"corner_radius_mm": 16.0, "pocket_step_mm": 25.0, "card_pockets": 1.0}),
        ("height_mm", {"height_mm": 80.0}),
        ("tape_width_mm", {"tape_width_mm": 20.0, "zip_allowance_mm": 8.0}),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_field(field, sizes):
    assert set(refusal("zip_round_wallet", sizes)) == {field}


@pytest.mark.parametrize("kind", [1.0, 2.0])
def test_wrist_loop_property_hangs_in_the_spine_and_keeps_the_wallet_shut(kind):
    pattern = draft_bag("zip_round_wallet", {"loop": kind, "loop_width_mm": 15.0})
    seam = next(s for s in pattern.seams if s.kind is SeamKind.ZIP and any(x.piece_id == "loop" for x in s.sides))
    # The loop takes its width of the spine's upper end, all layers of it in one seam.
    assert {side.piece_id for side in seam.sides} == {"inside", "cover", "zip_chain", "loop"}
    assert seam.length_mm == pytest.approx(15.0)
    fold = fold_up(pattern)
    assert fold.worst_seam.gap_mm < 0.1
    assert max(p[2] for f in fold.facets if f.piece_id == "loop" for p in f.points) > fold.assembled_size_mm[2] + 50
