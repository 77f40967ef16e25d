"""The whole answer for a bag: nothing missing where nothing is, and everything reckoned again by hand here."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from decimal import Decimal

import pytest

from bagwright.errors import BrokenPromise, FaultyInput
from bagwright.model.bag import Workroom
from bagwright.model.layout import Layout
from bagwright.model.material import Extent, Held, Layer, MaterialKind, OfferByLength
from bagwright.model.money import Money
from bagwright.model.pattern import SeamKind
from bagwright.model.piece import Mirror
from bagwright.model.source import Verdict
from bagwright.workflows.answer import answer_bag
from bagwright.workflows.cut_list import bought_length_mm, turns_deg, usable_width_mm
from bagwright.workflows.shelf import Shelf
from tests.workflows.demo_values import (
    BAGS,
    POUCH,
    SHELF,
    TOTE,
    WALLET,
    answer_of,
    demo_answer,
    first_layout,
    with_material,
    with_stacks,
    without_offers,
)

STACKED = ("cuts", "panels", "threads", "layouts", "steps")
COSTED = ("plan", "price")


def problems_at(answer):
    return {problem.place: problem for problem in answer.problems}


@pytest.mark.parametrize("bag_id", BAGS)
def test_demo_bags_get_a_full_answer(bag_id):
    answer = demo_answer(bag_id)
    assert answer.problems == ()
    assert all(getattr(answer, name) for name in (*STACKED, *COSTED, "supplies", "mass_g"))
    assert {panel.panel_key for panel in answer.panels} == {panel.key for panel in answer.pattern.panels}
    assert {use.seam_id for use in answer.threads} == {seam.id for seam in answer.pattern.seams}


@pytest.mark.parametrize("bag_id", BAGS)
def test_every_sheet_is_laid_checked_and_bought_at_one_width(bag_id):
    answer = demo_answer(bag_id)
    sheets = {cut.material_id for cut in answer.cuts}
    assert all(sheet.layout.verdict.passed for sheet in answer.layouts)
    assert sorted(sheet.material.id for sheet in answer.chosen_layouts()) == sorted(sheets)
    for material_id in sheets:
        laid = {sheet.shop_width_mm for sheet in answer.layouts if sheet.material.id == material_id}
        assert laid == set(SHELF.widths_mm(material_id))


@pytest.mark.parametrize("bag_id", BAGS)
def test_every_layout_holds_each_piece_as_often_as_the_run_takes_it(bag_id):
    answer = demo_answer(bag_id)
    for sheet in answer.layouts:
        asked: Counter[str] = Counter()
        for cut in answer.cuts:
            if cut.material_id == sheet.material.id:
                asked[cut.id] += cut.count * answer.bag.run_count
        assert Counter(placement.id for placement in sheet.layout.placements) == asked


def without(field, material_id="pond-canvas"):
    return with_material(material_id, **{field: None})


@pytest.mark.parametrize(
    ("shelf", "place", "word", "still", "empty"),
    [
        (
            without("overhang_mm"),
            "materials.pond-canvas.overhang_mm",
            "stiffness",
            ("cuts", "threads", *COSTED),
            ("panels",),
        ),
        (
            without("thickness_mm"),
            "materials.pond-canvas.thickness_mm",
            "thickness",
            ("cuts",),
            ("panels", "threads", *COSTED),
        ),
        (
            without("mass_gsm"),
            "materials.pond-canvas.mass_gsm",
            "weight",
            ("cuts", "threads", *COSTED),
            ("panels", "mass_g"),
        ),
        (
            without("mass_gpm", "bobbin-thread"),
            "materials.bobbin-thread.mass_gpm",
            "weight",
            ("cuts", "panels", "threads", *COSTED),
            ("mass_g",),
        ),
        (
            without_offers("pond-canvas"),
            "materials[pond-canvas].offers",
            "offer",
            ("cuts", "panels", "threads", "mass_g", "steps", "supplies"),
            COSTED,
        ),
        (
            without_offers("bobbin-thread"),
            "materials[bobbin-thread].offers",
            "offer",
            ("cuts", "panels", "threads", "mass_g", "layouts", "steps"),
            ("supplies", *COSTED),
        ),
        (
            Shelf({k: m for k, m in SHELF.materials.items() if m.kind is not MaterialKind.THREAD}, SHELF.offers),
            "materials",
            "thread",
            ("cuts", "panels", "threads"),
            ("mass_g", "supplies", *COSTED),
        ),
    ],
    ids=["overhang", "thickness", "weight", "thread weight", "price", "thread price", "thread"],
)
def test_what_is_missing_is_named_and_empties_only_later_steps(shelf, place, word, still, empty):
    answer = answer_of(BAGS[TOTE], shelf=shelf)
    problem = problems_at(answer)[place]
    assert word in f"{problem.what} {problem.remedy}"
    assert problem.remedy and problem.allowed
    assert all(getattr(answer, name) for name in still)
    assert not any(getattr(answer, name) for name in empty)


def test_every_price_that_is_missing_is_told_at_one_go():
    answer = answer_of(BAGS[TOTE], shelf=Shelf(SHELF.materials, ()))
    told = {problem.place for problem in answer.problems if problem.what == "has no price yet"}
    used = {cut.material_id for cut in answer.cuts} | {"bobbin-thread"}
    assert {f"materials[{material_id}].offers" for material_id in used} <= told


def test_each_missing_thing_is_told_once_and_all_at_one_go():
    shelf = with_material("pond-canvas", overhang_mm=None, thickness_mm=None)
    chalk = replace(shelf.materials["chalk-poplin"], mass_gsm=None)
    answer = answer_of(BAGS[TOTE], shelf=Shelf({**shelf.materials, "chalk-poplin": chalk}, shelf.offers))
    places = [problem.place for problem in answer.problems]
    assert len(places) == len(set(places))
    assert {
        "materials.pond-canvas.overhang_mm",
        "materials.pond-canvas.thickness_mm",
        "materials.chalk-poplin.mass_gsm",
    } <= set(places)


@pytest.mark.parametrize(
    ("bag_id", "role"), [(TOTE, "lining"), (POUCH, "zip_chain"), (POUCH, "tab"), (WALLET, "pocket")]
)
def test_a_role_without_layers_is_named(bag_id, role):
    answer = answer_of(with_stacks(BAGS[bag_id], {role: ()}))
    assert problems_at(answer)[f"stacks.{role}"].remedy
    assert answer.pattern.pieces
    assert not any(getattr(answer, name) for name in ("mass_g", "plan", "price"))


def test_a_material_that_is_not_on_the_shelf_is_named():
    answer = answer_of(with_stacks(BAGS[TOTE], {"outer": (Layer("sold-out"),)}))
    assert {problem.value for problem in answer.problems} == {"sold-out"}
    assert answer.price is None


def narrowed(material_id, width_mm):
    offers = [
        replace(offer, width_mm=width_mm)
        if isinstance(offer, OfferByLength) and offer.material_id == material_id
        else offer
        for offer in SHELF.offers
    ]
    return Shelf(SHELF.materials, tuple(offers))


@pytest.mark.parametrize("width_mm", [300.0, 20.0])
def test_cloth_that_is_too_narrow_is_told_and_the_rest_is_answered(width_mm):
    answer = answer_of(BAGS[TOTE], shelf=narrowed("pond-canvas", width_mm))
    (problem,) = answer.problems
    assert problem.place == "materials.pond-canvas"
    assert "Pond canvas" in problem.value
    assert "wider" in problem.remedy
    assert answer.panels and answer.steps and answer.supplies and answer.layouts
    assert answer.plan is None


def test_one_width_that_is_too_narrow_is_left_out():
    narrow = next(o for o in SHELF.offers if o.id == "pond-44")
    shelf = Shelf(SHELF.materials, (*SHELF.offers, replace(narrow, id="pond-tape", width_mm=250.0)))
    answer = answer_of(BAGS[TOTE], shelf=shelf)
    assert answer.problems == ()
    assert 250.0 not in {sheet.shop_width_mm for sheet in answer.layouts}


def test_a_layout_that_failed_its_check_is_never_used():
    def unchecked(request) -> Layout:
        return replace(first_layout(request), verdict=Verdict(("overlap",), ("two pieces overlap",)))

    with pytest.raises(BrokenPromise, match="failed its check"):
        answer_bag(BAGS[TOTE], SHELF, Workroom(), find_layout=unchecked)


def test_rejects_sizes_that_make_no_bag():
    with pytest.raises(FaultyInput):
        answer_of(replace(BAGS[TOTE], measurements_mm={"width_mm": 1.0}))


# A run


def test_run_counts_scale_what_is_bought_and_nothing_that_one_bag_takes_property():
    one, six = (answer_of(replace(BAGS[POUCH], run_count=run)) for run in (1, 6))
    assert one.mass_g == pytest.approx(six.mass_g)
    needed_one, needed_six = ({p.material_id: p.needed for p in answer.plan.purchases} for answer in (one, six))
    assert needed_six["coil-zip"] == pytest.approx(6 * needed_one["coil-zip"])
    assert needed_six["zip-slider"] == pytest.approx(6 * needed_one["zip-slider"])
    thread_one, thread_six = (answer.supplies.purchases[0].needed for answer in (one, six))
    assert thread_six == pytest.approx(6 * thread_one)
    for material_id in ("fern-lawn", "chalk-poplin", "slate-sewin"):
        assert needed_one[material_id] < needed_six[material_id] <= 6 * needed_one[material_id] + 1e-6
    # Setting up is shared, nothing else is: 10 min and 15 % rest, once for the run.
    assert one.price.minutes - six.price.minutes == pytest.approx(10 * 1.15 * (1 - 1 / 6))


def test_a_run_of_many_lies_no_shorter_than_its_area_property():
    answer = answer_of(replace(BAGS[WALLET], run_count=40))
    for sheet in answer.layouts:
        area = math.fsum(p.region.area_mm2 * p.count for p in sheet.request.pieces)
        assert sheet.layout.length_mm * sheet.request.width_mm >= area * (1 - 1e-9)
        assert sheet.layout.share_used == pytest.approx(area / (sheet.layout.length_mm * sheet.request.width_mm))


# Grain and nap


def grain_on_cloth(sheet, placement, cuts):
    """Where the grain of a placed piece points: 0 and 180 along the cloth."""
    grain = next(cut.grain_deg for cut in cuts if cut.id == placement.id and cut.material_id == sheet.material.id)
    along = 180.0 - grain if placement.mirrored else grain
    return (along + placement.turn_deg) % 360


@pytest.mark.parametrize("bag_id", [TOTE, POUCH])
def test_directional_cloth_lies_one_way_only(bag_id):
    answer = demo_answer(bag_id)
    sheets = [sheet for sheet in answer.layouts if sheet.material.directional]
    assert sheets
    for sheet in sheets:
        ways = {round(grain_on_cloth(sheet, placement, answer.cuts), 6) % 360 for placement in sheet.layout.placements}
        assert len(ways) == 1
        assert ways <= {0.0, 180.0}


@pytest.mark.parametrize("bag_id", BAGS)
def test_cloth_with_grain_lies_along_it(bag_id):
    answer = demo_answer(bag_id)
    for sheet in answer.layouts:
        if sheet.material.kind.has_grain:
            ways = {round(grain_on_cloth(sheet, p, answer.cuts), 6) % 360 for p in sheet.layout.placements}
            assert ways <= {0.0, 180.0}


def test_turns_of_each_kind_of_cloth():
    cloth = SHELF.materials["pond-canvas"]
    assert turns_deg(cloth, 90.0) == (-90.0, 90.0)
    assert turns_deg(replace(cloth, directional=True), 90.0) == (-90.0,)
    assert turns_deg(SHELF.materials["moss-felt"], 90.0) is None
    assert turns_deg(replace(SHELF.materials["moss-felt"], directional=True), 0.0) == (0.0,)


def test_pieces_that_come_in_pairs_are_mirrored_by_halves():
    answer = demo_answer(TOTE)
    paired = {cut.id for cut in answer.cuts if cut.mirror is Mirror.PAIRS}
    for sheet in answer.layouts:
        for piece_id in paired:
            own = [p.mirrored for p in sheet.layout.placements if p.id == piece_id]
            assert 2 * sum(own) == len(own)


# What is bought


def test_selvedges_and_the_wash_change_what_is_bought_as_by_hand():
    # A bolt 1000 mm wide with 15 mm of selvedge on each side that loses 2 % across: (1000 - 30) x 0.98 = 950.6 mm.
    # A layout 570 mm long, and 5 % lost along: 570 / 0.95 = 600 mm.
    shelf = with_material("pond-canvas", selvedge_mm=15.0, shrinkage_share=0.05, crosswise_shrinkage_share=0.02)
    cloth = shelf.materials["pond-canvas"]
    assert usable_width_mm(cloth, 1000.0) == pytest.approx(950.6)
    assert bought_length_mm(cloth, 570.0) == pytest.approx(600.0)
    answer = answer_of(BAGS[TOTE], shelf=shelf)
    for sheet in answer.layouts:
        if sheet.material.id == "pond-canvas":
            assert sheet.request.width_mm == pytest.approx((sheet.shop_width_mm - 30) * 0.98)
            assert sheet.bought_mm == pytest.approx(sheet.layout.length_mm / 0.95)
    (bought,) = [p for p in answer.plan.purchases if p.material_id == "pond-canvas"]
    sheet = next(s for s in answer.chosen_layouts() if s.material.id == "pond-canvas")
    # Both counters cut in eighths of a yard, 114.3 mm, and never less than is needed.
    eighths = math.ceil(sheet.bought_mm / 114.3 - 1e-6)
    assert bought.quantity == pytest.approx(114.3 * eighths)


def test_length_that_shrinks_more_is_bought_longer_property():
    lengths = []
    for share in (0.0, 0.1, 0.4):
        answer = answer_of(BAGS[TOTE], shelf=with_material("pond-canvas", shrinkage_share=share))
        lengths.append(next(p.needed for p in answer.plan.purchases if p.material_id == "pond-canvas"))
    assert lengths[1] == pytest.approx(lengths[0] / 0.9)
    assert lengths[2] == pytest.approx(lengths[0] / 0.6)


@pytest.mark.parametrize("bag_id", BAGS)
def test_paid_is_used_and_left_in_every_purchase_and_in_all(bag_id):
    answer = demo_answer(bag_id)
    purchases = [*answer.plan.purchases, *answer.supplies.purchases]
    assert all(p.paid.amount == p.used.amount + p.left.amount for p in purchases)
    paid, used, left = answer.money_in_all()
    assert paid.amount == used.amount + left.amount
    assert paid.amount == sum((p.paid.amount for p in purchases), Decimal(0))
    assert all(p.quantity >= p.needed - 1e-9 for p in purchases)


def test_price_is_the_sum_of_its_parts_and_pays_her_by_hand():
    answer, workroom = demo_answer(TOTE), Workroom()
    price = answer.price
    assert sum((part.amount.amount for part in price.parts), Decimal(0)) == price.paid_price.amount
    hours = Decimal(repr(price.minutes)) / 60
    kept = price.paid_price.amount * (1 - workroom.selling_fee_share) - workroom.selling_fee_fixed.amount
    assert float(kept - price.floor.amount) == pytest.approx(float(hours * workroom.hourly_pay.amount), abs=1e-5)
    assert math.fsum(step.minutes for step in answer.steps) == pytest.approx(price.minutes)
    assert math.fsum(minutes for _, minutes in answer.minutes_by_kind()) == pytest.approx(price.minutes)


def test_offers_in_other_money_are_told_and_nothing_is_priced():
    answer = answer_of(BAGS[TOTE], workroom=replace(Workroom(), currency="EUR", hourly_pay=Money(Decimal(18), "EUR")))
    assert answer.price is None
    assert {problem.allowed for problem in answer.problems} >= {"a price in EUR"}


# Weight and thread, by hand


@pytest.mark.parametrize("bag_id", BAGS)
def test_weight_agrees_with_areas_times_weights(bag_id):
    answer = demo_answer(bag_id)
    grams = 0.0
    for piece in answer.pattern.pieces:
        for layer in answer.bag.stacks[piece.role] if not piece.is_bought else ():
            region = piece.region() if layer.extent is Extent.WHOLE else piece.region(Extent.NET)
            grams += region.area_mm2 / 1e6 * piece.count * SHELF.materials[layer.material_id].mass_gsm.value
    for notion in answer.pattern.notions:
        material = SHELF.materials[answer.bag.stacks[notion.role][0].material_id]
        if notion.length_mm is None:
            grams += notion.count * material.mass_each_g.value
        else:
            grams += notion.count * notion.length_mm / 1000 * material.mass_gpm.value
    # tex 40: 40 g a kilometre
    grams += sum(use.thread_mm for use in answer.threads) / 1e6 * 40
    assert answer.mass_g == pytest.approx(grams, rel=1e-9)


def test_weight_of_a_boxed_tote_agrees_with_areas_worked_out_by_hand():
    """A tote of one cloth, no pockets: two outer and two lining panels, two straps of four straps' width."""
    bag = with_stacks(
        replace(
            BAGS[TOTE], measurements_mm={"width_mm": 300.0, "height_mm": 300.0, "depth_mm": 100.0, "inside_pockets": 0}
        ),
        {role: (Layer("moss-felt"),) for role in ("outer", "lining", "strap")},
    )
    answer = answer_of(bag, shelf=with_material("moss-felt", mass_gsm=1000.0, overhang_mm=90.0, thickness_mm=2.0))
    areas = {cut.piece_id: (cut.region.area_mm2, cut.count) for cut in answer.cuts}
    sizes = answer.pattern.measurements_mm
    side, top = sizes["seam_allowance_mm"], sizes["top_allowance_mm"]
    # Reference facts 9: panel W + D + 2 s wide, H + D/2 + s + top high, less two squares of side D/2 (raw edges).
    panel = (300 + 100 + 2 * side) * (300 + 50 + side + top) - 2 * 50 * 50
    assert areas["outer"][0] == pytest.approx(panel, rel=1e-9)
    assert (areas["outer"][1], areas["lining"][1]) == (2, 2)
    thread_g = sum(use.thread_mm for use in answer.threads) / 1e6 * 40
    by_hand = sum(area * count for area, count in areas.values()) / 1e6 * 1000 + thread_g
    assert answer.mass_g == pytest.approx(by_hand)


