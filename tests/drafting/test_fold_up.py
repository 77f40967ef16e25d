"""Bags folded up from pieces and seams alone: they close, measure what was asked, and hold what such solids hold."""

import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from shapely.geometry import Point, box

from bagwright.drafting.fold_faults import find_fold_faults, sizes_as_asked
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.geometry.outline import rectangle_outline
from bagwright.geometry.space import dot
from tests.drafting.measurement_strategies import measurements


def faults(pattern):
    return [fault.words for fault in find_fold_faults(pattern, fold_up(pattern))]


def lined_mm(s):
    """What of the height is lined: a recessed zip shuts the bag below its facing."""
    return s["height_mm"] - (s["recess_mm"] if s.get("top_zip") == 2 else 0.0)


def box_l(s):
    return s["width_mm"] * s["depth_mm"] * lined_mm(s) / 1e6


def cylinder_l(s):
    return math.pi * s["diameter_mm"] ** 2 / 4 * s["height_mm"] / 1e6


def gusseted_l(s):
    """The face less what two round corners leave of their squares, times the depth."""
    face = s["width_mm"] * lined_mm(s) - 2 * s["corner_radius_mm"] ** 2 * (1 - math.pi / 4)
    return face * s["depth_mm"] / 1e6


def pouch_l(s):
    """At a share t of the height h its section is (W + t D) by D (1 - t): integrated, h D (W / 2 + D / 6).

    h = sqrt(H^2 - D^2 / 4), since H is measured along the leaning face. Derived.
    """
    w, d, slant = s["width_mm"], s["depth_mm"], s["height_mm"]
    return math.sqrt(slant**2 - d**2 / 4) * d * (w / 2 + d / 6) / 1e6


CAPACITIES_L = {
    "boxed_tote": box_l,
    "based_tote": box_l,
    "backpack": box_l,
    "drawstring_bag": box_l,
    "bucket_bag": cylinder_l,
    "gusset_bag": gusseted_l,
    "flap_bag": gusseted_l,
    "zip_pouch": pouch_l,
}


@pytest.mark.parametrize("key", FORMS)
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_accepted_sizes_property_fold_up_closed_and_to_size(key, data):
    sizes = data.draw(measurements(FORMS[key]))
    assert faults(draft_bag(key, sizes)) == []


@pytest.mark.parametrize("key", CAPACITIES_L)
@settings(max_examples=8, deadline=None)
@given(data=st.data())
def test_capacity_agrees_with_closed_form(key, data):
    sizes = data.draw(measurements(FORMS[key]))
    got = fold_up(draft_bag(key, sizes)).capacity_l
    assert (got or 0.0) == pytest.approx(CAPACITIES_L[key](sizes), rel=0.01, abs=0.001)


def inside(fold):
    return [point for facet in fold.facets if facet.piece_id.startswith("lining") for point in facet.points]


@pytest.mark.parametrize("key", [key for key in CAPACITIES_L if key != "flap_bag"])
def test_capacity_agrees_with_convex_hull(key):
    """Independent computation: all these linings are convex, so they hold what scipy's hull of their corners does."""
    fold = fold_up(draft_bag(key, {}))
    assert fold.capacity_l == pytest.approx(ConvexHull(inside(fold)).volume / 1e6, rel=0.01)


@pytest.mark.parametrize(("width", "height", "depth", "radius"), [(300, 200, 80, 50), (400, 300, 120, 12)])
def test_gusseted_capacity_agrees_with_area_in_shapely_times_depth(width, height, depth, radius):
    square = box(0, 0, width, height)
    rounded = box(radius, 0, width - radius, height).union(box(0, radius, width, height))
    for x in (radius, width - radius):
        rounded = rounded.union(Point(x, radius).buffer(radius, quad_segs=64))
    assert rounded.within(square.buffer(1e-6))
    sizes = {"width_mm": width, "height_mm": height, "depth_mm": depth, "corner_radius_mm": radius}
    fold = fold_up(draft_bag("gusset_bag", {key: float(value) for key, value in sizes.items()}))
    assert fold.capacity_l == pytest.approx(rounded.area * depth / 1e6, rel=0.01)


