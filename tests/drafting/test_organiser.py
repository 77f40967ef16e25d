"""The organiser: pleats take up just what pockets need, the frame closes, folds pass between pockets."""

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings

from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.organiser_sizes import DEEPEST_SHARE, LEAST_POCKET_MM, OrganiserSizes
from bagwright.drafting.soundness import prove_sound
from bagwright.model.pattern import Pattern, SeamKind
from tests.drafting.measurement_strategies import measurements
from tests.drafting.test_forms import refusal
from tests.drafting.twists import edges_closed_on_themselves

ORGANISERS = measurements(FORMS["organiser"])
FOLDED = [{"carried": 2.0, "pocket_columns": 4.0}, {"carried": 3.0, "pocket_columns": 3.0}]
ALL_WAYS = [{}, {"carried": 1.0}, *FOLDED, {"edge_finish": 1.0}, {"edge_finish": 1.0, **FOLDED[1]}]


def foot_stretches(pattern: Pattern, number: int) -> list[tuple[float, int]]:
    """Along the foot of a row: the length of each stretch, and how many layers of strip lie there."""
    seams = [
        seam
        for seam in pattern.seams
        if seam.kind is SeamKind.LOCKSTITCH
        and any((side.piece_id, side.edge) == (f"row_{number}", "bottom") for side in seam.sides)
    ]
    return [
        (seam.length_mm, sum(side.edge == "bottom" and side.piece_id.startswith("row_") for side in seam.sides))
        for seam in seams
    ]


