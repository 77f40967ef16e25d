"""Slip pockets: on every form they measure what was asked, lie on their face, and are divided into what was asked."""

import math
import random
from collections.abc import Callable
from dataclasses import replace

import pytest

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.soundness import prove_sound
from bagwright.model.pattern import Pattern, SeamKind, Stage
from bagwright.model.piece import Piece, PlacementLine
from tests.drafting.measurement_strategies import random_sizes
from tests.drafting.test_forms import refusal
from tests.drafting.twists import edges_closed_on_themselves

WITH_POCKETS = sorted(key for key, form in FORMS.items() if any(a.key == "outside_slip_pocket" for a in form.add_ons))
BOTH = {"inside_pockets": 1.0, "outside_pockets": 1.0}
FULL = {"divisions": 2.0, "pen_slot": 1.0, "pen_mm": 30.0, "top": 1.0, "binding_mm": 8.0}


def asked(key: str, **sizes: float) -> dict[str, float]:
    count = "inside_pockets" if key == "pocket" else "outside_pockets"
    return {count: 1.0, **{f"{key}_{name}": size for name, size in sizes.items()}}


def x_of(piece: Piece, line: str) -> float:
    return next(mark.start[0] for mark in piece.lines if mark.name == line)


def hosts(pattern: Pattern) -> list[tuple[Piece, Piece]]:
    """Each pocket with the piece it lies on."""
    pairs = (("pocket", "lining"), ("outside_pocket", "outer"))
    there = {piece.id for piece in pattern.pieces}
    return [(pattern.piece(key), pattern.piece(host)) for key, host in pairs if key in there]


@pytest.mark.parametrize("form", WITH_POCKETS)
def test_random_pockets_property_lie_within_their_face_clear_of_every_edge(form):
    chance = random.Random(f"{form} slip")
    drawn = 0
    for _ in range(60):
        sizes = random_sizes(FORMS[form], chance)
        pattern = draft_bag(form, sizes)
        assert not edges_closed_on_themselves(pattern), sizes
        for pocket, host in hosts(pattern):
            drawn += 1
            inner = host.net.region(side="right").grown(-10.0)
            lines = [(line.start, line.end) for line in host.lines if line.name.startswith("pocket_")]
            assert all(inner.holds_lines(lines)), (lines, sizes)
            assert pocket.allowance_mm["bottom"] == sizes["seam_allowance_mm"]
    assert drawn > 20


@pytest.mark.parametrize("key", ["pocket", "outside_pocket"])
@pytest.mark.parametrize(
    ("divisions", "pen"), [(0, 0.0), (1, 0.0), (2, 0.0), (3, 0.0), (0, 30.0), (2, 30.0), (3, 22.0)]
)
def test_compartments_agrees_with_the_widths_between_neighbouring_lines(key, divisions, pen):
    sizes = asked(key, width_mm=190.0, divisions=float(divisions), pen_slot=float(pen > 0), pen_mm=pen or 30.0)
    pattern = draft_bag("boxed_tote", sizes)
    pocket, host = next(pair for pair in hosts(pattern) if pair[0].id == key)
    lines = sorted(line.start[0] for line in pocket.lines)
    widths = [b - a for a, b in zip([0.0, *lines], [*lines, 190.0], strict=True)]
    assert len(widths) == divisions + 1 + (pen > 0)
    if pen:
        assert widths.pop(0) == pytest.approx(pen, abs=1e-9)
    assert max(widths) - min(widths) == pytest.approx(0.0, abs=1e-9)
    for line in pocket.lines:
        # The line on the face lies as far from the left one as the pocket's own from its edge.
        assert x_of(host, f"pocket_{line.name}") - x_of(host, "pocket_left") == pytest.approx(line.start[0], abs=1e-9)


@pytest.mark.parametrize("form", WITH_POCKETS)
@pytest.mark.parametrize("key", ["pocket", "outside_pocket"])
def test_bound_pocket_property_is_as_high_as_a_hemmed_one_and_its_strip_four_widths(form, key):
    bound = draft_bag(form, asked(key, **{**FULL, "width_mm": 120.0, "height_mm": 80.0, "divisions": 0.0}))
    strip, pocket = bound.piece(f"{key}_binding"), bound.piece(key)
    cut = strip.region()
    assert cut.height_mm == pytest.approx(4 * 8.0)
    assert cut.width_mm == pytest.approx(120.0 + 2 * bound.measurements_mm["seam_allowance_mm"])
    assert pocket.edge("left").length_mm + strip.edge("end_left").length_mm / 2 == pytest.approx(80.0)
    # The raw edge under the binding's fold: nothing of the pocket is cut above its finished height.
    assert pocket.net.edge("left").length_mm + pocket.allowance_mm["top"] == pytest.approx(80.0)


