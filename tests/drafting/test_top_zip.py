"""The zip across the top of an open bag: between bands in the top seam, or recessed between facing and lining."""

import math
import random
from dataclasses import replace

import pytest

from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import prove_sound
from bagwright.drafting.zip_work import zip_plans
from bagwright.model.pattern import Pattern, SeamKind, Stage
from tests.drafting.measurement_strategies import random_sizes
from tests.drafting.test_forms import refusal
from tests.drafting.twists import edges_closed_on_themselves

FORMS_WITH_ONE = ("boxed_tote", "based_tote", "gusset_bag", "flap_bag")
BANDS, RECESSED = 1.0, 2.0
# A #5 zip 32 mm wide, 6 mm of it under either stitch line: 20 mm of it shows.
ZIP = {"top_tape_width_mm": 32.0, "top_zip_allowance_mm": 6.0, "top_slider_parked_mm": 12.0}


def order_of(pattern: Pattern, key: str) -> int:
    return next(seam.order for seam in pattern.seams if seam.id == key or seam.id.startswith(f"{key}-"))


def test_forms_that_close_well_have_it():
    """A straight band does not close a round top, and a drawcord closes its bag already."""
    assert {key for key, form in FORMS.items() if any(a.key == "top_zip" for a in form.add_ons)} == set(FORMS_WITH_ONE)


def test_bands_match_arithmetic_by_hand():
    # Depth 100: two bands of (100 - 20) / 2 = 40 lie flat beside 20 of zip. An opening of 200 with 12 of slider is 212
    # of zip between tabs of 20 each: bands 252 long, in the middle of a top of 330 + 100.
    sizes = {"width_mm": 330.0, "depth_mm": 100.0, "top_opening_mm": 200.0, "top_tab_length_mm": 20.0}
    pattern = draft_bag("boxed_tote", {"top_zip": BANDS, "band_width_mm": 40.0, **sizes, **ZIP})
    band, (sewn,) = pattern.piece("zip_band"), pattern.zips
    assert (band.net.edge("top_outside").length_mm, band.net.edge("end_left").length_mm) == pytest.approx((252.0, 80.0))
    assert sewn.line_mm == pytest.approx(212.0)
    assert sewn.finished_mm == pytest.approx(100.0)
    held = [s for seam in pattern.seams if seam.name.startswith("Sew outer and") for s in seam.sides]
    stretches = sorted((side.from_mm, side.to_mm) for side in held if side.piece_id == "zip_band" and side.copy == 1)
    assert len(stretches) % 2 == 0
    notches = {round(n.at_mm, 6) for n in pattern.piece("outer").notches if n.edge == "top"}
    assert {(430 - 252) / 2, (430 + 252) / 2} <= notches


def test_wider_bands_hang_as_pythagoras_says():
    # Bands of 50 over a reach of 40: the zip hangs sqrt(50^2 - 40^2) = 30 below the top edge at 300.
    sizes = {"width_mm": 330.0, "depth_mm": 100.0, "height_mm": 300.0, "band_width_mm": 50.0}
    fold = fold_up(draft_bag("boxed_tote", {"top_zip": BANDS, **sizes, **ZIP}))
    heights = {round(z, 3) for facet in fold.facets if facet.piece_id == "zip_chain" for _, _, z in facet.points}
    assert heights == {270.0}
    assert math.isclose(fold.worst_seam.gap_mm, 0.0, abs_tol=0.01)


