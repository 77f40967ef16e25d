"""Where a bag's money goes, what matters most in it, and between what its totals lie."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.costing.asking import split_price, ways_to_ask
from bagwright.costing.logged_time import Z_90
from bagwright.costing.money_inputs import HIDE_USED, LaidLength, MoneyFacts, SharedDay
from bagwright.costing.money_lines import money_of_bag, with_ranges
from bagwright.costing.money_ranges import ranged_totals
from bagwright.costing.price import price_bag
from bagwright.costing.price_age import price_age_problems
from bagwright.costing.sensitivity import sensitivity, widest_first
from bagwright.costing.where_it_goes import cents_that_add_up, where_it_goes
from bagwright.errors import BrokenPromise
from bagwright.model.asking import Asking, WayOfSelling
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, PartKind, PricePart, Purchase, TimeStep
from bagwright.model.material import OfferByArea, OfferByLength, PriceBreak
from bagwright.model.money import Money, total
from bagwright.model.money_terms import (
    BagMoney,
    Effect,
    Goes,
    MoneyLine,
    Spread,
    Term,
    TermUnit,
    Total,
    WorkLine,
    Works,
)
from bagwright.model.running_costs import MonthlyCost, Overhead, SharedBy
from bagwright.model.source import Reading, Source, SourceKind

TODAY = date(2026, 11, 26)


def usd(amount: str | Decimal | int | float) -> Money:
    return Money(Decimal(str(amount)), "USD")


OFFERS = (
    OfferByLength(
        id="canvas-a",
        material_id="canvas",
        seller="Mill",
        price=usd(12),
        dated=date(2026, 2, 24),
        width_mm=1400,
        priced_per_mm=914.4,
        step_mm=114.3,
    ),
    OfferByArea(
        id="hide-a",
        material_id="hide",
        seller="Tannery",
        price=usd(60),
        dated=date(2026, 8, 26),
        usual_area_m2=2,
        usual_width_mm=900,
    ),
)
ROOM = Workroom()
WAY = WayOfSelling(
    name="at a fair", kept_share=Decimal("0.06"), kept_fixed=usd("0.4"), delivery=usd("1.2"), tax_share=Decimal("0.08")
)
SHRINKAGE = Reading(0.04, 0.02, 0.07, Source(SourceKind.MEASURED, "a washed square"))


def bought(material: str, *, used: float, needed: float, quantity: float, unit: str) -> Purchase:
    paid = used * quantity / needed
    return Purchase(
        material_id=material,
        name=material,
        offer_id=f"{material}-a",
        seller="Mill",
        quantity_unit=unit,
        needed=needed,
        quantity=quantity,
        width_mm=0.0,
        paid=usd(round(paid, 6)),
        used=usd(round(used, 6)),
        left=usd(round(paid, 6)) - usd(round(used, 6)),
    )


def plan(*purchases: Purchase) -> BuyingPlan:
    paid, used, left = (total((getattr(one, way) for one in purchases), "USD") for way in ("paid", "used", "left"))
    return BuyingPlan(purchases=purchases, paid=paid, used=used, left=left)


STEPS = (
    TimeStep(name="cut", kind="Cut out", minutes=20, doubt=6, reckoned=""),
    TimeStep(name="side", kind="Sew", minutes=35, doubt=12, reckoned=""),
    TimeStep(name="top", kind="Sew", minutes=15, doubt=4, reckoned=""),
)


class World:
    """One bag reckoned by the exact functions, with every input as a plain number that a test can change."""

    def __init__(self, **changed: float) -> None:
        self.inputs = {
            "price:canvas-a": 12.0,
            "length:canvas": 900.0,
            "wash:canvas": 0.04,
            "price:hide-a": 60.0,
            "hide:hide": 0.75,
            "minutes:Cut out": 20.0,
            "minutes:Sew": 50.0,
            "pay": 18.0,
            "overhead_hour": 2.0,
            "kept_share": 0.06,
            "kept_fixed": 0.4,
            "bringing": 1.2,
            "tax": 0.08,
            "price": 64.0,
            **changed,
        }

    def reckoned(self):
        given = self.inputs
        cloth_mm = given["length:canvas"] / (1 - given["wash:canvas"])
        hide_m2 = 0.3 / given["hide:hide"]
        materials = plan(
            bought(
                "canvas", used=given["price:canvas-a"] * cloth_mm / 914.4, needed=cloth_mm, quantity=1143, unit="mm"
            ),
            bought("hide", used=given["price:hide-a"] * hide_m2, needed=hide_m2, quantity=2, unit="m2"),
        )
        sewing = given["minutes:Sew"] / 50
        steps = tuple(
            replace(one, minutes=given["minutes:Cut out"] if one.kind == "Cut out" else one.minutes * sewing)
            for one in STEPS
        )
        room = replace(ROOM, hourly_pay=usd(given["pay"]), overhead_per_hour=usd(given["overhead_hour"]))
        price = price_bag(materials, plan(), steps, run_count=1, workroom=room)
        way = replace(
            WAY,
            kept_share=Decimal(str(given["kept_share"])),
            kept_fixed=usd(given["kept_fixed"]),
            delivery=usd(given["bringing"]),
            tax_share=Decimal(str(given["tax"])),
        )
        return materials, steps, price, way, room

    def facts(self, **more) -> MoneyFacts:
        materials, steps, price, way, room = self.reckoned()
        given = MoneyFacts(
            price=price,
            steps=steps,
            purchases=materials.purchases,
            offers=OFFERS,
            laid={"canvas": LaidLength(name="canvas", laid_mm=900, least_mm=880, shrinkage=SHRINKAGE)},
            hourly_pay=room.hourly_pay,
            overhead_hour=room.overhead_per_hour,
            way=way,
            asked=usd(self.inputs["price"]),
            today=TODAY,
        )
        return replace(given, **more)

    def totals(self) -> dict[Total, float]:
        """By the exact, older functions: `price_bag` and `ways_to_ask`."""
        _, _, price, way, room = self.reckoned()
        (answer,) = ways_to_ask(
            Asking(
                floor=price.floor,
                minutes=price.minutes,
                hourly_pay=room.hourly_pay,
                margin_share=Decimal(0),
                asked=usd(self.inputs["price"]),
                ways=(way,),
            )
        )
        assert answer.asked
        found = {
            Total.MATERIALS: price.materials,
            Total.SUPPLIES: price.supplies,
            Total.COST: price.floor,
            Total.PAID_PRICE: answer.paid.price,
            Total.HOUR: answer.asked.hourly_pay,
        }
        return {Total.MINUTES: price.minutes} | {name: float(one.amount) for name, one in found.items()}


MONEY = money_of_bag(World().facts())
TERMS = {term.id: term for term in MONEY.terms}


def test_terms_stand_at_the_inputs_and_the_totals_are_those_of_the_price():
    assert {term.id: term.value for term in MONEY.terms} == pytest.approx(World().inputs)
    told = {one.total: one.value for one in ranged_totals(MONEY, draws=64)}
    assert told == pytest.approx(World().totals(), abs=1e-5)


def test_a_price_is_the_offers_own_not_one_worked_back_from_cents_and_breaks_count_all_that_is_bought():
    """Worked by hand: 3/4 yd at 14.50 is 10.875, paid as 10.88, which is 14.51 a yard; from 1 yd on it costs 13."""
    offer = replace(OFFERS[0], price=usd("14.50"), price_breaks=(PriceBreak(from_quantity=1, price=usd(13)),))
    taken = replace(bought("canvas", used=10, needed=600, quantity=685.8, unit="mm"), paid=usd("10.88"))

    def price(*purchases: Purchase) -> float:
        facts = World().facts(purchases=purchases, offers=(offer,))
        return next(one.value for one in money_of_bag(facts).terms if one.id == "price:canvas-a")

    assert price(taken) == 14.5
    assert price(taken, replace(taken, name="straps", quantity=228.6)) == 13


def test_ranges_of_inputs_worked_by_hand():
    # The cloth's price is 275 days old: 10 % x 275 / 365.25 of 12.00 either way.
    moves = 12 * 0.1 * 275 / 365.25
    assert (TERMS["price:canvas-a"].low, TERMS["price:canvas-a"].high) == pytest.approx((12 - moves, 12 + moves))
    # 5 % less than 900 mm would be 855 mm, but no layout takes less than 880 mm.
    assert (TERMS["length:canvas"].low, TERMS["length:canvas"].high) == pytest.approx((880, 945))
    # An eighth of a yard more or less at the shop, 114.3 mm, is 109.728 mm after a wash of 4 %; never less than 880 mm.
    laid = LaidLength(name="canvas", laid_mm=900, least_mm=880, shrinkage=SHRINKAGE, step_mm=114.3, step_said="1/8 yd")
    steps = [money_of_bag(World().facts(laid={"canvas": laid}, length_steps=count)).terms for count in (1, 2, 0)]
    stepped = [next(term for term in terms if term.id == "length:canvas") for terms in steps]
    assert [term.high for term in stepped] == pytest.approx([1009.728, 1119.456, 945])
    assert [term.low for term in stepped] == [880, 880, 880]
    assert stepped[0].says.startswith("1/8 yd as the shop measures it off, either way")
    assert (TERMS["wash:canvas"].low, TERMS["wash:canvas"].high) == (0.02, 0.07)
    assert (TERMS["hide:hide"].low, TERMS["hide:hide"].high) == HIDE_USED
    assert (TERMS["minutes:Sew"].low, TERMS["minutes:Sew"].high) == (34, 66)
    assert TERMS["pay"].is_exact


@pytest.mark.parametrize("term_id", World().inputs)
def test_slopes_agree_with_finite_differences_of_the_exact_reckoning(term_id):
    low, high = (0.9, 1.1) if TERMS[term_id].is_exact else (0.0, 0.0)
    value = TERMS[term_id].value
    money = with_ranges(MONEY, {term_id: (low * value, high * value)}) if high else MONEY
    (swing,) = [one for one in sensitivity(money) if one.term.id == term_id]
    step = value * 1e-3
    before, after = (World(**{term_id: value + way * step}).totals() for way in (-1, 1))
    for name, slope in swing.slopes.items():
        assert (after[name] - before[name]) / (2 * step) == pytest.approx(slope, rel=2e-3, abs=2e-3), name


def test_swings_agree_with_the_exact_reckoning_at_both_ends():
    now = World().totals()
    for swing in sensitivity(MONEY):
        for end, moved in ((swing.term.low, swing.at_low), (swing.term.high, swing.at_high)):
            there = World(**{swing.term.id: end}).totals()
            assert {name: there[name] - now[name] for name in there} == pytest.approx(moved, abs=1e-4), swing.term.id


def test_the_widest_swing_comes_first_and_what_moves_nothing_is_left_out():
    swings = widest_first(sensitivity(MONEY), Total.HOUR)
    assert swings[0].term.id == "minutes:Sew"
    widths = [one.width(Total.HOUR) for one in swings]
    assert widths == sorted(widths, reverse=True)
    ids = {one.term.id for one in widest_first(sensitivity(with_ranges(MONEY, {"pay": (15, 25)})), Total.HOUR)}
    assert "pay" not in ids  # what she means to earn does not change what the price leaves


def drawn(rng, term: Term, count: int, bell) -> np.ndarray:
    """One input as its spread is stated, by numpy's own generators."""
    if term.is_exact:
        return np.full(count, term.value)
    if term.spread is Spread.BELL:
        return np.maximum(term.value + (term.high - term.value) / Z_90 * bell, term.value / 10)
    return rng.triangular(term.low, term.value, term.high, count)