@pytest.mark.parametrize("form", WITH_POCKETS)
def test_order_of_work_property_top_then_sides_then_divisions_before_any_panel_is_joined(form):
    sizes = {**BOTH, **asked("pocket", **FULL), **asked("outside_pocket", divisions=1.0), "pocket_width_mm": 130.0}
    pattern = draft_bag(form, sizes)
    orders = {seam.id.rpartition("-")[0] if seam.id[-1].isdigit() else seam.id: seam for seam in pattern.seams}
    own = [seam for seam in pattern.seams if {"pocket", "outside_pocket"} & {side.piece_id for side in seam.sides}]
    assert {seam.stage for seam in own} == {Stage.POCKETS}
    last = max(seam.order for seam in own)
    joined = [s.order for s in pattern.seams if s.kind.joins and s.stage in (Stage.LINING, Stage.OUTER, Stage.JOIN)]
    assert last < min(joined)
    assert orders["pocket-bind"].order < orders["pocket"].order < orders["pocket-divisions"].order
    assert orders["outside_pocket-hem"].order < orders["outside_pocket"].order


def test_round_wall_property_bends_the_pocket_with_it():
    pattern = draft_bag("bucket_bag", {**BOTH, "pocket_width_mm": 150.0, "outside_pocket_width_mm": 100.0})
    for key, width, sense in (("pocket", 150.0, -1), ("outside_pocket", 100.0, 1)):
        (bend,) = pattern.piece(key).bends
        # An arc as long as the pocket is wide, on the radius of the bag; short of its edges by a hair.
        assert bend.radius_mm == pattern.measurements_mm["diameter_mm"] / 2
        assert math.radians(bend.angle_deg) * bend.radius_mm == pytest.approx(sense * width, abs=0.03)
        assert bend.band_mm == pytest.approx(width, abs=0.03)


@pytest.mark.parametrize(
    ("form", "sizes", "field", "nearest"),
    [
        (
            "boxed_tote",
            {"width_mm": 200.0, "outside_pockets": 1.0, "outside_pocket_width_mm": 180.0},
            "width_mm",
            "174.6",
        ),
        ("bucket_bag", {"outside_pockets": 1.0, "outside_pocket_width_mm": 220.0}, "width_mm", "213.9"),
        ("based_tote", {"outside_pockets": 1.0, "outside_pocket_height_mm": 300.0}, "height_mm", "203.2"),
        ("gusset_bag", {"outside_pockets": 1.0, "outside_pocket_height_mm": 200.0}, "height_mm", "162.9"),
        ("boxed_tote", {**asked("outside_pocket", width_mm=60.0, divisions=3.0)}, "divisions", "1 with"),
        ("boxed_tote", {**asked("outside_pocket", width_mm=60.0, pen_slot=1.0, pen_mm=50.0)}, "pen_mm", "35"),
    ],
)
def test_pocket_that_does_not_fit_rejects_with_the_nearest_that_does(form, sizes, field, nearest):
    """By hand: 200 - 25.4; 0.75 pi 101.6 - 25.4; 330.2 - 76.2 - 50.8; 228.6 - 50.8 (1 - 0.7071) - 50.8; 60 / 25 - 1."""
    (place, allowed) = next(iter(refusal(form, sizes).items()))
    assert place == f"outside_pocket_{field}"
    assert f"at most {nearest}" in allowed
    number = float(allowed.removeprefix("at most ").split()[0])
    assert draft_bag(form, {**sizes, place: number})


def test_pocket_on_a_bag_too_small_for_any_rejects_on_its_own_count():
    sizes: Sizes = {"width_mm": 100.0, "height_mm": 60.0, "outside_pockets": 1.0}
    allowed = refusal("zip_pouch", dict(sizes))
    assert allowed.keys() == {"outside_pockets"}
    assert draft_bag("zip_pouch", {**sizes, "outside_pockets": 0.0})


def test_sizes_of_what_is_not_there_property_are_not_judged():
    for form in WITH_POCKETS:
        assert draft_bag(
            form, {"inside_pockets": 0.0, "pocket_width_mm": 600.0, "pocket_pen_slot": 1.0, "pocket_pen_mm": 120.0}
        )


@pytest.mark.parametrize("line", ["pocket_bottom_pen", "pocket_division_1", "pocket_pen_slot", "pocket_right"])
def test_line_on_the_face_rejects_another_length_than_the_pocket_has(line):
    good = draft_bag("boxed_tote", {**asked("pocket", **FULL), "pocket_width_mm": 180.0})
    pieces = tuple(replace(piece, lines=tuple(map(shorter(line), piece.lines))) for piece in good.pieces)
    verdict = prove_sound(replace(good, pieces=pieces))
    assert any(line in fault for fault in verdict.faults)


def shorter(name: str) -> Callable[[PlacementLine], PlacementLine]:
    def cut(line: PlacementLine) -> PlacementLine:
        return replace(line, end=line.as_edge().at(line.as_edge().length_mm - 0.6)) if line.name == name else line

    return cut


def test_hem_left_out_rejects():
    good = draft_bag("boxed_tote", BOTH)
    seams = tuple(s for s in good.seams if not (s.kind is SeamKind.HEM and s.sides[0].piece_id == "outside_pocket"))
    assert not prove_sound(replace(good, seams=seams)).passed
