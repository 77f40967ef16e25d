"""Buying: what suits, how much is bought, what it costs, and what is said when nothing suits."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.costing.buying import buy_continuous, buy_materials
from bagwright.costing.offers import DoesNotSuit, quote_offer
from bagwright.errors import BrokenPromise, FaultyInput
from bagwright.model.cost import Need, Purchase
from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece, PriceBreak
from bagwright.model.money import Money, total
from bagwright.units import MM_PER_YARD, UnitSystem

DAY = date(2026, 3, 1)


def usd(amount: str | Decimal) -> Money:
    return Money(Decimal(amount), "USD")


def bolt(
    price: str = "12.00", width_mm: float = 1117.6, *, key: str = "bolt", step_mm: float = MM_PER_YARD / 8
) -> OfferByLength:
    return OfferByLength(
        id=key,
        material_id="m",
        seller="Mill",
        price=usd(price),
        dated=DAY,
        width_mm=width_mm,
        priced_per_mm=MM_PER_YARD,
        step_mm=step_mm,
    )


def pack(price: str = "2.00", pack_count: int = 4, *, key: str = "pack", each_m: float | None = None) -> OfferByCount:
    return OfferByCount(
        id=key,
        material_id="m",
        seller="Stall",
        price=usd(price),
        dated=DAY,
        pack_count=pack_count,
        length_each_m=each_m,
    )


def quarter(price: str = "3.50", *, key: str = "quarter") -> OfferByPiece:
    return OfferByPiece(
        id=key, material_id="m", seller="Stall", price=usd(price), dated=DAY, width_mm=457.2, length_mm=558.8
    )


def hide(price: str = "60.00") -> OfferByArea:
    return OfferByArea(
        id="hide",
        material_id="m",
        seller="Tannery",
        price=usd(price),
        dated=DAY,
        usual_area_m2=2.0,
        usual_width_mm=1200,
    )


def sheet(*lengths: tuple[float, float], area_mm2: float = 0.0) -> Need:
    return Need(material_id="m", name="canvas", lengths_mm_by_width=lengths, area_mm2=area_mm2)


def only(need: Need, *offers: Offer) -> Purchase:
    (purchase,) = buy_materials([need], offers, currency="USD").purchases
    return purchase


def test_a_layout_is_bought_up_to_the_next_eighth_of_a_yard():
    # 500 mm at 1/8 yd (114.3 mm) = 4.37 steps -> 5 steps = 0.625 yd at 12.00.
    bought = only(sheet((1117.6, 500)), bolt())
    assert (bought.needed, bought.quantity, bought.quantity_unit, bought.width_mm) == (500, 571.5, "mm", 1117.6)
    assert bought.paid == usd("7.50")
    assert bought.used == usd("6.561680")
    assert bought.left == usd("0.938320")


def test_noise_of_the_geometry_buys_no_further_step():
    assert only(sheet((1117.6, MM_PER_YARD + 1e-9)), bolt()).quantity == MM_PER_YARD


def test_three_steps_of_a_third_of_a_yard_cost_exactly_a_yard():
    bought = only(sheet((1117.6, 900)), bolt("10.10", step_mm=304.8))
    assert (bought.quantity, bought.paid) == (914.4, usd("10.10"))


def test_the_wider_cloth_wins_where_its_layout_is_that_much_shorter():
    need = sheet((1117.6, 900), (1473.2, 500))
    narrow, wide = bolt("10.00"), bolt("14.00", 1473.2, key="wide")
    assert only(need, narrow, wide).offer_id == "wide"  # 0.625 yd x 14 = 8.75 against 1 yd x 10
    assert only(sheet((1117.6, 900), (1473.2, 800)), narrow, wide).offer_id == "bolt"


def test_of_two_that_cost_the_same_the_one_that_leaves_less_is_bought():
    whole, finer = bolt("4.00", step_mm=MM_PER_YARD, key="a"), bolt("8.00", step_mm=MM_PER_YARD / 2, key="b")
    assert only(sheet((1117.6, 450)), whole, finer).offer_id == "b"


def test_a_price_break_is_bought_into_where_that_costs_less():
    cheaper = replace(pack("2.00", 1), price_breaks=(PriceBreak(from_quantity=10, price=usd("1.50")),))
    need = Need(material_id="m", name="snaps", count=8)
    bought = only(need, cheaper)
    assert (bought.quantity, bought.paid, bought.used) == (10, usd("15.00"), usd("12.00"))
    assert only(replace(need, count=7), cheaper).quantity == 7


def test_the_last_break_reached_is_the_one_that_holds():
    breaks = (PriceBreak(from_quantity=5, price=usd("1.80")), PriceBreak(from_quantity=2, price=usd("1.90")))
    offer = replace(bolt("2.00", step_mm=MM_PER_YARD), price_breaks=breaks)
    assert only(sheet((1117.6, 3 * MM_PER_YARD)), offer).paid == usd("5.70")
    assert only(sheet((1117.6, 6 * MM_PER_YARD)), offer).paid == usd("10.80")


def test_a_piece_is_bought_only_if_it_holds_the_whole_layout():
    fits = only(sheet((457.2, 419.1)), quarter())
    assert (fits.quantity, fits.quantity_unit, fits.needed) == (1, "pieces", 0.75)
    assert (fits.paid, fits.used) == (usd("3.50"), usd("2.625"))
    refused = quote_offer(sheet((457.2, 700)), quarter())
    assert refused == DoesNotSuit("sells it 22 in long, and 27 9/16 in are needed in one go")


def test_a_hide_is_sold_whole_and_a_quarter_of_it_is_waste():
    bought = only(sheet(area_mm2=1_200_000), hide())  # 1.2 / 0.75 = 1.6 m2 of one hide of 2 m2
    assert (bought.needed, bought.quantity, bought.quantity_unit) == (1.6, 2.0, "m2")
    assert (bought.paid, bought.used, bought.left) == (usd("120"), usd("96"), usd("24"))
    assert only(sheet(area_mm2=1_600_000), hide()).paid == usd("240")


def test_hardware_is_bought_by_the_pack():
    bought = only(Need(material_id="m", name="rings", count=10), pack())
    assert (bought.needed, bought.quantity, bought.paid, bought.used) == (2.5, 3, usd("6"), usd("5"))


def test_webbing_comes_off_one_roll_while_thread_may_go_on_to_the_next():
    roll, need = pack("5.00", 1, each_m=5), Need(material_id="m", name="webbing", length_mm=6000)
    with pytest.raises(FaultyInput):
        buy_materials([need], [roll], currency="USD")
    thread = buy_continuous(need, [roll], currency="USD")
    assert (thread.paid, thread.used, thread.left) == (usd("10"), usd("6"), usd("4"))


def test_nothing_needed_is_nothing_bought():
    empty = Need(material_id="m", name="rings", count=0)
    plan = buy_materials([empty, replace(empty, count=None, length_mm=0.0), sheet((1117.6, 0.0))], [], currency="USD")
    assert (plan.purchases, plan.paid) == ((), usd("0"))


@pytest.mark.parametrize(
    ("need", "offer", "part"),
    [
        (sheet((1117.6, 500)), bolt(width_mm=300), "the pieces do not fit on that"),
        (sheet((1117.6, 500)), bolt(width_mm=0), "names no width"),
        (sheet((1117.6, 500)), pack(), "by count, and pieces have to be cut"),
        (sheet((1117.6, 500)), hide(), "no area of pieces is known"),
        (Need(material_id="m", name="rings", count=2), bolt(), "sells it by length"),
        (Need(material_id="m", name="rings", count=2), hide(), "no area of pieces is known"),
        (Need(material_id="m", name="webbing", length_mm=900.0), pack(), "does not say how long each is"),
        (Need(material_id="m", name="webbing", length_mm=900.0), hide(), "no area of pieces is known"),
        (Need(material_id="m", name="webbing", length_mm=900.0), quarter(), "22 in long, and 35 7/16 in are needed"),
    ],
)
def test_buying_rejects_a_need_that_no_offer_suits_and_says_why(need, offer, part):
    with pytest.raises(FaultyInput) as refused:
        buy_materials([need], [offer], currency="USD")
    (problem,) = refused.value.problems
    assert problem.place == "materials[m].offers"
    assert offer.seller in problem.what
    assert part in problem.what
    assert problem.value == need.name


def test_a_reason_speaks_the_units_of_the_workroom():
    refused = quote_offer(sheet((457.2, 700)), quarter(), units=UnitSystem.METRIC)
    assert refused == DoesNotSuit("sells it 55.9 cm long, and 70.0 cm are needed in one go")


def test_buying_rejects_with_all_faults_at_once():
    euros = replace(bolt(), price=Money(Decimal(9), "EUR"))
    crooked = replace(bolt(key="crooked"), step_mm=0.0, price=usd("-1"))
    lining = Need(material_id="lining", name="lining", lengths_mm_by_width=((1117.6, 500.0),))
    with pytest.raises(FaultyInput) as refused:
        buy_materials([sheet((1117.6, 500)), lining], [euros, crooked], currency="USD")
    assert [problem.place for problem in refused.value.problems] == [
        "offers[bolt].price",
        "offers[crooked].step_mm",
        "offers[crooked].price",
        "materials[lining].offers",
    ]


def test_buying_rejects_a_price_break_in_other_money():
    offer = replace(pack(), price_breaks=(PriceBreak(from_quantity=5, price=Money(Decimal(1), "EUR")),))
    with pytest.raises(FaultyInput, match="EUR"):
        buy_materials([Need(material_id="m", name="rings", count=2)], [offer], currency="USD")


@pytest.mark.parametrize(
    "need",
    [
        Need(material_id="m", name="x", length_mm=1.0, count=1),
        Need(material_id="m", name="x", length_mm=-1.0),
        Need(material_id="m", name="x", length_mm=math.inf),
        sheet((1117.6, 500), (1117.6, 501)),
    ],
)
def test_buying_rejects_a_need_that_contradicts_itself(need):
    with pytest.raises(BrokenPromise):
        buy_materials([need], [bolt()], currency="USD")


prices = st.decimals("0.01", "200", places=2).map(usd)
lengths_mm = st.floats(0.01, 50_000)
steps_mm = st.sampled_from([1.0, 10.0, 50.0, 100.0, MM_PER_YARD / 8, MM_PER_YARD / 3, MM_PER_YARD])
WIDTHS_MM = (900.0, 1117.6, 1473.2)


@st.composite
def price_breaks(draw: st.DrawFn) -> tuple[PriceBreak, ...]:
    starts = draw(st.lists(st.integers(2, 40), max_size=3, unique=True))
    return tuple(PriceBreak(from_quantity=start, price=draw(prices)) for start in starts)


@st.composite
def bolts(draw: st.DrawFn, *, with_breaks: bool = True) -> OfferByLength:
    offer = replace(bolt(), price=draw(prices), step_mm=draw(steps_mm), width_mm=draw(st.sampled_from(WIDTHS_MM)))
    return replace(offer, price_breaks=draw(price_breaks())) if with_breaks else offer


@st.composite
def packs(draw: st.DrawFn) -> OfferByCount:
    return replace(pack(pack_count=draw(st.integers(1, 50))), price=draw(prices), price_breaks=draw(price_breaks()))


@given(bolts(), lengths_mm)
def test_property_paid_covers_used_and_left_is_the_exact_rest(offer, length_mm):
    bought = only(sheet((offer.width_mm, length_mm)), offer)
    assert bought.paid.amount >= bought.used.amount >= 0
    assert bought.left == bought.paid - bought.used
    assert bought.left + bought.used == bought.paid
    assert bought.quantity >= bought.needed - 0.0005
    assert abs(bought.used.amount - bought.paid.amount * Decimal(bought.needed / bought.quantity)) < Decimal("0.00001")


@given(bolts(with_breaks=False), lengths_mm, lengths_mm)
def test_property_more_never_costs_less_without_price_breaks(offer, one_mm, other_mm):
    less, more = sorted((one_mm, other_mm))
    paid = [only(sheet((offer.width_mm, length)), offer).paid.amount for length in (less, more)]
    assert paid[0] <= paid[1]


@given(bolts(), lengths_mm, lengths_mm)
def test_property_more_never_costs_less_with_price_breaks_either(offer, one_mm, other_mm):
    """For whoever needs less may buy as much as whoever needs more."""
    less, more = sorted((one_mm, other_mm))
    paid = [only(sheet((offer.width_mm, length)), offer).paid.amount for length in (less, more)]
    assert paid[0] <= paid[1]


def till(offer: OfferByLength, steps: int) -> Fraction:
    """What the counter asks for so many steps, written without looking at the code under test."""
    bought_units = steps * Fraction(str(round(offer.step_mm, 3))) / Fraction("914.4")
    rate = offer.price.amount
    for one in sorted(offer.price_breaks, key=lambda one: one.from_quantity):
        if bought_units >= one.from_quantity:
            rate = one.price.amount
    return Fraction(rate) * bought_units


@given(st.lists(bolts(), min_size=1, max_size=4), st.lists(st.floats(1, 3000), min_size=3, max_size=3))
def test_cheapest_agrees_with_brute_force(offers, three_lengths_mm):
    offers = [replace(offer, id=str(number), step_mm=max(offer.step_mm, 50.0)) for number, offer in enumerate(offers)]
    lengths = dict(zip(WIDTHS_MM, three_lengths_mm, strict=True))
    bought = only(sheet(*lengths.items()), *offers)
    furthest_mm = 45 * MM_PER_YARD  # beyond the last price break
    every_way = [
        till(offer, steps)
        for offer in offers
        for steps in range(1, math.ceil(furthest_mm / offer.step_mm) + 1)
        if steps * offer.step_mm >= lengths[offer.width_mm] - 0.0005
    ]
    least = Decimal(min(every_way).numerator) / min(every_way).denominator
    assert bought.paid.amount == least.quantize(Decimal("0.000001")).quantize(Decimal("0.01"), ROUND_HALF_UP)


@given(packs(), st.integers(1, 500))
def test_packs_agree_with_brute_force(offer, count):
    bought = only(Need(material_id="m", name="rings", count=count), offer)

    def asked(number: int) -> Decimal:
        rates = [(0, offer.price), *((one.from_quantity, one.price) for one in offer.price_breaks)]
        return number * max((rate for rate in rates if rate[0] <= number), key=lambda rate: rate[0])[1].amount

    assert bought.paid.amount == min(asked(number) for number in range(-(-count // offer.pack_count), 600))
    assert bought.quantity * offer.pack_count >= count


@given(st.lists(bolts(), min_size=1, max_size=4), st.lists(lengths_mm, min_size=1, max_size=3))
def test_property_the_plan_is_the_sum_of_its_purchases(offers, lengths):
    needs = [
        Need(material_id=str(number), name="cloth", lengths_mm_by_width=tuple((width, length) for width in WIDTHS_MM))
        for number, length in enumerate(lengths)
    ]
    own = [replace(offer, material_id=need.material_id) for need in needs for offer in offers]
    plan = buy_materials(needs, own, currency="USD")
    assert [one.material_id for one in plan.purchases] == [need.material_id for need in needs]
    for name in ("paid", "used", "left"):
        assert getattr(plan, name) == total((getattr(one, name) for one in plan.purchases), "USD")
    assert plan.used + plan.left == plan.paid
