"""Magnetic snaps and feet: their marks lie where they work in the bag folded up, and they refuse what does not fit."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace

import pytest

from bagwright.drafting import base_feet, cautions, magnetic_snap
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.pocket_place import BELOW_TOP_MM
from bagwright.drafting.soundness import prove_sound
from bagwright.model.pattern import Pattern, Stage
from bagwright.model.piece import EdgeUse
from tests.drafting.marks import marks_in_space
from tests.drafting.measurement_strategies import random_sizes
from tests.drafting.test_forms import refusal

SNAPPED = [key for key, form in FORMS.items() if any(s.key == "magnetic_snap" for s in form.measurements)]
FOOTED = [key for key, form in FORMS.items() if any(s.key == "feet" for s in form.measurements)]
BARE = {"zip_pocket": 0.0, "outside_zip_pocket": 0.0, "inside_pockets": 0.0, "outside_pockets": 0.0, "top_zip": 0.0}


def drawn_with(form: str, count_key: str, tries: int) -> list[Pattern]:
    chance = random.Random(f"{form} {count_key}")
    found: list[Pattern] = []
    while len(found) < tries:
        sizes = random_sizes(FORMS[form], chance)
        if sizes[count_key]:
            found.append(draft_bag(form, sizes))
    return found


def bare(form: str, sizes: dict[str, float]) -> dict[str, float]:
    """Those sizes without pockets, so that folding up is quick."""
    keys = {spec.key for spec in FORMS[form].measurements}
    return {**{key: 0.0 for key in BARE if key in keys}, **sizes}


def test_snaps_and_feet_property_are_offered_where_there_is_an_opening_or_a_base():
    assert {"boxed_tote", "based_tote", "bucket_bag", "gusset_bag", "flap_bag"} <= set(SNAPPED)
    assert {"boxed_tote", "based_tote", "bucket_bag", "gusset_bag", "flap_bag", "backpack"} <= set(FOOTED)


@pytest.mark.parametrize("form", SNAPPED)
@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_halves_property_meet_when_the_bag_is_folded_up_and_closed(form, share):
    """In the lining they face one another at one height; under a flap they lie on one another."""
    (place,) = [spec for spec in FORMS[form].measurements if spec.key in ("snap_below_top_mm", "snap_above_tip_mm")]
    sizes = {**FORMS[form].defaults(), **bare(form, {"magnetic_snap": 1.0})}
    low, high = place.limits_mm(sizes)
    pattern = draft_bag(form, bare(form, {"magnetic_snap": 1.0, place.key: low + share * (high - low)}))
    found = {key[:2]: point for key, point in marks_in_space(pattern).items() if key[2] == "snap"}
    if form == "flap_bag":
        one, other = found["lining_flap", 1], found["outer", 1]
        assert math.dist(one, other) < 0.1
    else:
        (one, other) = [found["lining", copy] for copy in (1, 2)]
        apart = [abs(a - b) for a, b in zip(one, other, strict=True)]
        # Only across the depth of the bag are they apart.
        assert sorted(apart)[:2] == pytest.approx([0, 0], abs=0.1)
        drawn = pattern.measurements_mm
        assert max(apart) == pytest.approx(drawn.get("depth_mm") or drawn["diameter_mm"], abs=0.1)


@pytest.mark.parametrize("form", SNAPPED)
def test_snap_property_stays_off_seams_and_pockets(form):
    for pattern in drawn_with(form, "magnetic_snap", 20):
        sizes, radius = pattern.measurements_mm, pattern.measurements_mm["snap_width_mm"] / 2
        for piece in pattern.pieces:
            for mark in piece.drill_marks:
                if mark.name == "snap" and not piece.fixed_to:
                    left, low, right, high = piece.net.region().bounds
                    room = min(mark.at[0] - left, right - mark.at[0], mark.at[1] - low, high - mark.at[1])
                    assert room >= radius + magnetic_snap.MARGIN_MM - 1e-6
                    pocket = sizes["outside_pockets" if piece.id == "outer" else "inside_pockets"]
                    if pocket and piece.id != "lining_flap":
                        assert high - mark.at[1] + radius <= BELOW_TOP_MM + 1e-6


@pytest.mark.parametrize("form", SNAPPED)
def test_snap_property_has_a_square_behind_each_half_and_its_cautions(form):
    pattern = draft_bag(form, {"magnetic_snap": 1.0})
    square = pattern.piece("snap_square")
    assert square.count == len(square.fixed_to) == 2
    assert set(square.edge_use.values()) == {EdgeUse.OPENING}
    side = square.region().width_mm
    assert side >= pattern.measurements_mm["snap_width_mm"] + 20
    (need,) = [notion for notion in pattern.notions if notion.role == "magnetic_snap"]
    assert need.count == 1
    orders = {work.id: work for work in pattern.handwork}
    assert orders["snap-square"].order < orders["snap"].order
    assert cautions.MAGNET in orders["snap"].cautions and cautions.MAGNET in pattern.cautions
    assert orders["snap"].order < min(
        s.order for s in pattern.seams if s.stage in (Stage.LINING, Stage.OUTER, Stage.JOIN)
    )


def test_magnet_caution_matches_cpsc():
    # Source: CPSC on swallowed magnets: they attract through tissue; perforation, twisting, blockage, infection, death.
    # That magnets disturb pacemakers is from memory.
    told = cautions.MAGNET.lower()
    assert all(word in told for word in ("never loose", "children", "swallowed", "tissue", "kill", "pacemakers"))


@pytest.mark.parametrize(
    ("form", "field", "sizes"),
    [
        ("boxed_tote", "snap_below_top_mm", {"magnetic_snap": 1.0, "snap_below_top_mm": 60.0, "inside_pockets": 1.0}),
        ("boxed_tote", "snap_below_top_mm", {"magnetic_snap": 1.0, "snap_below_top_mm": 12.0}),
        ("boxed_tote", "magnetic_snap", {"magnetic_snap": 1.0, "zip_pocket": 2.0}),
        ("flap_bag", "snap_above_tip_mm", {"magnetic_snap": 1.0, "snap_above_tip_mm": 120.0}),
        ("flap_bag", "magnetic_snap", {"magnetic_snap": 1.0, "flap_length_mm": 104.0, "snap_width_mm": 25.0}),
        ("based_tote", "feet_inset_mm", {"feet": 1.0, "feet_inset_mm": 60.0, "foot_width_mm": 15.0}),
        ("based_tote", "feet_inset_mm", {"feet": 2.0, "feet_inset_mm": 45.0, "foot_width_mm": 15.0}),
        ("gusset_bag", "feet", {"feet": 1.0, "width_mm": 120.0, "corner_radius_mm": 50.0, "foot_width_mm": 20.0}),
        ("drawstring_bag", "feet", {"feet": 1.0, "depth_mm": 0.0}),
    ],
)
def test_hardware_that_does_not_fit_rejects_with_field(form, field, sizes):
    asked = {**{key: 0.0 for key in ("inside_pockets",) if key in FORMS[form].defaults()}, **sizes}
    allowed = refusal(form, asked)
    assert set(allowed) == {field}
    assert allowed[field].startswith(("at most", "at least", "0 with"))


def most_feet(form: str) -> int:
    return int(next(spec for spec in FORMS[form].measurements if spec.key == "feet").high_mm)


@pytest.mark.parametrize(("form", "feet"), [(f, float(n)) for f in FOOTED for n in range(1, most_feet(f) + 1)])
def test_feet_property_stand_level_and_evenly_in_from_the_edges_of_the_base(form, feet):
    pattern = draft_bag(form, bare(form, {"feet": feet, "feet_inset_mm": 12.0}))
    sizes, asked = pattern.measurements_mm, 4 if feet == 1.0 else 5
    places = [point for key, point in marks_in_space(pattern).items() if key[2].startswith("foot")]
    assert len(places) == asked
    # All in one plane, the base's: one coordinate is the same for all.
    spreads = [max(values) - min(values) for values in zip(*places, strict=True)]
    assert min(spreads) == pytest.approx(0, abs=0.1)
    flat = [i for i in range(3) if i != spreads.index(min(spreads))]
    middle = [sum(place[i] for place in places) / asked for i in flat]
    offs = [[abs(place[i] - m) for i, m in zip(flat, middle, strict=True)] for place in places]
    if form == "bucket_bag":
        expected = [(sizes["diameter_mm"] / 2 - 12) * math.sqrt(0.5)] * 2
    else:
        wide = sizes["width_mm"] - (2 * sizes["corner_radius_mm"] if "corner_radius_mm" in sizes else 0)
        expected = sorted((wide / 2 - 12, sizes["depth_mm"] / 2 - 12))
    for off in offs[:4]:
        assert sorted(off) == pytest.approx(expected, abs=0.1)
    if asked == 5:
        assert max(offs[4]) < 0.1


@pytest.mark.parametrize("form", FOOTED)
def test_feet_property_stay_off_edges_and_one_another(form):
    for pattern in drawn_with(form, "feet", 15):
        sizes = pattern.measurements_mm
        marked = [p for p in pattern.pieces if any(m.name.startswith("foot") for m in p.drill_marks)]
        assert len(marked) == 1
        feet = [mark.at for mark in marked[0].drill_marks if mark.name.startswith("foot")]
        assert len(feet) * marked[0].count == (4 if sizes["feet"] == 1 else 5)
        for one, other in itertools.combinations(feet, 2):
            assert math.dist(one, other) >= sizes["foot_width_mm"] + 2 * base_feet.MARGIN_MM - 1e-6
        (work,) = [w for w in pattern.handwork if w.id == "feet"]
        outer = [s.order for s in pattern.seams if s.stage is Stage.OUTER]
        join = [s.order for s in pattern.seams if s.stage is Stage.JOIN]
        assert max(outer) < work.order < min(join)


def test_square_that_is_fixed_to_nothing_rejects():
    good = draft_bag("boxed_tote", {"magnetic_snap": 1.0})
    square = good.piece("snap_square")
    for wrong in (
        replace(square, fixed_to=()),
        replace(square, fixed_to=("lining",)),
        replace(square, fixed_to=("lining", "nothing")),
        replace(square, fixed_to=("lining", "snap_square")),
        replace(square, edge_use={**square.edge_use, "top": EdgeUse.SEAM}),
    ):
        pieces = tuple(wrong if piece.id == square.id else piece for piece in good.pieces)
        assert not prove_sound(replace(good, pieces=pieces)).passed