def test_recess_matches_arithmetic_by_hand():
    # 300 high with a recess of 60: facings of 60, a lining of 240, which holds 330 x 100 x 240 mm = 7.92 l.
    sizes = {"width_mm": 330.0, "depth_mm": 100.0, "height_mm": 300.0, "recess_mm": 60.0, "top_opening_mm": 288.0}
    pattern = draft_bag("boxed_tote", {"top_zip": RECESSED, **sizes, **ZIP})
    assert pattern.piece("facing").net.edge("right").length_mm == pytest.approx(60.0)
    assert pattern.piece("lining").net.edge("right").length_mm == pytest.approx(240.0)
    # Zip of 288 + 12 between tabs of (330 - 300) / 2 = 15; panel 330 by 40 + 20 + 40.
    assert pattern.piece("zip_tab").net.edge("side_one").length_mm == pytest.approx(30.0)
    assert pattern.piece("zip_band").net.edge("top_outside").length_mm == pytest.approx(330.0)
    assert pattern.zips[0].finished_mm == pytest.approx(100.0)
    fold = fold_up(pattern)
    assert fold.capacity_l == pytest.approx(7.92, rel=1e-6)
    panel = {z for facet in fold.facets if facet.piece_id in ("zip_band", "zip_chain") for _, _, z in facet.points}
    assert max(panel) == pytest.approx(240.0, abs=0.01) and min(panel) == pytest.approx(240.0, abs=0.01)


@pytest.mark.parametrize("key", FORMS_WITH_ONE)
@pytest.mark.parametrize("kind", [BANDS, RECESSED])
def test_random_sizes_property_close_in_space_and_are_not_twisted(key, kind):
    chance, folded = random.Random(f"{key} {kind}"), 0
    while folded < 12:
        sizes = random_sizes(FORMS[key], chance)
        if sizes["top_zip"] != kind:
            continue
        pattern = draft_bag(key, sizes)
        assert not edges_closed_on_themselves(pattern)
        own = {"zip_band", "zip_tab", "zip_chain", "facing", "facing_side"}
        its = {
            seam.id for seam in pattern.seams if {side.piece_id for side in seam.sides} & own and "top" not in seam.id
        }
        assert all(gap.gap_mm < 0.5 for gap in fold_up(pattern).gaps if gap.seam_id in its), sizes
        opening = next(plan.zip for plan in zip_plans(pattern) if plan.zip.key == "zip_chain").opening_mm
        assert opening == pytest.approx(sizes["top_opening_mm"], abs=1.0)
        folded += 1


def test_bands_property_are_made_before_they_are_caught():
    pattern = draft_bag("boxed_tote", {"top_zip": BANDS})
    keys = ["zip-band-ends", "tabs", "zip-bands", "zip-bands-held", "top"]
    orders = [order_of(pattern, key) for key in keys]
    assert orders == sorted(orders)
    # The outer is a bag already when the bands are basted round its top.
    assert order_of(pattern, "outer-box") < order_of(pattern, "zip-bands-held")
    # Zip and bands, closed, would be a wall between front and back: whoever bastes them is told to open it.
    assert next(s.name for s in pattern.seams if s.id.startswith("zip-bands-held")).startswith("Open the zip")


def test_recess_property_is_sewn_between_lining_and_top():
    pattern = draft_bag("gusset_bag", {"top_zip": RECESSED})
    keys = ["tabs", "zip-bands", "lining-back", "facing", "recess-held", "recess", "top"]
    orders = [order_of(pattern, key) for key in keys]
    assert orders == sorted(orders)
    assert {s.stage for s in pattern.seams if s.id.startswith(("facing", "recess"))} == {Stage.LINING}
    # All round: facing, lining and both layers of the panel, four at every place and four of the tabs.
    ring = [seam for seam in pattern.seams if seam.id.startswith("recess-") and seam.kind is SeamKind.LOCKSTITCH]
    assert {len(seam.sides) for seam in ring} == {4}
    assert sum(seam.length_mm for seam in ring) == pytest.approx(2 * (304.8 + 88.9))