@pytest.mark.parametrize(
    ("form", "sizes"), [("card_wallet", {}), ("zip_pouch", {"depth_mm": 0.0}), ("drawstring_bag", {"depth_mm": 0.0})]
)
def test_capacity_limit_is_none_for_a_bag_that_lies_flat(form, sizes):
    assert fold_up(draft_bag(form, sizes)).capacity_l is None


def test_boxed_corner_matches_rule_of_two_to_four():
    # Source: sewshare.com on boxed corners: a "2 in (5 cm) cut-out yields about a 4 in finished base".
    inch = 25.4
    sizes = {"width_mm": 11 * inch, "height_mm": 11.25 * inch, "depth_mm": 4 * inch}
    _, depth, _ = fold_up(draft_bag("boxed_tote", sizes)).assembled_size_mm
    assert depth == pytest.approx(4 * inch, abs=0.01)


def test_leaning_faces_agree_with_pythagoras():
    """Front and back of 150 mm meet over a base 80 mm deep: they stand sqrt(150^2 - 40^2) high."""
    fold = fold_up(draft_bag("zip_pouch", {"width_mm": 200.0, "height_mm": 150.0, "depth_mm": 80.0}))
    width, depth, height = fold.assembled_size_mm
    assert (width, depth, height) == pytest.approx((280, 80, math.sqrt(150**2 - 40**2)), abs=0.01)
    assert fold.lean_mm == pytest.approx(40, abs=0.01)
    assert sizes_as_asked(fold) == pytest.approx({"width_mm": 200, "depth_mm": 80, "height_mm": 150}, abs=0.01)


def test_wallet_property_stands_half_open():
    """Each leaf is turned by 55 degrees from the spine: closed width times cosine on either side of the fold ease."""
    sizes = {"closed_width_mm": 100.0, "fold_ease_mm": 4.0, "height_mm": 90.0}
    width, _, height = fold_up(draft_bag("card_wallet", sizes)).assembled_size_mm
    assert width == pytest.approx(4 + 2 * 100 * math.cos(math.radians(55)), abs=0.01)
    assert height == pytest.approx(90, abs=0.01)


@pytest.mark.parametrize("key", FORMS)
def test_shells_property_turn_their_right_sides_out_and_linings_theirs_in(key):
    """Seen from the middle of the bag: what is outermost looks away from it, what is innermost towards it."""
    sizes = {"depth_mm": 60.0} if "depth_mm" in FORMS[key].defaults() else {}
    fold = fold_up(draft_bag(key, sizes))
    if fold.capacity_l is None:
        return
    centre = (0.0, 0.0, fold.assembled_size_mm[2] / 2)
    for facet in fold.facets:
        middle = tuple(sum(axis) / len(axis) for axis in zip(*facet.points, strict=True))
        outward = dot(facet.normal, tuple(a - b for a, b in zip(middle, centre, strict=True)))
        if facet.piece_id in ("outer", "base", "gusset"):
            assert outward > 0
        if facet.piece_id in ("lining", "lining_base", "lining_gusset"):
            assert outward < 0


@pytest.mark.parametrize("form", ["boxed_tote", "bucket_bag", "gusset_bag", "backpack"])
def test_straps_property_are_as_long_and_wide_as_they_are_cut(form):
    pattern = draft_bag(form, {})
    fold = fold_up(pattern)
    for copy in range(1, pattern.piece("strap").count + 1):
        area = sum(_area(f.points) for f in fold.facets if (f.piece_id, f.copy) == ("strap", copy))
        length, width = pattern.measurements_mm["strap_length_mm"], pattern.measurements_mm["strap_width_mm"]
        assert area == pytest.approx(length * width, rel=0.02)