def monte_carlo(
    money: BagMoney, count: int, seed: int, day: SharedDay | None = None
) -> dict[Total, tuple[float, float]]:
    """The same bag written out once more, and its 5th and 95th hundredths."""
    rng = np.random.default_rng(seed)
    pace = rng.standard_normal(count)
    at = {term.id: drawn(rng, term, count, pace) for term in money.terms}
    cloth = at["price:canvas-a"] * at["length:canvas"] / (1 - at["wash:canvas"]) / 914.4
    hide = at["price:hide-a"] * 0.3 / at["hide:hide"]
    made = (at["minutes:Cut out"] + at["minutes:Sew"]) / 60
    cost, hours = cloth + hide + at["overhead_hour"] * made, made
    if day:
        cost, hours = cost + float(day.fixed.amount) / at["sold"], made + day.minutes / 60 / at["sold"]
    wanted = cost + at["pay"] * hours + at["kept_fixed"] + at["bringing"]
    left = at["price"] / (1 + at["tax"]) - at["kept_share"] * at["price"] - at["kept_fixed"] - at["bringing"] - cost
    found = {
        Total.MATERIALS: cloth + hide,
        Total.MINUTES: 60 * hours,
        Total.COST: cost,
        Total.PAID_PRICE: wanted * (1 + at["tax"]) / (1 - at["kept_share"] * (1 + at["tax"])),
        Total.HOUR: left / hours,
    }
    return {name: tuple(np.quantile(column, (0.05, 0.95))) for name, column in found.items()}


