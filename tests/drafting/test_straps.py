"""Straps of every kind: what is made of them, how their ends lie, and how far an adjustable one reaches."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from bagwright.drafting import cautions
from bagwright.drafting.adjustable_strap import (
    FOLDED_ADJUSTABLE,
    LEAST_PLAY_MM,
    WEBBING_ADJUSTABLE,
    least_doubled_mm,
    shortest_worn_mm,
    strap_to_bar_mm,
)
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.soundness import find_faults, prove_sound
from bagwright.drafting.strips import SOLD_WIDTHS_MM, StripKind, sold_width_mm, webbing_width_said
from bagwright.model.pattern import Pattern, Seam, SeamSide
from tests.drafting.measurement_strategies import random_sizes
from tests.drafting.test_forms import refusal

KINDS = {
    key: int(spec.high_mm) for key, form in FORMS.items() for spec in form.measurements if spec.key == "strap_kind"
}
EVERY_KIND = [(form, kind) for form, last in KINDS.items() for kind in range(last + 1)]
ADJUSTABLE = [(form, kind) for form, kind in EVERY_KIND if kind >= WEBBING_ADJUSTABLE]


def random_drawn(form: str, kind: int, count: int) -> list[Pattern]:
    """Patterns at random sizes; those that another kind of strap leaves unsound or refused are drawn again."""
    chance = random.Random(f"{form} {kind}")
    drawn: list[Pattern] = []
    while len(drawn) < count:
        sizes = random_sizes(FORMS[form], chance)
        if sizes["strap_kind"] == kind:
            drawn.append(draft_bag(form, sizes))
    return drawn


def held_ends(pattern: Pattern, piece_id: str) -> list[tuple[SeamSide, SeamSide]]:
    """Every joining seam of an end with the outer: the side of the outer and the side of the end."""
    found = []
    for seam in pattern.seams:
        ends = [side for side in seam.sides if side.piece_id == piece_id and side.edge in ("end_one", "end_two")]
        outer = [side for side in seam.sides if pattern.piece(side.piece_id).role in ("outer", "base")]
        if seam.kind.joins and outer:
            # A strap caught between front and back is basted to the back, which then is the later copy.
            found += [(max(outer, key=lambda side: side.copy), end) for end in ends]
    return found


def forward(side: SeamSide) -> bool:
    return side.to_mm > side.from_mm


def test_forms_with_straps_property_offer_what_suits_them():
    assert {form for form, last in KINDS.items() if last >= FOLDED_ADJUSTABLE} >= {"gusset_bag", "flap_bag", "backpack"}
    assert {"boxed_tote", "based_tote", "bucket_bag"} <= KINDS.keys()
    for form in FORMS.values():
        asked = {spec.key for spec in form.measurements}
        assert ("strap_length_mm" in asked) == ("strap_kind" in asked), form.key


@pytest.mark.parametrize(("form", "kind"), EVERY_KIND)
def test_every_kind_property_is_sound_over_its_range(form, kind):
    for pattern in random_drawn(form, kind, 12):
        assert prove_sound(pattern).passed


@pytest.mark.parametrize("form", KINDS)
def test_choosing_no_kind_property_folds_the_straps_in_four(form):
    pattern = draft_bag(form, {})
    strap = pattern.piece("strap")
    assert strap.role == "strap" and not strap.is_bought
    assert strap.net.edge("end_one").length_mm == pytest.approx(4 * pattern.measurements_mm["strap_width_mm"])
    assert not any(notion.role in ("webbing", "ring", "strap_adjuster") for notion in pattern.notions)


@pytest.mark.parametrize(("form", "kind"), EVERY_KIND)
def test_straps_property_are_not_twisted(form, kind):
    """Both ends of a layer lie on the outer with the same side up: walked with its edge at both, or against it at both.

    A folded strip is open along its left side as drawn; folded, that side has to come out on the same side of the
    strap at both ends. Its stretches start there.
    """
    pattern = draft_bag(form, {"strap_kind": float(kind)})
    by_layer: dict[tuple[str, int], set[tuple[str, bool]]] = {}
    for outer, end in held_ends(pattern, "strap"):
        agrees = forward(outer) if end.folds > 1 else forward(outer) == forward(end)
        by_layer.setdefault((end.piece_id, end.copy), set()).add((end.edge, agrees))
    assert by_layer
    for ends in by_layer.values():
        if kind in (WEBBING_ADJUSTABLE, FOLDED_ADJUSTABLE):
            assert len(ends) == 1  # the other end lies over the bar
        else:
            one, two = sorted(ends)
            folded = pattern.piece("strap").edge("end_one").length_mm > pattern.measurements_mm["strap_width_mm"] + 1e-6
            assert (one[0], two[0]) == ("end_one", "end_two")
            assert one[1] != two[1] if folded else one[1] == two[1]


def test_straps_rejects_a_twisted_end():
    """The check above sees it where one end is walked the other way."""
    pattern = draft_bag("gusset_bag", {"strap_kind": float(StripKind.WEBBING)})
    ends = {end.edge: forward(outer) == forward(end) for outer, end in held_ends(pattern, "strap")}
    turned = [_with_end_turned(seam) for seam in pattern.seams]
    twisted = {e.edge: forward(o) == forward(e) for o, e in held_ends(replace(pattern, seams=tuple(turned)), "strap")}
    assert len(set(ends.values())) == 1 and len(set(twisted.values())) == 2


def _with_end_turned(seam: Seam) -> Seam:
    sides = (replace(s, from_mm=s.to_mm, to_mm=s.from_mm) if s.edge == "end_two" else s for s in seam.sides)
    return replace(seam, sides=tuple(sides))


@pytest.mark.parametrize("form", KINDS)
@pytest.mark.parametrize("kind", [StripKind.TURNED, StripKind.RAW])
def test_two_layers_property_are_sewn_all_along_before_their_ends_are_held(form, kind):
    pattern = draft_bag(form, {"strap_kind": float(kind)})
    strap, width = pattern.piece("strap"), pattern.measurements_mm["strap_width_mm"]
    folded = draft_bag(form, {}).piece("strap")
    assert strap.count == 2 * folded.count
    assert strap.net.edge("end_one").length_mm == pytest.approx(width)
    inside = strap.region().width_mm - width
    assert inside == pytest.approx(0 if kind is StripKind.RAW else 2 * min(9.525, width / 3))
    long = [seam for seam in pattern.seams if seam.kind.joins and any(s.edge == "long_left" for s in seam.sides)]
    ends = [seam for seam in pattern.seams if any(s.edge in ("end_one", "end_two") for s in seam.sides)]
    assert len(long) == strap.count
    assert max(seam.order for seam in long) < min(seam.order for seam in ends)
    for seam in long:
        # Faces of one strap only, and never one layer with itself.
        copies = sorted(side.copy for side in seam.sides)
        assert copies[1] == copies[0] + 1 and copies[0] % 2 == 1


@pytest.mark.parametrize("form", KINDS)
def test_webbing_property_is_bought_as_long_as_it_is_cut_and_carries_its_caution(form):
    pattern = draft_bag(form, {"strap_kind": float(StripKind.WEBBING)})
    strap, (need,) = pattern.piece("strap"), [n for n in pattern.notions if n.role == "webbing"]
    assert strap.is_bought and strap.role == "webbing"
    assert need.count == strap.count == draft_bag(form, {}).piece("strap").count
    assert need.length_mm == pytest.approx(strap.region().height_mm)
    sizes = pattern.measurements_mm
    ends = sizes.get("top_allowance_mm", sizes["seam_allowance_mm"])
    assert need.length_mm == pytest.approx(sizes["strap_length_mm"] + 2 * ends)
    assert cautions.WEBBING_ENDS in pattern.cautions and cautions.STRAP_LOAD in pattern.cautions
    assert any(cautions.WEBBING_ENDS in work.cautions for work in pattern.handwork)


def reach_mm(sizes, doubled_mm: float) -> float:
    """Bag to bag with so much of the strap lying double: to the adjuster, to the ring, to the bag."""
    single = strap_to_bar_mm(sizes) - 2 * doubled_mm
    return single + doubled_mm + sizes["strap_tab_mm"]


@pytest.mark.parametrize(("form", "kind"), ADJUSTABLE)
def test_adjustable_property_reaches_from_longest_to_shortest(form, kind):
    for pattern in random_drawn(form, kind, 12):
        sizes = pattern.measurements_mm
        least, bar = least_doubled_mm(sizes), strap_to_bar_mm(sizes)
        most = (bar - sizes["adjuster_mm"]) / 2
        assert reach_mm(sizes, least) == pytest.approx(sizes["strap_length_mm"])
        assert reach_mm(sizes, most) == pytest.approx(shortest_worn_mm(sizes))
        assert sizes["strap_length_mm"] - shortest_worn_mm(sizes) >= LEAST_PLAY_MM - 1e-6
        # Pulled back to the bag's end, the turned end must still lie between adjuster and ring.
        assert most >= sizes["strap_turn_mm"]


def test_adjustable_webbing_matches_a_length_added_up_by_hand():
    # By hand: bag to ring 1200 - 40; back from the ring one adjuster and the stitched end, 22 + 38: 1220 to the bar;
    # 38 turned back, 10 turned under, 12 in the seam: 1280. The tab: twice 40, and 12 in the seam twice: 104.
    sizes = {
        "strap_kind": float(WEBBING_ADJUSTABLE),
        "strap_length_mm": 1200.0,
        "strap_tab_mm": 40.0,
        "adjuster_mm": 22.0,
        "strap_turn_mm": 38.0,
        "top_allowance_mm": 12.0,
    }
    needs = {n.name.rpartition("the ")[2]: n for n in draft_bag("flap_bag", sizes).notions if n.role == "webbing"}
    assert needs["strap"].length_mm == pytest.approx(1280)
    assert needs["strap tab"].length_mm == pytest.approx(104)
    # Shortest, by hand: adjuster at the bag, 22 single; (1220 - 22) / 2 double; 22 + 599 + 40.
    assert shortest_worn_mm(sizes) == pytest.approx(661)


@pytest.mark.parametrize(("form", "kind"), ADJUSTABLE)
def test_adjustable_property_has_a_ring_and_an_adjuster_to_each_strap_and_is_threaded_before_it_is_held(form, kind):
    pattern = draft_bag(form, {"strap_kind": float(kind)})
    straps = pattern.piece("strap").count
    counts = {notion.role: notion.count for notion in pattern.notions if notion.length_mm is None}
    assert counts["ring"] == counts["strap_adjuster"] == straps == pattern.piece("strap_tab").count
    bar = min(seam.order for seam in pattern.seams if seam.id.startswith("strap-bar"))
    (ring,) = [work.order for work in pattern.handwork if work.id == "strap-ring"]
    held = min(seam.order for seam in pattern.seams if seam.id.startswith("strap-ends"))
    assert bar < ring < held
    # Both ends of a tab are held in one place, one under the other; the strap's other end in another.
    tabs = held_ends(pattern, "strap_tab")
    places = {(outer.edge, outer.copy, min(outer.from_mm, outer.to_mm)) for outer, _ in tabs}
    assert len(tabs) == 2 * straps and len(places) == straps
    if kind == WEBBING_ADJUSTABLE:
        for place in places:
            legs = {e.edge: forward(o) == forward(e) for o, e in tabs if (o.edge, o.copy) == place[:2]}
            assert legs["end_one"] != legs["end_two"]


def test_adjustable_rejects_a_tab_that_leaves_nothing_to_shorten():
    sizes = {
        "width_mm": 200.0,
        "strap_kind": 4.0,
        "strap_length_mm": 300.0,
        "strap_turn_mm": 60.0,
        "strap_tab_mm": 100.0,
    }
    allowed = refusal("gusset_bag", sizes)
    assert set(allowed) == {"strap_tab_mm"}
    # L - t - (turn + adjuster) - adjuster = 2 x 50 at least: t = 300 - 60 - 2 x 22 - 100 = 96.
    assert allowed["strap_tab_mm"].startswith("at most 96 mm")
    assert draft_bag("gusset_bag", {**sizes, "strap_tab_mm": 96.0})
    assert draft_bag("gusset_bag", {**sizes, "strap_kind": 0.0})


def test_bar_seam_rejects_an_end_of_another_width():
    pattern = draft_bag("flap_bag", {"strap_kind": float(FOLDED_ADJUSTABLE)})
    assert find_faults(pattern).verdict.passed
    wrong = [
        replace(seam, sides=(replace(seam.sides[0], folds=3), *seam.sides[1:])) if seam.id == "strap-bar" else seam
        for seam in pattern.seams
    ]
    assert not find_faults(replace(pattern, seams=tuple(wrong))).verdict.passed
    assert not find_faults(replace(pattern, seams=tuple(s for s in wrong if s.id != "strap-bar"))).verdict.passed


def test_webbing_widths_match_those_sold():
    # Source: widths of webbing in trade lists: 10, 15, 20, 25, 30, 38, 50 mm.
    assert list(SOLD_WIDTHS_MM) == [10, 15, 20, 25, 30, 38, 50]
    assert [sold_width_mm(inches * 25.4) for inches in (1.0, 1.5, 2.0)] == [25, 38, 50]
    assert "25 mm" in webbing_width_said(25.4) and "type" not in webbing_width_said(25.4)
    assert "type the width of yours" in webbing_width_said(45.0)