@settings(max_examples=60, deadline=None)
@given(ORGANISERS)
def test_pleats_property_take_up_twice_the_depth_of_each_pocket(sizes):
    pattern, one = draft_bag("organiser", sizes), OrganiserSizes(sizes)
    for number in range(1, len(one.heights_mm) + 1):
        strip = pattern.piece(f"row_{number}").net
        extra = 2 * one.columns * sizes["pocket_depth_mm"]
        assert strip.edge("bottom").length_mm == pytest.approx(one.net_mm[0] + extra, abs=1e-6)
        stretches = foot_stretches(pattern, number)
        # The foot covers the ground once, and three times at both ends of every pocket: half the depth each.
        assert sum(length for length, _ in stretches) == pytest.approx(one.net_mm[0], abs=1e-6)
        assert sum(length * layers for length, layers in stretches) == pytest.approx(one.net_mm[0] + extra, abs=1e-6)
        pleated = sum(length for length, layers in stretches if layers == 3)
        assert pleated == pytest.approx(one.columns * sizes["pocket_depth_mm"], abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(ORGANISERS)
def test_pockets_property_lie_on_the_ground_and_apart(sizes):
    pattern, one = draft_bag("organiser", sizes), OrganiserSizes(sizes)
    front = pattern.piece("front")
    feet = [0.0, *(line.start[1] for line in front.lines if line.name.endswith("foot"))]
    tops = [foot + high for foot, high in zip(feet, one.heights_mm, strict=True)]
    assert all(foot - top == pytest.approx(sizes["row_gap_mm"]) for top, foot in zip(tops, feet[1:], strict=False))
    assert tops[-1] + one.head_mm <= one.net_mm[1] + 1e-6
    assert one.net_mm[0] / one.columns >= LEAST_POCKET_MM - 1e-6
    assert sizes["pocket_depth_mm"] <= DEEPEST_SHARE * one.net_mm[0] / one.columns + 1e-6


@settings(max_examples=60, deadline=None)
@given(ORGANISERS)
def test_bound_organiser_property_is_cut_to_its_finished_size(sizes):
    """The binding lies over the raw edges, so front and back are cut as large as the finished organiser."""
    pattern = draft_bag("organiser", sizes)
    if not OrganiserSizes(sizes).is_bound:
        assert not any(piece.role == "binding" for piece in pattern.pieces)
        return
    for key in ("front", "back"):
        cut = pattern.piece(key).region()
        assert (cut.width_mm, cut.height_mm) == pytest.approx((sizes["panel_width_mm"], sizes["height_mm"]), abs=1e-6)
    for key in ("binding_across", "binding_upright"):
        assert pattern.piece(key).region().height_mm == pytest.approx(4 * sizes["binding_width_mm"], abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(ORGANISERS)
def test_folds_property_pass_between_pockets(sizes):
    pattern = draft_bag("organiser", sizes)
    front = pattern.piece("front")
    divisions = {round(line.start[0], 6) for line in front.lines if line.name.startswith("row_1_division")}
    folds = {round(bend.start[0], 6) for bend in front.bends}
    assert folds <= divisions
    assert len(folds) == OrganiserSizes(sizes).parts - 1


@pytest.mark.parametrize("sizes", ALL_WAYS)
def test_seams_property_close_when_it_is_folded_up(sizes):
    folded = fold_up(draft_bag("organiser", sizes))
    assert folded.worst_seam.gap_mm < 0.01, folded.worst_seam
    assert not folded.unplaced


@pytest.mark.parametrize("sizes", ALL_WAYS)
def test_work_property_is_in_an_order_that_can_be_sewn(sizes):
    pattern = draft_bag("organiser", sizes)
    work = [*((seam.id, seam.order) for seam in pattern.seams), *((step.id, step.order) for step in pattern.handwork)]
    order = {key.rpartition("-")[0] if key[-1].isdigit() else key: number for key, number in work}
    # Hems and pleats before the strips go on, strips on the front before it is joined to the back.
    usual = ["row-hems", "pleats", "row-feet", "divisions", "held", "rim"]
    # What hangs it is held before the rim is sewn; binding strips make a frame before it is slipped on.
    before_rim = [key for key in ("mitres", "loop", "loop-ends", "tie-on") if key in order]
    after_rim = [key for key in ("gap", "edge", "loop-edge", "grommets") if key in order]
    assert all(order[a] < order[b] for a, b in itertools.pairwise(usual))
    assert all(order[key] < order["rim"] for key in before_rim)
    assert all(order[key] > order["rim"] for key in after_rim)


def test_rows_property_have_heights_of_their_own():
    sizes = {"pocket_rows": 2.0, "row_1_height_mm": 150.0, "row_2_height_mm": 80.0}
    pattern = draft_bag("organiser", sizes)
    assert [pattern.piece(f"row_{n}").net.edge("left").length_mm for n in (1, 2)] == [150.0, 80.0]
    assert not any(piece.id == "row_3" for piece in pattern.pieces)


def test_what_it_hangs_by_property_comes_with_what_to_buy_and_mind():
    grommets = draft_bag("organiser", {"carried": 1.0, "hang_points": 3.0})
    assert [(n.role, n.count) for n in grommets.notions] == [("grommet", 3)]
    assert len(grommets.piece("front").drill_marks) == len(grommets.piece("back").drill_marks) == 3
    assert any("hammer" in caution for caution in grommets.cautions)
    tied = draft_bag("organiser", FOLDED[0])
    assert any("strangle" in caution for caution in tied.cautions)


def test_pleat_that_is_sewn_too_deep_rejects():
    good = draft_bag("organiser", {})
    foot = next(seam for seam in good.seams if len(seam.sides) > 2 and seam.id.startswith("row-feet"))
    deeper = replace(foot, sides=(*foot.sides[:-1], replace(foot.sides[-1], to_mm=foot.sides[-1].to_mm + 2)))
    assert not prove_sound(replace(good, seams=tuple(deeper if s is foot else s for s in good.seams))).passed


def test_binding_strip_walked_the_wrong_way_rejects():
    good = draft_bag("organiser", {})
    mitre = next(seam for seam in good.seams if seam.id == "mitres-1")
    first, other = mitre.sides
    wrong = replace(mitre, sides=(first, replace(other, from_mm=other.to_mm, to_mm=other.from_mm)))
    seams = tuple(wrong if seam is mitre else seam for seam in good.seams)
    assert edges_closed_on_themselves(replace(good, seams=seams))
    assert fold_up(replace(good, seams=seams)).worst_seam.gap_mm > 1


@pytest.mark.parametrize(
    ("field", "sizes", "allowed"),
    [
        ("pocket_rows", {"height_mm": 200.0, "pocket_rows": 3.0}, "at most 2"),
        ("pocket_columns", {"panel_width_mm": 200.0, "pocket_columns": 5.0}, "at most 3"),
        ("pocket_columns", {"carried": 3.0, "pocket_columns": 5.0}, "3 with"),
        ("pocket_columns", {"carried": 2.0, "pocket_columns": 1.0}, "2 with"),
        (
            "carried",
            {"panel_width_mm": 150.0, "carried": 3.0, "pocket_columns": 2.0, "binding_width_mm": 12.7},
            "2 with",
        ),
        ("row_2_height_mm", {"pocket_rows": 2.0, "row_1_height_mm": 300.0, "row_2_height_mm": 200.0}, "at most 112.2"),
        ("pocket_depth_mm", {"pocket_columns": 6.0, "pocket_depth_mm": 60.0}, "at most 50.8"),
        ("pocket_depth_mm", {"pocket_depth_mm": 1.0}, "at least 4 mm"),
        ("hang_points", {"panel_width_mm": 300.0, "hang_points": 4.0}, "at most 2"),
    ],
)
def test_sizes_that_do_not_go_together_rejects_with_the_nearest(field, sizes, allowed):
    refused = refusal("organiser", sizes)
    assert set(refused) == {field}
    assert refused[field].startswith(allowed)
