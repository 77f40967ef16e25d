"""The key tab: caught where it was asked for, made up with its hook before it is held, of the size that was asked."""

import math

import numpy as np
import pytest

from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.order_of_work import order_of_work
from bagwright.model.pattern import Pattern, Seam, Stage
from tests.drafting.test_forms import refusal

WITH_TAB = sorted(key for key, form in FORMS.items() if any(add_on.key == "key_tab" for add_on in form.add_ons))
PLACES = {1.0: "lining", 2.0: "outer"}


def catching(pattern: Pattern) -> Seam:
    """The seam that catches both ends, not the basting."""
    (seam,) = (
        seam
        for seam in pattern.seams
        if seam.kind.joins
        and {side.edge for side in seam.sides if side.piece_id == "key_tab"} == {"end_one", "end_two"}
    )
    return seam


@pytest.mark.parametrize("form", WITH_TAB)
@pytest.mark.parametrize("where", PLACES)
def test_tab_property_is_caught_in_a_side_seam_as_far_below_the_top_as_asked(form, where):
    asked = {"key_tab": where, "key_tab_below_mm": 25.0, "key_tab_width_mm": 15.0}
    pattern = draft_bag(form, asked)
    seam = catching(pattern)
    side = seam.sides[0]
    piece = pattern.piece(side.piece_id)
    assert piece.role == PLACES[where]
    edge = piece.edge(side.edge)
    ends = [edge.at(side.from_mm), edge.at(side.to_mm)]
    # Along the seam from its upper end, straight down or round.
    upper_mm = 0.0 if edge.start[1] >= edge.end[1] else edge.length_mm
    assert sorted(abs(at - upper_mm) for at in (side.from_mm, side.to_mm)) == pytest.approx([25.0, 40.0])
    notched = {piece.edge(notch.edge).at(notch.at_mm) for notch in piece.notches if notch.edge == side.edge}
    assert all(any(math.dist(end, notch) < 1e-6 for notch in notched) for end in ends)


@pytest.mark.parametrize("form", WITH_TAB)
@pytest.mark.parametrize("where", PLACES)
def test_order_of_work_property_folded_then_hooked_then_held_then_sewn_in(form, where):
    pattern = draft_bag(form, {"key_tab": where})
    steps = {step.name: step for step in order_of_work(pattern)}
    own = [step for name, step in steps.items() if "key_tab" in step.piece_ids or "hook" in name]
    assert [step.number for step in own] == sorted(step.number for step in own)
    assert [next(w for w in ("four", "hook", "Baste") if w in step.name) for step in own[:3]] == [
        "four",
        "hook",
        "Baste",
    ]
    assert {step.stage for step in own[:3]} == {Stage.PARTS}
    assert own[-1].stage is (Stage.LINING if where == 1.0 else Stage.OUTER)
    assert "key tab between the layers" in own[-1].name
    (hook,) = (need for need in pattern.notions if need.role == "key_hook")
    assert hook.count == 1


def test_strip_property_is_four_widths_wide_and_twice_the_tab_long():
    pattern = draft_bag("boxed_tote", {"key_tab": 1.0, "key_tab_width_mm": 12.0, "key_tab_length_mm": 40.0})
    cut = pattern.piece("key_tab").region()
    assert cut.width_mm == pytest.approx(48.0)
    assert cut.height_mm == pytest.approx(80.0 + 2 * pattern.measurements_mm["seam_allowance_mm"])
    # Four layers of either end between the two of the panels.
    assert sum(catching(pattern).layers_of(side) for side in catching(pattern).sides) == 10


@pytest.mark.parametrize(
    ("form", "sizes", "nearest"),
    [
        # 152.4 - 12.7 - 15; 228.6 - 50.8 - 27.7; 355.6 / 2 - 27.7
        ("zip_pouch", {"key_tab": 1.0, "key_tab_below_mm": 200.0}, 124.7),
        ("gusset_bag", {"key_tab": 2.0, "key_tab_below_mm": 200.0}, 150.1),
        ("backpack", {"key_tab": 2.0, "key_tab_below_mm": 200.0}, 150.1),
    ],
)
def test_tab_beyond_the_side_seam_rejects_with_the_lowest_place(form, sizes, nearest):
    told = refusal(form, sizes)
    assert told.keys() == {"key_tab_below_mm"}
    assert told["key_tab_below_mm"].startswith(f"at most {nearest:g} mm")
    assert draft_bag(form, {**sizes, "key_tab_below_mm": nearest})


def test_key_tab_and_wrist_loop_property_lie_in_different_sides():
    pattern = draft_bag("zip_pouch", {"key_tab": 2.0, "loop": 1.0})
    places = [
        {(side.piece_id, side.copy, side.edge) for side in seam.sides if side.piece_id == "outer"}
        for seam in (catching(pattern), *(s for s in pattern.seams if "loop" in {side.piece_id for side in s.sides}))
        if seam.kind.joins
    ]
    assert len(places) == 2
    assert not places[0] & places[1]


@pytest.mark.parametrize("form", WITH_TAB)
def test_inside_tab_property_hangs_into_the_bag_at_full_length(form):
    """Folded in half it shows width by length on both sides, and lies within the box round the lining."""
    folded = fold_up(draft_bag(form, {"key_tab": 1.0, "key_tab_width_mm": 15.0, "key_tab_length_mm": 40.0}))
    tab = [facet.points for facet in folded.facets if facet.piece_id == "key_tab"]
    assert sum(area_from_shoelace(points) for points in tab) == pytest.approx(2 * 15 * 40, rel=0.01)
    lining = [point for facet in folded.facets if facet.role == "lining" for point in facet.points]
    for axis in range(3):
        own, around = [point[axis] for points in tab for point in points], [point[axis] for point in lining]
        assert min(around) - 0.01 <= min(own) <= max(own) <= max(around) + 0.01


def area_from_shoelace(points):
    """Area of a flat polygon in space: half the sum of cross products about its first corner."""
    ways = np.asarray(points[1:]) - points[0]
    return float(np.linalg.norm(np.cross(ways[:-1], ways[1:]).sum(axis=0))) / 2
