"""Zips worked out: opening and teeth, what to buy, where to stop and cut it, and where the foot meets bulk."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings

from bagwright.drafting.forms import draft_bag
from bagwright.drafting.zip_stock import INCH_STOCK_MM, METRIC_STOCK_MM, TAIL_MM, ready_made_for
from bagwright.drafting.zip_work import plan_zip, zip_plans
from bagwright.drafting.zips import line_for_opening_mm
from bagwright.errors import BrokenPromise
from bagwright.model.sewn_zip import STOP_INSET_MM, SewnZip, ZipEnds
from bagwright.model.zip_plan import ReadyMadeZip
from tests.drafting.test_forms import ALL_FORMS

IN = 25.4
TABBED = SewnZip(
    key="zip_chain",
    name="Zip",
    number=5,
    line_mm=7.5 * IN,
    under_mm=0.375 * IN,
    tape_mm=32.0,
    allowance_mm=0.25 * IN,
    parked_mm=12.0,
    ends=ZipEnds.TABS,
    tab_mm=0.75 * IN,
)
STOPPED = replace(TABBED, ends=ZipEnds.STOPS, line_mm=9 * IN, tab_mm=0.0)
SEAMED = replace(STOPPED, ends=ZipEnds.SEAMS)


def said(advice):
    return [one.said(lambda mm: f"{mm:.1f}") for one in advice]


def ready_made(one: SewnZip, stock_mm) -> ReadyMadeZip:
    bought = ready_made_for(one, stock_mm)
    assert bought is not None, one
    return bought


def test_tabbed_zip_matches_arithmetic_by_hand():
    # A pouch 9 in wide with tabs of 3/4 in: 9 - 2 x 0.75 = 7.5 in of teeth = 190.5 mm; less 12 mm of slider 178.5 mm;
    # 3/8 in under each tab: 7.5 + 0.75 = 8.25 in to cut = 209.55 mm; 32 - 2 x 6.35 = 19.3 mm of tape shows.
    assert TABBED.teeth_mm == pytest.approx(190.5)
    assert TABBED.opening_mm == pytest.approx(178.5)
    assert TABBED.chain_mm == pytest.approx(209.55)
    assert TABBED.showing_mm == pytest.approx(19.3)
    assert replace(TABBED, facing_mm=40.0).finished_mm == pytest.approx(99.3)


def test_stopped_zip_matches_arithmetic_by_hand():
    # 9 in from seam to seam, stops 3 mm off: 228.6 - 6 = 222.6 mm of teeth, 210.6 mm open; 9.75 in to cut = 247.65 mm.
    assert STOPPED.teeth_mm == pytest.approx(222.6)
    assert STOPPED.opening_mm == pytest.approx(210.6)
    assert STOPPED.chain_mm == pytest.approx(247.65)
    assert SEAMED.teeth_mm == pytest.approx(228.6)


def test_ready_made_zip_matches_cutting_by_hand():
    # 7.5 in of teeth: 7 in is too short, 8 in has half an inch too much. New stop 7.5 in below the top stops, cut
    # 3/8 in beyond it; the tape above the top stops is trimmed to 3/8 in.
    bought = ready_made(TABBED, INCH_STOCK_MM)
    assert bought.length_mm == pytest.approx(8 * IN)
    assert bought.start_mm == 0.0
    assert bought.stop_mm == pytest.approx(7.5 * IN)
    assert bought.bottom_cut_mm == pytest.approx(7.875 * IN)
    assert bought.top_cut_mm == pytest.approx(-0.375 * IN)


def test_ready_made_zip_property_leaves_no_stop_under_a_seam():
    # 192 mm of teeth and 12.5 mm beyond: cut 204.5 mm down, an 8 in zip would keep its stop at 203.2 mm in the seam.
    one = replace(STOPPED, line_mm=198.0)
    assert ready_made(one, INCH_STOCK_MM).length_mm == pytest.approx(9 * IN)


def test_ready_made_zip_of_the_very_length_is_sewn_in_as_it_is():
    bought = ready_made(replace(TABBED, line_mm=8 * IN), INCH_STOCK_MM)
    assert bought.length_mm == pytest.approx(8 * IN)
    assert bought.stop_mm is None
    # Its tail at the bottom is as long as what lies under the tab asks for.
    assert bought.bottom_cut_mm <= 8 * IN + TAIL_MM


def test_zip_that_runs_into_seams_has_no_stop_left_in_it():
    # 9 in between the seams and 3/8 in in each: 9.75 in of teeth, so a 10 in zip loses both its ends.
    bought = ready_made(SEAMED, INCH_STOCK_MM)
    assert bought.length_mm == pytest.approx(10 * IN)
    assert bought.stop_mm is None
    assert bought.top_cut_mm == 0.0
    assert bought.bottom_cut_mm == pytest.approx(9.75 * IN)


def test_own_list_of_lengths_is_used():
    assert ready_made(TABBED, [300.0, 250.0]).length_mm == 250.0
    plan = plan_zip(TABBED, stock_mm=[100.0])
    assert plan.ready_made is None and plan.from_ready_made == ()
    assert any("cut this one from the roll" in caution for caution in said(plan.cautions))


def random_zip(chance: random.Random) -> SewnZip:
    return SewnZip(
        key="zip_chain",
        name="Zip",
        number=chance.randint(3, 10),
        line_mm=chance.uniform(90, 700),
        under_mm=chance.uniform(4, 25),
        tape_mm=chance.uniform(34, 60),
        allowance_mm=chance.uniform(4, 12),
        parked_mm=chance.uniform(6, 20),
        ends=chance.choice(list(ZipEnds)),
        tab_mm=chance.uniform(10, 60),
    )


@pytest.mark.parametrize("stock_mm", [INCH_STOCK_MM, METRIC_STOCK_MM])
def test_random_zips_property_fit_in_the_stock_chosen(stock_mm):
    chance = random.Random(5)
    for _ in range(1500):
        one = random_zip(chance)
        bought = ready_made(one, stock_mm)
        # The tape that is used lies on the tape that is bought, its teeth between the stops.
        assert -TAIL_MM - 1e-9 <= bought.top_cut_mm <= bought.start_mm
        assert bought.bottom_cut_mm <= bought.length_mm + TAIL_MM + 1e-9
        assert bought.bottom_cut_mm - bought.top_cut_mm == pytest.approx(one.chain_mm)
        assert one.chain_mm <= bought.length_mm + 2 * TAIL_MM
        # No needle meets the stop that it came with.
        assert bought.bottom_cut_mm <= bought.length_mm or bought.stop_mm is None
        # The slider has its teeth, parks on them, and its way ends where the plan says.
        way_mm = (bought.length_mm if bought.stop_mm is None else bought.stop_mm) - bought.start_mm
        if one.ends is ZipEnds.SEAMS:
            assert bought.length_mm >= one.chain_mm
        else:
            assert way_mm - one.parked_mm == pytest.approx(one.opening_mm, abs=1.0)
        shorter = [length for length in stock_mm if length < bought.length_mm]
        assert ready_made_for(one, shorter) is None


@pytest.mark.parametrize("ends", ZipEnds)
def test_random_openings_property_are_reached_within_a_millimetre(ends):
    chance = random.Random(6)
    for _ in range(500):
        asked, parked = chance.uniform(60, 600), chance.uniform(6, 20)
        line = line_for_opening_mm(asked, ends, parked)
        one = replace(TABBED, ends=ends, parked_mm=parked, line_mm=line)
        assert one.opening_mm == pytest.approx(asked, abs=1.0)
        assert one.parked_mm <= one.teeth_mm <= one.line_mm


@settings(max_examples=80, deadline=None)
@given(ALL_FORMS)
def test_every_zip_of_every_form_property_is_worked_out(form_and_sizes):
    pattern = draft_bag(*form_and_sizes)
    plans = zip_plans(pattern, stock_mm=[2500.0])
    assert [plan.zip.key for plan in plans] == [p.id for p in pattern.pieces if p.role == "zip_chain"]
    need = sum(notion.length_mm or 0.0 for notion in pattern.notions if notion.role == "zip_chain")
    assert need == pytest.approx(sum(plan.zip.chain_mm for plan in plans))
    for plan in plans:
        chain, one = pattern.piece(plan.zip.key), plan.zip
        assert chain.net.edge("tape_front").length_mm == pytest.approx(one.line_mm, abs=1e-6)
        assert chain.region().width_mm == pytest.approx(one.chain_mm, abs=1e-6)
        assert one.opening_mm > 0
        assert len(plan.steps) > 1


def test_pouch_with_tabs_tells_its_bulk_layer_by_layer():
    plan = zip_plans(draft_bag("zip_pouch", {}))[0]
    found = {point.where: (point.layers, point.layers_beside) for point in plan.bulk}
    # Along the zip: outer, lining and tape are 3; where the tab begins its two layers take the tape's place: 4. The
    # side seam of 2 goes on over the tab folded in half, folded again along the teeth: 4. A tab over closed tape: 3.
    assert found["Where a tab begins"] == (4, 3)
    assert found["Across the ends"] == (4, 2)
    assert found["Over the teeth, under the tab"] == (3, 3)
    assert plan.bulk[-1].where == "At the slider"
    climbs = next(point for point in plan.bulk if point.where == "Where a tab begins")
    assert len(climbs.during) == 2


def test_pouch_with_stops_tells_of_the_bare_tape():
    plan = zip_plans(draft_bag("zip_pouch", {"zip_ends": 1.0}))[0]
    across = next(point for point in plan.bulk if point.where == "Across the ends")
    assert across.layers == 2  # the tape folded along its teeth
    assert "no stop" in across.advice.words
    assert plan.zip.inset_mm == STOP_INSET_MM


def test_order_of_steps_is_that_of_the_pattern():
    pattern = draft_bag("zip_pouch", {})
    steps = said(zip_plans(pattern)[0].steps)
    names = [seam.name for seam in sorted(pattern.seams, key=lambda seam: seam.order)]
    places = [names.index(step.removesuffix(".")) for step in steps[:-1]]
    assert places == sorted(places) and len(places) == 5
    assert "Run the slider" in steps[-1]


def test_tape_that_is_unusual_for_its_number_is_asked_about():
    assert not any("usually" in words for words in said(plan_zip(TABBED).cautions))
    odd = said(plan_zip(replace(TABBED, number=3)).cautions)
    assert any("#3" in words and "25.0" in words and "32.0" in words for words in odd)


def test_usual_tape_property_follows_the_number_until_she_types_hers():
    widths = [draft_bag("zip_pouch", {"zip_size": number}).measurements_mm["tape_width_mm"] for number in (3, 5, 10)]
    assert widths == [25.0, 32.0, 42.0]
    assert draft_bag("zip_pouch", {"zip_size": 3, "tape_width_mm": 27.0}).zips[0].tape_mm == 27.0


def test_number_off_the_table_is_a_broken_promise():
    with pytest.raises(BrokenPromise):
        plan_zip(replace(TABBED, number=12))