def _area(points):
    first, *others = points
    total = [0.0, 0.0, 0.0]
    for a, b in itertools.pairwise(others):
        u, v = [x - y for x, y in zip(a, first, strict=True)], [x - y for x, y in zip(b, first, strict=True)]
        for axis, (i, j) in enumerate(((1, 2), (2, 0), (0, 1))):
            total[axis] += (u[i] * v[j] - u[j] * v[i]) / 2
    return math.hypot(*total)


def test_pocket_property_lies_on_the_right_side_of_its_lining():
    fold = fold_up(draft_bag("boxed_tote", {"inside_pockets": 1.0}))
    (pocket,) = (facet for facet in fold.facets if facet.piece_id == "pocket")
    under = [f for f in fold.facets if f.plane == pocket.plane and f.piece_id == "lining"]
    assert under and all(pocket.rank > f.rank for f in under)
    assert all(dot(pocket.normal, f.normal) > 0.999 for f in under)


def test_flap_property_falls_over_the_front_from_outside():
    fold = fold_up(draft_bag("flap_bag", {}))
    front = next(f for f in fold.facets if (f.piece_id, f.copy) == ("outer", 1))
    flap = next(f for f in fold.facets if f.piece_id == "flap" and f.plane == front.plane)
    assert flap.rank > front.rank
    assert dot(flap.normal, front.normal) > 0.999


@settings(max_examples=12, deadline=None)
@given(measurements(FORMS["gusset_bag"]))
def test_gusset_property_closes_in_one_part_or_three(sizes):
    for parts in (0.0, 1.0):
        assert faults(draft_bag("gusset_bag", {**sizes, "separate_sides": parts})) == []


# Wrong seams, planted in sound patterns.


def changed(pattern, seam_id, change):
    assert any(seam.id == seam_id for seam in pattern.seams)
    return replace(pattern, seams=tuple(change(seam) if seam.id == seam_id else seam for seam in pattern.seams))


def turned_round(seam):
    first, *others = seam.sides
    return replace(seam, sides=(first, *(replace(s, from_mm=s.to_mm, to_mm=s.from_mm) for s in others)))


def shifted(seam):
    """Everything but the first side 30 mm further along."""
    first, *others = seam.sides
    return replace(seam, sides=(first, *(replace(s, from_mm=s.from_mm + 30, to_mm=s.to_mm + 30) for s in others)))


def other_hand(seam):
    """Left for right on the last side."""
    *first, last = seam.sides
    names = {"left": "right", "right": "left"}
    edge = next(last.edge.replace(hand, other) for hand, other in names.items() if hand in last.edge)
    return replace(seam, sides=(*first, replace(last, edge=edge)))


def swapped(pattern, one_id, other_id):
    """The last sides of two seams in one another's place."""
    found = {seam.id: seam for seam in pattern.seams}
    one, other = found[one_id], found[other_id]
    new = {
        one_id: replace(one, sides=(*one.sides[:-1], other.sides[-1])),
        other_id: replace(other, sides=(*other.sides[:-1], one.sides[-1])),
    }
    return replace(pattern, seams=tuple(new.get(seam.id, seam) for seam in pattern.seams))


@pytest.mark.parametrize(
    ("form", "seam_id", "wrong"),
    [
        ("boxed_tote", "outer-sides-1", turned_round),
        ("boxed_tote", "outer-sides-1", other_hand),
        ("boxed_tote", "outer-bottom", turned_round),
        ("boxed_tote", "outer-bottom", shifted),
        ("boxed_tote", "outer-box-1", turned_round),
        ("boxed_tote", "top-1", turned_round),
        ("boxed_tote", "pocket-1", turned_round),
        ("boxed_tote", "pocket-2", shifted),
        ("based_tote", "base-1", turned_round),
        ("based_tote", "base-1", shifted),
        ("bucket_bag", "outer-base-1", turned_round),
        ("bucket_bag", "lining-base-2", shifted),
        ("gusset_bag", "outer-front-1", turned_round),
        ("gusset_bag", "outer-back-3", shifted),
        ("flap_bag", "flap-1", other_hand),
        ("flap_bag", "flap-3", turned_round),
        ("backpack", "outer-sides-2", turned_round),
        ("drawstring_bag", "lining-bottom-1", shifted),
        ("zip_pouch", "outer-bottom", turned_round),
        ("zip_pouch", "zip-front-2", shifted),
        ("card_wallet", "rim-3", turned_round),
        ("card_wallet", "feet-1", turned_round),
    ],
)
def test_wrong_seam_rejects_by_how_the_bag_folds_up(form, seam_id, wrong):
    good = draft_bag(form, {})
    assert faults(good) == []
    assert faults(changed(good, seam_id, wrong)) != []