def test_thread_of_the_side_seam_matches_textilecalculations_formula():
    """K5: a 301 lockstitch takes C = 2 + 2 T S a unit of seam (textilecalculations.com), T the thickness, S stitches a

    unit length; with S = 1/p that is 2 (1 + t / p). The side seam of the tote goes through two canvas panels: the
    fleece ends at the stitch line.
    """
    answer = demo_answer(TOTE)
    seam = next(s for s in answer.pattern.seams if s.id == "outer-sides-1")
    assert seam.kind is SeamKind.LOCKSTITCH
    use = next(use for use in answer.threads if use.seam_id == seam.id)
    assert len(seam.sides) == 2 and seam.rows == 1
    thickness = 2 * 0.62
    assert use.thickness_mm == pytest.approx(thickness)
    assert use.thread_mm == pytest.approx(seam.length_mm * 2 * (1 + thickness / 3.0) * 1.15)


def test_thread_grows_with_whole_layers_and_not_with_those_cut_to_the_net_line():
    cloth, fleece = Layer("pond-canvas"), Layer("cloud-fleece", Extent.NET, Held.FUSED)
    plain, net, whole = (
        answer_of(with_stacks(BAGS[TOTE], {"outer": stack}))
        for stack in ((cloth,), (cloth, fleece), (cloth, replace(fleece, extent=Extent.WHOLE)))
    )

    def thread_mm(answer):
        return math.fsum(use.thread_mm for use in answer.threads)

    assert thread_mm(plain) == pytest.approx(thread_mm(net))
    assert thread_mm(whole) > thread_mm(plain)


