"""Strips of a bag as bands across the cloth and as one continuous bias strip."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bagwright.cutting.banded import Joins, with_bands
from bagwright.cutting.lay import lay_pieces
from bagwright.drafting.forms import FORMS
from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.bag import Bag
from bagwright.model.bands import StripWay, StripWish
from bagwright.model.layout import LayPiece, LayRequest, LaySettings
from bagwright.model.material import Layer
from bagwright.output.rulers import Measuring
from bagwright.store.bags import save_bag
from bagwright.store.materials import load_materials, save_material
from bagwright.units import UnitSystem
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.cutting_table import sheet_of, table_plan
from bagwright.workflows.desk import BagView, undo_change, view_bag
from bagwright.workflows.recutting import bias_strips
from bagwright.workflows.strip_changes import set_strip_wishes
from bagwright.workflows.strip_steps import one_way_in_words
from bagwright.workflows.strip_ways import StripGroup, strip_ways, strips_of
from bagwright.workflows.strip_words import group_in_words
from bagwright.workflows.tell_bias import told_bias
from tests.workflows.demo_values import TOTE, demo_answer

CANVAS = "pond-canvas"
IN = 25.4


def piped_bag(desk) -> BagView:
    """A gusset bag with piping, every piece and the piping of one canvas."""
    form = FORMS["gusset_bag"]
    sizes = {one.key: one.default_mm for one in form.measurements} | {"piping": 1.0}
    bag = Bag(id="piped", name="Piped", form=form.key, measurements_mm=sizes, stacks={}, run_count=3)
    roles = {piece.role for piece in pattern_of_bag(bag).pieces}
    bag = replace(
        bag, stacks={role: (Layer(CANVAS),) for role in roles} | {"piping_cord": (Layer("rush-piping-cord"),)}
    )
    with desk.store() as store:
        save_bag(store, bag)
    return view_bag(desk, "piped")


def told(view: BagView, group: StripGroup) -> tuple[str, ...]:
    names = {cut.id: cut.name for cut in view.answer.cuts}
    return group_in_words(group, view.shelf.materials[CANVAS], names, Measuring(UnitSystem.INCH))


def test_straps_as_bands_are_counted_with_everything_else_and_kept_with_the_bag(desk):
    view = view_bag(desk, TOTE)
    (straps,) = strip_ways(desk, view, CANVAS)
    assert straps.bands and not straps.is_bias
    # By hand: two straps of 635 mm lie side by side in one band across 1449 mm of usable cloth, 101.6 mm wide.
    assert [band.width_mm for band in straps.bands.bands] == pytest.approx([101.6])
    # The two panels, 476 mm wide and 441 mm long, then lie side by side.
    assert straps.takes_mm[StripWay.BANDS] == pytest.approx(101.6 + 441.325, abs=40)
    dearer = straps.least is StripWay.LAID
    lines = told(view, straps)
    assert lines[0].startswith("2 × Strap 25 × 4 in. With everything else, ")
    assert ("bands across the cloth" in lines[0].split(";")[1]) is dearer
    assert "close the blade" in lines[-1] and "tear" in lines[-1]

    (strap,) = (one.piece.id for one in straps.strips)
    kept = set_strip_wishes(desk, TOTE, view.answer.bag.version, material_id=CANVAS, ways=[("", "bands")])
    now = view_bag(desk, TOTE)
    sheet = sheet_of(now, CANVAS)
    assert sheet.request.bands and [one.id for one in sheet.asked.pieces if one.id == strap]
    assert sheet.layout.length_mm == pytest.approx(straps.takes_mm[StripWay.BANDS])
    assert sheet.layout.verdict.passed and "bands" in sheet.layout.verdict.checks
    assert any("right across the cloth" in line for line in table_plan(now, sheet).before())
    assert now.answer.plan and now.answer.price and view.answer.plan
    bought = [one.quantity for one in now.answer.plan.purchases if one.material_id == CANVAS]
    assert bought and bought[0] >= sheet.bought_mm - 1e-6
    by_itself = set_strip_wishes(desk, TOTE, kept.version, material_id=CANVAS, ways=[("", "bands"), (strap, "laid")])
    assert sheet_of(view_bag(desk, TOTE), CANVAS).request.bands is None
    undone = undo_change(desk, TOTE, by_itself.version)
    assert undone.strip_wishes == kept.strip_wishes
    with pytest.raises(FaultyInput) as refused:
        set_strip_wishes(desk, TOTE, undone.version, material_id=CANVAS, ways=[("no-such", "bands"), (strap, "torn")])
    assert len(refused.value.problems) == 2


def test_a_strap_longer_than_the_cloth_is_wide_is_joined_and_says_so(desk):
    view = view_bag(desk, TOTE)
    sizes = {**view.answer.bag.measurements_mm, "strap_length_mm": 1700.0}
    wish = StripWish(material_id=CANVAS, way=StripWay.BANDS)
    with desk.store() as store:
        save_bag(store, replace(view.answer.bag, measurements_mm=sizes, strip_wishes=(wish,)))
    now = view_bag(desk, TOTE)
    sheet = sheet_of(now, CANVAS)
    assert sheet.request.bands
    asked = sheet.request.bands.asked
    # A join of two allowances of the form: each strap is cut that much longer in all.
    assert asked.join_mm == pytest.approx(2 * FORMS[view.answer.bag.form].defaults()["seam_allowance_mm"])
    assert sheet.request.bands.joins >= 2 and asked.strips[0].length_mm > sheet.request.width_mm
    plan = table_plan(now, sheet)
    assert any("joins are to be sewn" in line for line in plan.before())
    assert "Strap (part 1 of 2)" in plan.names.values()


def test_piping_on_the_bias_comes_out_of_one_square():
    """Source: the square of a continuous bias strip, K14 of the reference facts: its area is length times width."""
    found = told_bias(2540.0, 38.1, cloth_mm=1450.0, allowance_mm=6.35)
    assert (found.square_mm - 6.35) ** 2 == pytest.approx(2540.0 * 38.1)


def test_bias_strips_of_a_bag_are_told_with_the_cloth_their_square_takes(desk):
    view = piped_bag(desk)
    bias = next(one for one in strip_ways(desk, view, CANVAS) if one.is_bias)
    assert set(bias.takes_mm) == {StripWay.LAID, StripWay.BIAS_SQUARE, StripWay.BIAS_STRIPS}
    blocks = dict(bias.blocks)
    square, slanted = blocks[StripWay.BIAS_SQUARE], blocks[StripWay.BIAS_STRIPS]
    copies = sum(one.piece.count for one in bias.strips)
    run = sum(one.length_mm * one.piece.count for one in bias.strips)
    width = bias.strips[0].width_mm
    assert square.needed_mm == pytest.approx(run + (copies - 1) * width)
    # Source: K14 of the reference facts (area = length x width), and the allowance of the tube's seam.
    assert square.count == 1 and (square.region.width_mm - 6.35) ** 2 == pytest.approx(square.needed_mm * width)
    # From edge to edge at 45 degrees each strip takes width x sqrt(2) of the length and all of the usable width.
    usable, wide = sheet_of(view, CANVAS).request.width_mm, sheet_of(view, CANVAS).shop_width_mm
    assert slanted.region.area_mm2 == pytest.approx((slanted.joins + 1) * width * math.sqrt(2) * usable)
    assert slanted.region.area_mm2 >= slanted.needed_mm * width
    lines = told(view, bias)
    assert "takes least cloth" in lines[0] or "take least cloth" in lines[0]
    assert "a square of" in lines[1] and "round and round" in lines[1] and "45 degrees" in lines[2]

    for way, name in ((StripWay.BIAS_SQUARE, "Bias square"), (StripWay.BIAS_STRIPS, "Bias strips")):
        bag = view_bag(desk, "piped").answer.bag
        set_strip_wishes(desk, "piped", bag.version, material_id=CANVAS, ways=[("", way.value)])
        sheet = sheet_of(view_bag(desk, "piped"), CANVAS)
        assert name in {piece.id for piece in sheet.request.pieces} and sheet.layout.verdict.passed
        assert not {one.piece.id for one in bias.strips} & {piece.id for piece in sheet.request.pieces}
        if sheet.shop_width_mm == wide:  # another way may make another width the cheaper one
            assert sheet.layout.length_mm == pytest.approx(bias.takes_mm[way], abs=1e-6)


def test_matches_yards_of_bias_out_of_a_square():
    # Source: K14 of the reference facts, a quilting table: a 36 in square gives 18 yd of 2 in strip, a 12 in square 72
    # in; and a worked example with an allowance: a 22 in square gives 157.7 in of 3 in strip (21.75 in each way).
    for side, strip, inches in ((36.0, 2.0, 648.0), (12.0, 2.0, 72.0), (22.0 - 0.25, 3.0, 157.7)):
        piece = LayPiece(id="bias", region=Region.rectangle((0, 0), (inches * IN, strip * IN)), count=1)
        (group,) = bias_strips([piece])
        block = group.block(StripWay.BIAS_SQUARE, 60 * IN)
        assert block.region.width_mm / IN == pytest.approx(side + 0.25, abs=0.005)
        narrow = group.block(StripWay.BIAS_SQUARE, 20 * IN)
        assert narrow.region.width_mm <= 20 * IN and narrow.joins == narrow.count - 1
        assert narrow.count * (narrow.region.width_mm - 6.35) ** 2 >= inches * strip * IN * IN - 1e-6
    with pytest.raises(FaultyInput):
        bias_strips([piece])[0].block(StripWay.BIAS_SQUARE, 20.0)


def test_only_long_rectangles_are_strips_and_their_grain_tells_the_bias():
    cut = demo_answer(TOTE).cuts[0]
    tab = LayPiece(id="tab", region=Region.rectangle((0, 0), (30, 100)), count=1)
    band = LayPiece(id="band", region=Region.rectangle((0, 0), (400, 40)), count=2)
    tail = LayPiece(id="tail", region=Region.from_ring([(0, 0), (400, 0), (0, 40)]), count=1)
    cuts = [replace(cut, piece_id=name, grain_deg=grain) for name, grain in (("tab", 0), ("band", 45), ("tail", 0))]
    (found,) = strips_of([tab, band, tail], cuts)
    assert (found.piece.id, found.length_mm, found.width_mm) == ("band", 400, 40)
    assert found.is_bias and math.isclose(found.grain_off_deg, 45)


def test_bands_of_one_way_cloth_say_which_way_it_runs_on_them_and_all_lie_so(desk):
    """The straps' grain runs along them, so across the cloth its way runs across each strap, on all of them alike."""
    with desk.store() as store:
        (kept,) = (one for one in load_materials(store) if one.value.id == CANVAS)
        save_material(store, replace(kept.value, directional=True), expected_version=kept.version)
    view = view_bag(desk, TOTE)
    (straps,) = strip_ways(desk, view, CANVAS)
    said = told(view, straps)[0]
    assert "lies on its side, its foot along the long edge towards the cut end" in said
    set_strip_wishes(desk, TOTE, view.answer.bag.version, material_id=CANVAS, ways=[("", "bands")])
    view = view_bag(desk, TOTE)
    sheet = sheet_of(view, CANVAS)
    assert sheet.request.bands and sheet.layout.verdict.passed
    assert any("lies on its side" in line for line in table_plan(view, sheet).before())
    grains = {cut.id: cut.grain_deg for cut in view.answer.cuts if cut.material_id == CANVAS}
    banded = {part.id for band in sheet.request.bands.bands for part in band.parts}
    ways = {
        (spot.id in banded, round(grains[spot.id] + spot.turn_deg) % 360)
        for spot in sheet.layout.placements
        if spot.id in grains
    }
    # Along the cloth stands what is laid by itself; the straps' grain lies across it, one way only.
    assert (False, 0) in ways and len({way for is_band, way in ways if is_band}) == 1
    assert {way % 180 for is_band, way in ways if is_band} == {90} and {w for b, w in ways if not b} == {0}


def test_a_strip_whose_grain_runs_across_it_stands_upright_out_of_a_band():
    """Drawn 300 x 40 mm with its grain up the page, on one-way cloth turned by -90 only: its top lies towards +x."""
    tie = LayPiece(id="tie", region=Region.rectangle((0, 0), (300, 40)), count=3, turns_deg=(-90.0,))
    request = with_bands(LayRequest(width_mm=700, pieces=(tie,)), ["tie"], Joins())
    layout = lay_pieces(request, settings=LaySettings())
    assert layout.verdict.passed and len(layout.placements) == 3
    for spot in layout.placements:
        foot, top = (spot.move.apply((150.0, y))[0] for y in (0.0, 40.0))
        assert top - foot == pytest.approx(40.0)
    assert list(one_way_in_words([tie], {"tie": "Tie"})) == [
        "One-way cloth: on Tie out of bands, print or nap stands upright, its foot down."
    ]