DAY = SharedDay(fixed=usd(55), minutes=420, least=2, likely=5, most=9)


@pytest.mark.parametrize(
    ("ranges", "day"),
    [
        ({}, None),
        ({"pay": (15.0, 24.0), "price": (50.0, 70.0), "kept_share": (0.05, 0.1), "tax": (0.08, 0.08)}, None),
        ({"overhead_hour": (1.0, 4.0), "bringing": (0.5, 3.0)}, DAY),
    ],
    ids=["usual", "her own", "a market day"],
)
def test_ranges_agree_with_monte_carlo(ranges, day):
    money = with_ranges(money_of_bag(World().facts(day=day)), ranges)
    sampled = monte_carlo(money, 400_000, seed=20261126, day=day)
    for one in ranged_totals(money):
        if one.total is not Total.SUPPLIES:
            low, high = sampled[one.total]
            assert (one.low, one.high) == pytest.approx((low, high), abs=0.02 * (high - low)), one.total


def one_line(*terms: Term, effects: tuple[Effect, ...]) -> BagMoney:
    rates = ("pay", "overhead_hour", "kept_share", "kept_fixed", "bringing", "tax", "price")
    none = (Term(id=name, name=name, unit=TermUnit.MONEY, value=0, low=0, high=0) for name in rates)
    line = MoneyLine(kind=PartKind.MATERIAL, name="cloth", amount=10.0, effects=effects)
    return BagMoney(currency="USD", terms=(*terms, *none), lines=(line,), work=(WorkLine(name="sew", minutes=60),))