def test_stitch_length_and_waste_change_the_thread_as_by_hand():
    usual, other = (
        demo_answer(TOTE),
        answer_of(BAGS[TOTE], workroom=replace(Workroom(), stitch_length_mm=2.0, thread_waste_share=0.0)),
    )
    for before, after in zip(usual.threads, other.threads, strict=True):
        ratio = 2 * (1 + after.thickness_mm / 2.0) / (2 * (1 + before.thickness_mm / 3.0) * 1.15)
        assert after.thread_mm == pytest.approx(before.thread_mm * ratio)


# Odd stacks


def test_two_layers_of_one_interfacing_are_laid_together():
    twice = (Layer("pond-canvas"), Layer("slate-sewin"), Layer("slate-sewin"))
    answer = answer_of(with_stacks(BAGS[TOTE], {"outer": twice}))
    assert answer.problems == ()
    sheet = next(s for s in answer.layouts if s.material.id == "slate-sewin")
    assert [(piece.id, piece.count) for piece in sheet.request.pieces] == [("outer", 4)]


def test_one_cloth_for_everything_is_bought_once():
    bag = with_stacks(BAGS[TOTE], {role: (Layer("chalk-poplin"),) for role in BAGS[TOTE].stacks})
    answer = answer_of(bag)
    assert answer.problems == ()
    assert [p.material_id for p in answer.plan.purchases] == ["chalk-poplin"]