def test_recess_property_moves_what_is_inside_below_it():
    sizes = {"top_zip": RECESSED, "recess_mm": 80.0, "inside_pockets": 1.0, "zip_pocket": 2.0}
    pattern = draft_bag("boxed_tote", sizes)
    lines = {line.name: line for line in pattern.piece("lining").lines}
    assert lines["pocket_left"].start[1] < pattern.piece("lining").net.region().bounds[3]
    recess = [seam for seam in pattern.seams if seam.id.startswith("recess-") and seam.kind is SeamKind.LOCKSTITCH]
    top = [seam for seam in pattern.seams if seam.name.startswith("Sew outer and")]
    hung = {"zip_pocket_strip", "zip_pocket_bag"}
    assert hung <= {side.piece_id for seam in recess for side in seam.sides}
    assert not hung & {side.piece_id for seam in top for side in seam.sides}
    assert "zip pocket" in recess[0].name and "zip pocket" not in top[0].name


@pytest.mark.parametrize("kind", [BANDS, RECESSED])
def test_planted_twist_is_found_in_space(kind):
    """A tab sewn in the wrong way round leaves every length as it is, but the bag gapes."""
    pattern = draft_bag("boxed_tote", {"top_zip": kind})
    seams = tuple(
        replace(s, sides=(*s.sides[:-1], replace(s.sides[-1], from_mm=s.sides[-1].to_mm, to_mm=s.sides[-1].from_mm)))
        if s.id == "zip-bands-2"
        else s
        for s in pattern.seams
    )
    twisted = replace(pattern, seams=seams)
    assert prove_sound(twisted).passed
    assert fold_up(twisted).worst_seam.gap_mm > 5 or edges_closed_on_themselves(twisted)


def test_planted_short_band_is_found():
    pattern = draft_bag("boxed_tote", {"top_zip": BANDS})
    seams = tuple(
        replace(s, sides=(replace(s.sides[0], to_mm=s.sides[0].to_mm * 0.9), *s.sides[1:]))
        if s.id == "zip-bands-2"
        else s
        for s in pattern.seams
    )
    assert not prove_sound(replace(pattern, seams=seams)).passed


@pytest.mark.parametrize(
    ("form", "field", "sizes"),
    [
        # 25 mm of depth less 19 mm of zip leave 3 mm for a band.
        ("boxed_tote", "top_zip", {"top_zip": BANDS, "depth_mm": 25.0}),
        ("boxed_tote", "top_zip", {"top_zip": RECESSED, "depth_mm": 25.0}),
        ("boxed_tote", "band_width_mm", {"top_zip": BANDS, "band_width_mm": 30.0}),
        ("boxed_tote", "band_width_mm", {"top_zip": BANDS, "band_width_mm": 200.0}),
        ("boxed_tote", "top_opening_mm", {"top_zip": BANDS, "top_opening_mm": 320.0}),
        # Strap ends 152.4 apart and 25.4 wide: a band of 112 + 12 + 38.1 mm would end within them.
        ("boxed_tote", "top_opening_mm", {"top_zip": BANDS, "top_opening_mm": 112.0}),
        ("boxed_tote", "recess_mm", {"top_zip": RECESSED, "recess_mm": 300.0, "inside_pockets": 0.0}),
        ("gusset_bag", "recess_mm", {"top_zip": RECESSED, "recess_mm": 170.0}),
        ("gusset_bag", "top_tape_width_mm", {"top_zip": BANDS, "top_tape_width_mm": 20.0}),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_field(form, field, sizes):
    places = refusal(form, sizes)
    assert set(places) == {field}
    assert places[field][0].isdigit() or places[field].startswith("at ")


def test_band_that_ends_in_a_strap_rejects_with_the_next_longer():
    # 152.4 + 25.4 - 12 - 38.1 = 127.7 mm is the shortest opening whose bands reach past the straps.
    allowed = refusal("boxed_tote", {"top_zip": BANDS, "top_opening_mm": 112.0})["top_opening_mm"]
    assert allowed.startswith("at least 127.7 mm")
    assert draft_bag("boxed_tote", {"top_zip": BANDS, "top_opening_mm": 127.7})