def ends(money: BagMoney, wanted: Total = Total.COST) -> tuple[float, float]:
    (found,) = [one for one in ranged_totals(money) if one.total is wanted]
    return found.low, found.high


def test_range_of_one_triangle_matches_its_formula():
    # The inverse of the triangular distribution; any textbook of simulation, from memory.
    term = Term(id="x", name="x", unit=TermUnit.SHARE, value=1.0, low=0.5, high=2.0)
    low, high = 0.5 + math.sqrt(0.05 * 1.5 * 0.5), 2.0 - math.sqrt(0.05 * 1.5 * 1.0)
    assert ends(one_line(term, effects=(Effect("x"),))) == pytest.approx((10 * low, 10 * high), abs=1e-3)


def test_range_of_a_bell_is_the_range_of_the_input_itself():
    term = Term(id="x", name="x", unit=TermUnit.MINUTES, value=10.0, low=7.0, high=13.0, spread=Spread.BELL)
    assert ends(one_line(term, effects=(Effect("x"),))) == pytest.approx((7, 13), abs=1e-3)


def test_what_feeds_a_line_twice_moves_it_twice_and_pace_moves_all_work_to_one_side():
    term = Term(id="x", name="x", unit=TermUnit.SHARE, value=2.0, low=1.0, high=3.0)
    low, high = 1 + math.sqrt(0.05 * 2), 3 - math.sqrt(0.05 * 2)
    squared = one_line(term, effects=(Effect("x"), Effect("x")))
    assert ends(squared) == pytest.approx((10 * (low / 2) ** 2, 10 * (high / 2) ** 2), abs=1e-3)
    even = one_line(term, effects=(Effect("x"), Effect("x", Works.SHARED)))
    assert ends(even) == pytest.approx((10, 10))
    # Cutting 20 +/- 6 and sewing 50 +/- 16, off to the same side: 70 +/- 22.
    assert ends(MONEY, Total.MINUTES) == pytest.approx((48, 92), abs=0.01)


def test_no_range_goes_in_and_none_comes_out_and_the_same_seed_gives_the_same():
    exact = with_ranges(MONEY, {term.id: (term.value, term.value) for term in MONEY.terms})
    assert all(one.low == one.value == one.high for one in ranged_totals(exact, draws=64))
    assert ranged_totals(MONEY, draws=512, seed=3) == ranged_totals(MONEY, draws=512, seed=3)
    assert ranged_totals(MONEY, draws=512, seed=3) != ranged_totals(MONEY, draws=512, seed=4)
    with pytest.raises(BrokenPromise):
        ranged_totals(MONEY, draws=1)


def test_the_price_that_pays_her_leaves_her_pay_where_she_has_no_price_in_mind():
    money = money_of_bag(World().facts(asked=None, day=DAY))
    found = {one.total: one.value for one in ranged_totals(money, draws=64)}
    assert found[Total.HOUR] == pytest.approx(18)
    assert found[Total.PAID_PRICE] == pytest.approx(money.term("price").value)


def test_lines_that_leave_something_of_the_price_out_are_refused():
    facts = World().facts()
    more = replace(facts.price, floor=facts.price.floor + usd(1))
    with pytest.raises(BrokenPromise):
        money_of_bag(replace(facts, price=more))


