"""Buying for a run: against trying everything, by its rules one by one, and judged by the independent check."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from bagwright.costing import buying_together
from bagwright.costing._solver import Effort, Solved
from bagwright.costing.buying import buy_materials
from bagwright.costing.buying_together import _all_ways, _found, buy_together
from bagwright.costing.check_plan import plan_faults
from bagwright.costing.reckoning import exact
from bagwright.costing.run_program import build_program
from bagwright.errors import FaultyInput, NoAnswer
from bagwright.model.cost import Need
from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece, PriceBreak
from bagwright.model.money import Money
from bagwright.model.run_buying import LaidParts, RunNeed, RunPlan, SellerTerms, StashParts
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.units import UnitSystem
from tests.costing.every_plan import best_plan, quantity_of_step, size_of_step
from tests.costing.random_runs import DAY, random_case, usd


def bolt(
    key: str, price: str, width_mm: float = 1000.0, *, seller: str = "Mill", step_mm: float = 100.0, **more
) -> Offer:
    return OfferByLength(
        id=key,
        material_id="m",
        seller=seller,
        price=usd(price),
        dated=DAY,
        width_mm=width_mm,
        priced_per_mm=1000.0,
        step_mm=step_mm,
        **more,
    )


def cut(key: str, price: str, length_mm: float, width_mm: float = 500.0, *, seller: str = "Stall") -> Offer:
    return OfferByPiece(
        id=key, material_id="m", seller=seller, price=usd(price), dated=DAY, width_mm=width_mm, length_mm=length_mm
    )


def pack(key: str, price: str, count: int, *, material: str = "m", seller: str = "Stall", **more) -> Offer:
    return OfferByCount(
        id=key, material_id=material, seller=seller, price=usd(price), dated=DAY, pack_count=count, **more
    )


def sheet(*by_width: tuple[float, float], **more) -> RunNeed:
    return RunNeed(need=Need(material_id="m", name="canvas", lengths_mm_by_width=by_width), **more)


def counted(count: int, material: str = "m", **more) -> RunNeed:
    return RunNeed(need=Need(material_id=material, name=material, count=count), **more)


def plan(needs: list[RunNeed], offers: list[Offer], terms: list[SellerTerms] | None = None, **more) -> RunPlan:
    return buy_together(needs, offers, terms or [], currency="USD", effort=Effort(seconds=120), **more)


def bought(of: RunPlan) -> dict[str, float]:
    return {one.offer_id: one.quantity for one in of.purchases}


# --- against trying everything ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(10))
def test_500_small_runs_agree_with_trying_everything(seed):
    rng = random.Random(seed)
    for _ in range(50):
        needs, offers, terms, worth = random_case(rng)
        found = plan(needs, offers, terms, left_worth=worth)
        assert plan_faults(found, needs, offers, terms) == ()
        assert found.is_proven
        best = best_plan(needs, offers, terms, Fraction(worth))
        assert best is not None
        assert abs(cost_of(found, offers, worth) - best[0]) < Fraction(1, 20)
        if not worth:
            assert float(size_of(found, offers)) == pytest.approx(float(best[1]), rel=1e-3)


def size_of(found: RunPlan, offers: list[Offer]) -> Fraction:
    """Square metres and things bought."""
    by_id = {offer.id: offer for offer in offers}
    size = Fraction(0)
    for one in found.purchases:
        offer = by_id[one.offer_id]
        size += exact(one.quantity) / quantity_of_step(offer) * size_of_step(offer)
    return size


def cost_of(found: RunPlan, offers: list[Offer], worth: float) -> Fraction:
    """Cost in cents; where leftovers count, before the till rounds."""
    by_id = {offer.id: offer for offer in offers}
    left, goods = Fraction(0), Fraction(0)
    for one in found.purchases:
        offer, quantity = by_id[one.offer_id], exact(one.quantity)
        units = quantity / exact(offer.priced_per_mm) if isinstance(offer, OfferByLength) else quantity
        price = offer.price
        for step in offer.price_breaks:
            price = step.price if exact(step.from_quantity) <= units else price
        exactly = 100 * Fraction(price.amount) * units
        goods += exactly if worth else 100 * Fraction(one.paid.amount)
        left += exactly * (1 - exact(one.needed) / quantity)
    stash = 100 * Fraction(found.stash_worth.amount)
    return goods + 100 * Fraction(found.delivery.amount) + Fraction(worth) * (stash - left)


# --- rule by rule ----------------------------------------------------------------------------------------------------


def test_property_without_terms_and_splits_it_buys_as_each_need_by_itself():
    needs = [sheet((1000.0, 930.0), (500.0, 1900.0)), counted(5, "rings")]
    offers = [bolt("a", "12.00"), bolt("b", "5.50", 500.0), pack("four", "2.00", 4, material="rings")]
    apart = buy_materials([one.need for one in needs], offers, currency="USD")
    together = plan(needs, offers)
    assert together.purchases == apart.purchases
    assert (together.paid, together.used, together.left) == (apart.paid, apart.used, apart.left)
    assert together.is_proven


def test_a_need_is_split_over_cut_pieces_and_the_bolt_where_its_bags_are_laid_one_by_one():
    one_bag = LaidParts(holds=(1,), length_mm=550.0, width_mm=500.0)
    needs = [sheet((1000.0, 800.0), (500.0, 1600.0), parts=(3,), laid=(one_bag,))]
    offers = [cut("quarter", "3.00", 600.0), bolt("a", "12.00")]
    found = plan(needs, offers)
    assert bought(found) == {"quarter": 3.0}  # 9.00, and 0.8 m of the bolt would be 9.60
    whole = plan([replace(needs[0], laid=())], offers)
    assert bought(whole) == {"a": 800.0}


def test_more_is_bought_where_that_frees_the_delivery():
    needs, offers = [sheet((1000.0, 800.0))], [bolt("a", "12.00"), bolt("b", "12.50", seller="Weaver")]
    terms = [
        SellerTerms(seller="Mill", delivery=usd(5), free_from=usd(10)),
        SellerTerms(seller="Weaver", delivery=usd(1)),
    ]
    found = plan(needs, offers, terms)
    assert bought(found) == {"a": 900.0}  # 10.80 with free delivery; 9.60 + 5, and 10.00 + 1 from the weaver
    assert (found.paid, found.delivery) == (usd("10.80"), usd(0))
    assert [(one.seller, one.delivery) for one in found.orders] == [("Mill", usd(0))]


def test_everything_comes_from_one_seller_where_a_second_delivery_costs_more_than_it_saves():
    needs = [sheet((1000.0, 800.0)), counted(4, "rings")]
    offers = [
        bolt("a", "12.00"),
        pack("far", "2.00", 4, material="rings"),
        pack("near", "2.50", 4, material="rings", seller="Mill"),
    ]
    assert "far" in bought(plan(needs, offers))
    terms = [SellerTerms(seller=seller, delivery=usd(4)) for seller in ("Mill", "Stall")]
    found = plan(needs, offers, terms)
    assert bought(found) == {"a": 800.0, "near": 1.0}
    assert found.paid == usd("9.60") + usd("2.50") + usd(4)
    assert found.paid == found.used + found.left


def test_a_least_order_is_filled_up_or_left_alone():
    needs, offers = [counted(1)], [pack("one", "2.00", 1), pack("other", "9.00", 1, seller="Mill")]
    terms = [SellerTerms(seller="Stall", delivery=usd(0), least_order=usd(6))]
    assert bought(plan(needs, offers, terms)) == {"one": 3.0}
    terms = [SellerTerms(seller="Stall", delivery=usd(0), least_order=usd(12))]
    assert bought(plan(needs, offers, terms)) == {"other": 1.0}


def test_a_least_order_that_gifts_cannot_reach_is_no_plan():
    with pytest.raises(NoAnswer) as caught:
        plan([counted(1)], [pack("gift", "0", 1)], [SellerTerms(seller="Stall", delivery=usd(0), least_order=usd(1))])
    assert "least orders" in caught.value.problem.remedy


def test_the_stash_is_used_where_it_saves_money_and_left_alone_where_not():
    remnant = StashParts(stash_id="r", name="remnant", holds=(1,), worth=usd(3))
    one = LaidParts(holds=(1,), length_mm=450.0, width_mm=1000.0)
    needs = [sheet((1000.0, 850.0), parts=(2,), laid=(one,), stash=(remnant,))]
    found = plan(needs, [bolt("a", "10.00")])
    assert bought(found) == {"a": 500.0}
    assert [taken.stash_id for taken in found.taken if taken.stash_id] == ["r"]
    assert found.stash_worth == usd(3)
    by_the_metre = plan(needs, [bolt("a", "10.00", step_mm=1000.0)])
    assert not by_the_metre.stash_worth.amount
    # A remnant that is worth more to her than what it saves stays on the shelf too.
    dear = [replace(needs[0], stash=(replace(remnant, worth=usd(30)),))]
    assert not plan(dear, [bolt("a", "10.00")], left_worth=1.0).stash_worth.amount


def test_leftovers_count_as_she_values_them():
    needs, offers = [counted(2)], [pack("two", "3.00", 2), pack("ten", "8.00", 10)]
    assert bought(plan(needs, offers)) == {"two": 1.0}
    assert bought(plan(needs, offers, left_worth=1.0)) == {"ten": 1.0}  # 0.80 each, and eight are kept


def test_a_price_break_counts_all_that_is_bought_of_an_offer():
    short, long = ReadyMadeFit(least_mm=200.0), ReadyMadeFit(least_mm=250.0)
    needs = [RunNeed(need=Need(material_id="m", name="zip", count=3, each=each)) for each in (short, long)]
    offer = cut("zips", "2.00", 300.0, 0.0)
    with_break = replace(offer, price_breaks=(PriceBreak(from_quantity=6, price=usd("1.50")),))
    assert plan(needs, [offer]).paid == usd(12)
    assert plan(needs, [with_break]).paid == usd(9)


def test_thread_goes_on_from_spool_to_spool_of_different_offers():
    needs = [RunNeed(need=Need(material_id="m", name="thread", length_mm=1_150_000), goes_on=True)]
    offers = [pack("large", "8.00", 1, length_each_m=1000.0), pack("small", "2.50", 1, length_each_m=200.0)]
    assert bought(plan(needs, offers)) == {"large": 1.0, "small": 1.0}


def test_no_more_than_all_of_the_thread_comes_from_one_spool_where_the_solver_rounds_below_zero():
    """By construction: a value a hair below 0 for the spool not bought, as solvers allow themselves."""
    needs = [RunNeed(need=Need(material_id="m", name="thread", length_mm=150_000), goes_on=True)]
    offers = [pack(key, "5.08", 1, length_each_m=500.0) for key in ("other", "spool")]
    built = build_program(needs, _all_ways(needs, offers, UnitSystem.INCH), {}, numbers=[0], left_worth=Fraction(0))
    values = [0.0] * len(built.program.costs)
    other, spool = built.offers
    values[other.ways[0][1]], values[spool.ways[0][1]], values[spool.steps[0]] = -1e-10, 1.0, 1.0
    (bought_one,) = _found(built, Solved(tuple(values), 0.0)).bought
    assert [share for _, share in bought_one.taken] == [1]


def test_a_thing_of_the_stash_that_does_for_two_materials_is_taken_once_where_it_saves_most():
    """By hand: 1 m at 10.00 or 1 m at 4.00; the remnant does for either, so 4.00 is paid."""
    remnant = StashParts(stash_id="r", name="remnant", holds=(1,), worth=usd(0))
    one = sheet((1000.0, 1000.0), stash=(remnant,))
    other = replace(one, need=replace(one.need, material_id="n", name="lining"))
    found = plan([one, other], [bolt("a", "10.00"), replace(bolt("b", "4.00"), material_id="n")])
    assert [taken.need for taken in found.taken if taken.stash_id == "r"] == [0]
    assert (found.paid, bought(found)) == (usd(4), {"b": 1000.0})


def test_a_gap_never_tells_more_than_is_paid(monkeypatch):
    """A bound below nothing says nothing; it is the plan at last taken that the gap is told of."""
    monkeypatch.setattr(buying_together, "least_by_seller", lambda *_, **__: None)
    monkeypatch.setattr(buying_together, "_bound_cents", lambda _: Fraction(-50_000))
    found = plan([sheet((1000.0, 1000.0))], [bolt("a", "10.00")])
    assert found.gap == found.paid == usd(10)


def test_pieces_of_leather_come_partly_from_the_stash():
    hide = OfferByArea(
        id="h", material_id="m", seller="Tannery", price=usd(50), dated=DAY, usual_area_m2=1.0, usual_width_mm=900.0
    )
    need = Need(material_id="m", name="leather", lengths_mm_by_width=((900.0, 1200.0),), area_mm2=900_000)
    wanted = RunNeed(need=need, parts=(3,), part_areas_mm2=(300_000,))
    assert bought(plan([wanted], [hide])) == {"h": 2.0}
    offcut = StashParts(stash_id="o", name="offcut", holds=(1,), worth=usd(0))
    assert bought(plan([replace(wanted, stash=(offcut,))], [hide])) == {"h": 1.0}


# --- faults, and a check that can fail -------------------------------------------------------------------------------


def test_every_fault_is_told_at_once():
    needs = [counted(1), counted(1, "rings")]
    with pytest.raises(FaultyInput) as caught:
        plan(needs, [])
    assert [problem.place for problem in caught.value.problems] == ["materials[m].offers", "materials[rings].offers"]


def test_a_stale_price_names_its_field():
    offers = [replace(pack("old", "1.00", 1), dated=date(2020, 1, 1)), pack("new", "2.00", 1)]
    found = plan([counted(1)], offers, oldest=DAY)
    assert bought(found) == {"new": 1.0}
    assert [problem.place for problem in found.left_out] == ["offers[old].dated"]
    with pytest.raises(FaultyInput) as caught:
        plan([counted(1)], offers[:1], oldest=DAY)
    assert [problem.place for problem in caught.value.problems] == ["offers[old].dated"]


def test_terms_in_other_money_are_refused():
    terms = [SellerTerms(seller="Stall", delivery=Money(Decimal(4), "EUR"))]
    with pytest.raises(FaultyInput) as caught:
        plan([counted(1)], [pack("one", "1.00", 1)], terms)
    assert [problem.place for problem in caught.value.problems] == ["sellers[Stall].delivery"]


def test_a_spoilt_plan_does_not_pass_the_check():
    remnant = StashParts(stash_id="r", name="remnant", holds=(1,), worth=usd(3))
    one = LaidParts(holds=(1,), length_mm=450.0, width_mm=1000.0)
    needs, offers = [sheet((1000.0, 850.0), parts=(2,), laid=(one,), stash=(remnant,))], [bolt("a", "10.00")]
    terms = [SellerTerms(seller="Mill", delivery=usd(2), least_order=usd(1))]
    good = plan(needs, offers, terms)
    line = good.purchases[0]
    spoilt = [
        replace(good, taken=good.taken[:1]),
        replace(good, taken=(good.taken[0], *good.taken)),
        replace(good, taken=tuple(replace(taken, length_mm=400.0) for taken in good.taken)),
        replace(good, purchases=(replace(line, quantity=450.0),)),
        replace(good, purchases=(replace(line, quantity=400.0, paid=usd(4)),)),
        replace(good, purchases=(replace(line, paid=usd("4.99")),)),
        replace(good, purchases=(replace(line, used=usd(1)),)),
        replace(good, purchases=(line, line)),
        replace(good, orders=()),
        replace(good, orders=(replace(good.orders[0], delivery=usd(0)),)),
        replace(good, paid=usd(1)),
        replace(good, left=usd(1)),
        replace(good, stash_worth=usd(0)),
    ]
    assert plan_faults(good, needs, offers, terms) == ()
    assert [number for number, one in enumerate(spoilt) if not plan_faults(one, needs, offers, terms)] == []
    dearer = [replace(terms[0], least_order=usd(99))]
    assert plan_faults(good, needs, offers, dearer)