@pytest.mark.parametrize(
    ("form", "one", "other"),
    [
        ("boxed_tote", "outer-sides-1", "outer-sides-2"),
        ("boxed_tote", "lining-sides-1", "lining-sides-2"),
        ("boxed_tote", "outer-box-1", "outer-box-3"),
        ("zip_pouch", "lining-sides-1", "lining-sides-2"),
        ("bucket_bag", "outer-base-1", "lining-base-1"),
        ("backpack", "outer-sides-1", "outer-sides-2"),
    ],
)
def test_swapped_sides_rejects_by_how_the_bag_folds_up(form, one, other):
    good = draft_bag(form, {})
    assert faults(swapped(good, one, other)) != []


@pytest.mark.parametrize("form", ["boxed_tote", "based_tote", "bucket_bag", "drawstring_bag"])
def test_lining_walked_with_its_outer_rejects_though_no_seam_gapes(form):
    """Every seam of the lining along the top the wrong way round: nothing gapes, but it stands up out of the bag."""
    good = draft_bag(form, {})

    def wrong(seam):
        sides = tuple(replace(s, from_mm=s.to_mm, to_mm=s.from_mm) if s.piece_id == "lining" else s for s in seam.sides)
        return replace(seam, sides=sides) if seam.id.startswith("top-") else seam

    bad = replace(good, seams=tuple(wrong(seam) for seam in good.seams))
    assert faults(bad) != []


@pytest.mark.parametrize("form", ["boxed_tote", "gusset_bag", "bucket_bag"])
def test_lining_bent_like_its_outer_rejects(form):
    good = draft_bag(form, {})
    pieces = tuple(
        replace(p, bends=tuple(replace(b, angle_deg=-b.angle_deg) for b in p.bends)) if p.role == "lining" else p
        for p in good.pieces
    )
    assert faults(replace(good, pieces=pieces)) != []


def test_panel_of_another_size_rejects():
    """Pieces that fit one another but not what was asked: only the size gives it away."""
    good = draft_bag("boxed_tote", {"width_mm": 300.0})
    measures = tuple(replace(m, asked_mm=310.0) if m.key == "width_mm" else m for m in good.assembled)
    assert any("width_mm" in words for words in faults(replace(good, assembled=measures)))


def test_piece_sewn_to_nothing_rejects_and_has_no_place():
    good = draft_bag("boxed_tote", {"inside_pockets": 1.0})
    bad = replace(
        good, seams=tuple(seam for seam in good.seams if not seam.id.startswith("pocket-") or seam.kind == "hem")
    )
    assert fold_up(bad).unplaced == (("pocket", 1),)
    assert any("pocket" in words for words in faults(bad))


def test_strap_too_short_to_reach_rejects():
    good = draft_bag("gusset_bag", {"width_mm": 300.0})
    strap = good.piece("strap")
    names = {"bottom": "end_one", "top": "end_two", "left": "long_left", "right": "long_right"}
    short = replace(strap, net=rectangle_outline(strap.edge("end_one").length_mm, 280.0, names))
    pieces = tuple(short if piece.id == "strap" else piece for piece in good.pieces)
    assert any("gapes by 20.00 mm" in words for words in faults(replace(good, pieces=pieces)))