def test_old_prices_and_those_of_the_future_are_problems_at_their_day_and_never_zero():
    facts = World().facts()
    assert list(price_age_problems(facts.purchases, OFFERS, today=TODAY)) == []
    old, ahead = (replace(OFFERS[0], dated=day) for day in (date(2025, 11, 25), date(2026, 11, 27)))
    for offer, words in ((old, "366 days old"), (ahead, "in the future")):
        (problem,) = price_age_problems(facts.purchases, (offer, OFFERS[1]), today=TODAY)
        assert problem.place == "offers[canvas-a].dated"
        assert words in problem.words()
    assert list(price_age_problems(facts.purchases, (old,), today=TODAY, stale_after_days=366)) == []
    unused = [replace(one, needed=0.0) for one in facts.purchases]
    assert list(price_age_problems(unused, (old,), today=TODAY)) == []


@given(st.lists(st.fractions(-100, 1000, max_denominator=997), min_size=1, max_size=12), st.booleans())
def test_property_cents_add_up_and_none_is_off_by_a_cent(amounts, rounded_up):
    exact = 100 * sum(amounts, Fraction(0))
    whole = math.ceil(exact) if rounded_up else math.floor(exact)
    found = cents_that_add_up(amounts, whole)
    assert sum(found) == whole
    assert all(abs(one - 100 * amount) < 1 for one, amount in zip(found, amounts, strict=True))
    with pytest.raises(BrokenPromise):
        cents_that_add_up(amounts, whole + 2)


@settings(max_examples=60)
@given(
    used=st.lists(st.decimals(0, 200, places=6), max_size=5),
    price=st.decimals(0, 900, places=2),
    share=st.decimals(0, Decimal("0.8"), places=4),
    tax=st.decimals(0, Decimal("0.2"), places=4),
    small=st.lists(st.decimals(0, 9, places=2), min_size=3, max_size=3),
    minutes=st.lists(st.floats(0.01, 400), min_size=1, max_size=6),
)
def test_property_every_total_opens_to_parts_that_add_up_to_the_cent(used, price, share, tax, small, minutes):
    purchases = [bought(f"m{at}", used=float(one), needed=1.0, quantity=2.0, unit="mm") for at, one in enumerate(used)]
    steps = [TimeStep(name=f"s{at}", kind=f"k{at % 3}", minutes=one, reckoned="") for at, one in enumerate(minutes)]
    bag = price_bag(plan(*purchases), plan(), steps, run_count=3, workroom=ROOM)
    fixed, bringing, day = (usd(one) for one in small)
    way = WayOfSelling(name="w", kept_share=share, kept_fixed=fixed, delivery=bringing, tax_share=tax)
    asking = Asking(
        floor=bag.floor,
        minutes=bag.minutes,
        hourly_pay=ROOM.hourly_pay,
        margin_share=Decimal(0),
        asked=None,
        ways=(way,),
    )
    split = split_price(Fraction(price), asking, way)
    spending = where_it_goes(bag, steps, split, way=way, day=(day, day))
    assert spending.price.amount == split.price.for_display()
    assert sum(part.amount.amount for part in spending.parts) == spending.price.amount
    for part in spending.parts:
        assert sum(line.amount.amount for line in part.lines) == part.amount.amount
        assert all(line.amount.amount == line.amount.for_display() for line in part.lines)
    told = {part.goes: part.amount.amount for part in spending.parts}
    exact = {Goes.TAX: split.tax, Goes.FEES: split.seller, Goes.BRINGING: split.delivery, Goes.PAY: split.pay}
    exact[Goes.LEFT] = split.rest - day - day
    for goes, amount in exact.items():
        assert abs(told.get(goes, Decimal(0)) - amount.amount) < Decimal("0.01")


def test_costs_of_a_month_shared_by_bags_and_supplies_that_wear_follow_their_counts():
    # 60 a month shared by 12 bags is 5 a bag; half as many bags carry 10. A needle of 0.40 that lasts twice as long
    # costs half.
    month = Overhead(lines=(MonthlyCost("rent", usd(60)),), shared_by=SharedBy.BAGS, bags_a_month=12)
    room = replace(ROOM, overhead=month)
    worn = PricePart(name="needles", amount=usd("0.4"), reckoned="")
    supplies = replace(plan(), used_up=(worn,))
    materials = World().reckoned()[0]
    price = price_bag(materials, supplies, STEPS, run_count=1, workroom=room)
    facts = World().facts(price=price, overhead_hour=usd(0), bags_a_month=12.0, lasting=("needles",))
    money = with_ranges(money_of_bag(facts), {"bags_a_month": (6, 12), "lasts:needles": (1, 2)})
    swings = {one.term.id: one for one in sensitivity(money)}
    assert swings["bags_a_month"].at_low[Total.COST] == pytest.approx(5)
    assert swings["lasts:needles"].at_high[Total.SUPPLIES] == pytest.approx(-0.2)
    assert swings["bags_a_month"].slopes[Total.COST] == pytest.approx(-5 / 12)
