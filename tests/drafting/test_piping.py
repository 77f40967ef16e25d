"""Piping: a bias strip as long as its seam, round the cord, both edges caught all along."""

import itertools
import math
from dataclasses import replace

import pytest

from bagwright.drafting.fold_faults import find_fold_faults
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.drafting.piping import LONGEST_MM, piping_strip_mm
from bagwright.drafting.soundness import prove_sound
from bagwright.model.pattern import Pattern, Seam
from bagwright.model.piece import Piece

PIPED = [
    (key, float(value))
    for key, form in FORMS.items()
    for add_on in form.add_ons
    if add_on.key == "piping"
    for value in range(1, int(add_on.measurements[0].high_mm) + 1)
]


@pytest.mark.parametrize(("form", "choice"), PIPED)
def test_strip_property_is_as_long_as_its_seam_and_caught_with_both_edges(form, choice):
    pattern = draft_bag(form, {"piping": choice})
    assert prove_sound(pattern).passed
    for strip in strips(pattern):
        for copy, edge in itertools.product(range(1, strip.count + 1), ("edge_one", "edge_two")):
            sewn = [
                s.edge_length_mm
                for seam in pattern.seams
                for s in seam.sides
                if seam.kind.joins and (s.piece_id, s.copy, s.edge) == (strip.id, copy, edge)
            ]
            assert math.fsum(sewn) == pytest.approx(strip.net.edge("edge_one").length_mm, abs=1e-6)


def strips(pattern: Pattern) -> list[Piece]:
    return [piece for piece in pattern.pieces if piece.role == "piping"]


@pytest.mark.parametrize(("form", "choice"), PIPED)
def test_strips_property_are_covered_then_held_then_sewn_in(form, choice):
    pattern = draft_bag(form, {"piping": choice})
    for strip in strips(pattern):
        sewn_in = [s.order for s in pattern.seams if s.kind.joins and any(x.piece_id == strip.id for x in s.sides)]
        covered = [s.order for s in pattern.seams if s.id.startswith(f"{strip.id}-cover")]
        held = [
            s.order
            for s in pattern.seams
            if s.id.startswith("piping-on") and any(x.piece_id == strip.id for x in s.sides)
        ]
        assert max(covered) < min(held) and max(held) < min(sewn_in)
    assert any("clip" in seam.name for seam in pattern.seams)


@pytest.mark.parametrize(("form", "choice"), PIPED)
def test_cord_property_is_bought_for_every_strip(form, choice):
    pattern = draft_bag(form, {"piping": choice})
    cord = math.fsum(n.count * n.length_mm for n in pattern.notions if n.role == "piping_cord" and n.length_mm)
    assert cord == pytest.approx(math.fsum(p.count * p.net.edge("edge_one").length_mm for p in strips(pattern)))


@pytest.mark.parametrize(("form", "choice"), PIPED)
def test_piping_property_stands_in_its_seam_when_the_bag_is_folded_up(form, choice):
    pattern = draft_bag(form, {"piping": choice})
    assert not find_fold_faults(pattern, fold_up(pattern))


def test_length_round_a_gusset_is_that_of_the_handbook_sum():
    """2 h + w - 4 r + pi r for 300 x 200 mm and r = 50 mm: 400 + 300 - 200 + 157.08 (derived)."""
    pattern = draft_bag("gusset_bag", {"width_mm": 300.0, "height_mm": 200.0, "corner_radius_mm": 50.0, "piping": 1.0})
    assert pattern.piece("piping").net.edge("edge_one").length_mm == pytest.approx(657.08, abs=0.01)
    (cord,) = [notion for notion in pattern.notions if notion.role == "piping_cord"]
    assert cord.length_mm == pytest.approx(657.08, abs=0.01)


def test_strip_goes_round_the_cord_on_the_bias():
    strip = draft_bag("gusset_bag", {"piping": 1.0, "piping_cord_mm": 6.0}).piece("piping")
    assert strip.grain_deg == 45.0
    assert strip.net.edge("end_left").length_mm == pytest.approx(math.pi * 6) == piping_strip_mm(6)


def test_cut_width_matches_twice_the_allowance_and_once_round_the_cord():
    """By hand: a 5 mm cord is 15.71 mm round; with 10 mm on either side 35.71 mm."""
    sizes = {"piping": 1.0, "piping_cord_mm": 5.0, "seam_allowance_mm": 10.0}
    assert draft_bag("gusset_bag", sizes).piece("piping").region().height_mm == pytest.approx(35.71, abs=0.005)


def test_long_round_property_is_joined_from_two_halves_turned_to_one_another():
    big = {"width_mm": 700.0, "height_mm": 500.0, "strap_length_mm": 900.0, "piping": 2.0}
    pattern = draft_bag("gusset_bag", big)
    strip = pattern.piece("piping")
    whole = 2 * 500 + 700 - 4 * 50.8 + math.pi * 50.8
    assert strip.count == 4 and 2 * strip.net.edge("edge_one").length_mm == pytest.approx(whole)
    assert whole > LONGEST_MM > strip.net.edge("edge_one").length_mm
    joins = [seam for seam in pattern.seams if seam.id.startswith("piping-join")]
    assert [[side.copy for side in seam.sides] for seam in joins] == [[1, 2], [3, 4]]
    assert not find_fold_faults(pattern, fold_up(pattern))
    assert "1 join," in strip.note


def test_note_says_what_cloth_the_strips_take():
    """K14, turned round: the square has the area of the strips. 657.08 + 25.4 mm by 35.71 mm, once: 156.1 mm square."""
    sizes = {"width_mm": 300.0, "height_mm": 200.0, "corner_radius_mm": 50.0, "seam_allowance_mm": 10.0}
    note = draft_bag("gusset_bag", {**sizes, "piping": 1.0}).piece("piping").note
    assert "a square of 156 mm" in note and "no join" in note


@pytest.mark.parametrize("kind", ["edge", "length"])
def test_proof_rejects_piping_caught_by_one_edge_or_too_short(kind):
    good = draft_bag("gusset_bag", {"piping": 1.0})
    assert prove_sound(good).passed

    def spoilt(seam: Seam) -> Seam:
        if not seam.kind.joins:
            return seam
        if kind == "edge":
            return replace(seam, sides=tuple(s for s in seam.sides if s.edge != "edge_two"))
        sides = (replace(s, to_mm=s.to_mm - 2) if s.edge == "edge_one" else s for s in seam.sides)
        return replace(seam, sides=tuple(sides))

    assert not prove_sound(replace(good, seams=tuple(map(spoilt, good.seams)))).passed
