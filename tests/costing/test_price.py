"""Price: forwards, backwards, and always exactly the sum of its parts."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.costing.asking import ways_to_ask
from bagwright.costing.price import price_bag
from bagwright.errors import BrokenPromise, FaultyInput
from bagwright.model.asking import Asking, WayOfSelling
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, Purchase, TimeStep
from bagwright.model.money import Money, total

A_MILLIONTH = Decimal("0.000001")


def usd(amount: str | Decimal | int) -> Money:
    return Money(Decimal(amount), "USD")


def plan(*used: Money, paid: Money | None = None) -> BuyingPlan:
    purchases = tuple(
        Purchase(
            material_id=str(number),
            name=f"material {number}",
            offer_id="o",
            seller="Mill",
            quantity_unit="mm",
            needed=1.0,
            quantity=1.0,
            width_mm=0.0,
            paid=paid or one,
            used=one,
            left=(paid or one) - one,
        )
        for number, one in enumerate(used)
    )
    return BuyingPlan(
        purchases=purchases,
        paid=total((one.paid for one in purchases), "USD"),
        used=total(used, "USD"),
        left=total((one.left for one in purchases), "USD"),
    )


def work(minutes: float) -> tuple[TimeStep, ...]:
    return (TimeStep(name="all of it", minutes=minutes, reckoned=""),)


WORKROOM = Workroom(
    hourly_pay=usd(18),
    overhead_per_hour=usd(2),
    selling_fee_share=Decimal("0.05"),
    selling_fee_fixed=usd("0.30"),
)


def test_a_bag_worked_by_hand():
    # Run of 2, 1 h 30 min a bag: materials 24/2 = 12, thread 1/2 = 0.50, overhead 3, pay 27, fixed fee 0.30:
    # 42.80 / 0.95 = 45.052632.
    price = price_bag(plan(usd(20), usd(4)), plan(usd(1)), work(90), run_count=2, workroom=WORKROOM)
    assert (price.materials, price.supplies, price.overhead, price.pay) == (usd(12), usd("0.5"), usd(3), usd(27))
    assert (price.floor, price.paid_price, price.fees) == (usd("15.5"), usd("45.052632"), usd("2.552632"))
    assert [part.name for part in price.parts] == [
        "material 0",
        "material 1",
        "material 0",
        "Overhead",
        "Your pay",
        "Selling fees",
    ]
    assert price.parts[0].reckoned == "$20.00 used of $20.00 paid, for 2 bags"
    assert price.parts[-2].reckoned == "1 h 30 min at $18.00 an hour"
    assert price.parts[-1].reckoned == "5 % of the price and $0.30"


def hourly_pay_at(asked, price, workroom):
    """What she earns an hour at a price, sold as the workroom says."""
    way = WayOfSelling(
        name="a sale",
        kept_share=workroom.selling_fee_share,
        kept_fixed=workroom.selling_fee_fixed,
        delivery=usd(0),
    )
    asking = Asking(
        floor=price.floor,
        minutes=price.minutes,
        hourly_pay=workroom.hourly_pay,
        margin_share=Decimal(0),
        asked=asked,
        ways=(way,),
    )
    (answer,) = ways_to_ask(asking)
    assert answer.asked
    return answer.asked.hourly_pay


def test_backwards_by_hand():
    # At 40.00: kept 40 x 0.95 - 0.30 = 37.70, less the floor 15.50 = 22.20 for 1.5 h = 14.80 an hour.
    price = price_bag(plan(usd(20), usd(4)), plan(usd(1)), work(90), run_count=2, workroom=WORKROOM)
    assert hourly_pay_at(usd(40), price, WORKROOM) == usd("14.80")
    assert hourly_pay_at(usd(10), price, WORKROOM) == usd("-4.20")


amounts = st.decimals("0", "500", places=6).map(usd)
shares = st.decimals("0", "0.95", places=4)
minutes_of_work = st.floats(0.1, 3000)


@st.composite
def workrooms(draw: st.DrawFn) -> Workroom:
    return replace(
        WORKROOM,
        hourly_pay=draw(amounts),
        overhead_per_hour=draw(amounts),
        selling_fee_share=draw(shares),
        selling_fee_fixed=draw(amounts),
    )


@given(st.lists(amounts, max_size=5), amounts, minutes_of_work, st.integers(1, 100), workrooms())
def test_property_parts_add_up_to_the_price(used, thread, minutes, run_count, workroom):
    price = price_bag(plan(*used), plan(thread), work(minutes), run_count=run_count, workroom=workroom)
    assert total((part.amount for part in price.parts), "USD") == price.paid_price
    assert price.floor == price.materials + price.supplies + price.overhead
    assert price.paid_price == price.floor + price.pay + price.fees


@given(st.lists(amounts, max_size=5), minutes_of_work, workrooms())
def test_property_the_fees_are_what_the_sale_costs(used, minutes, workroom):
    price = price_bag(plan(*used), plan(), work(minutes), run_count=1, workroom=workroom)
    asked = price.paid_price.amount * workroom.selling_fee_share + workroom.selling_fee_fixed.amount
    assert abs(price.fees.amount - asked) <= A_MILLIONTH


@given(st.lists(amounts, max_size=5), minutes_of_work, st.integers(1, 100), workrooms())
def test_property_the_paid_price_pays_her_rate(used, minutes, run_count, workroom):
    price = price_bag(plan(*used), plan(), work(minutes), run_count=run_count, workroom=workroom)
    hourly = hourly_pay_at(price.paid_price, price, workroom)
    # Half a millionth in the price and in the pay, each spread over the hours.
    assert abs(hourly.amount - workroom.hourly_pay.amount) <= 2 * A_MILLIONTH * Decimal(max(1.0, 60 / minutes))


@given(amounts, minutes_of_work, workrooms())
def test_limit_without_fees_the_price_is_floor_and_pay(used, minutes, workroom):
    free = replace(workroom, selling_fee_share=Decimal(0), selling_fee_fixed=usd(0))
    price = price_bag(plan(used), plan(), work(minutes), run_count=1, workroom=free)
    assert (price.paid_price, price.fees) == (price.floor + price.pay, usd(0))


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"selling_fee_share": Decimal(1)}, "selling_fee_share"),
        ({"selling_fee_share": Decimal("-0.01")}, "selling_fee_share"),
        ({"selling_fee_share": Decimal("NaN")}, "selling_fee_share"),
        ({"hourly_pay": Money(Decimal(18), "EUR")}, "hourly_pay"),
        ({"overhead_per_hour": usd(-1)}, "overhead_per_hour"),
        ({"selling_fee_fixed": Money(Decimal(0), "EUR")}, "selling_fee_fixed"),
    ],
)
def test_pricing_rejects_faulty_settings(change, place):
    with pytest.raises(FaultyInput) as refused:
        price_bag(plan(usd(1)), plan(), work(60), run_count=1, workroom=replace(WORKROOM, **change))
    assert [problem.place for problem in refused.value.problems] == [place]


def test_pricing_rejects_all_faulty_settings_at_once():
    workroom = replace(WORKROOM, selling_fee_share=Decimal(2), hourly_pay=usd(-1), currency="EUR")
    with pytest.raises(FaultyInput) as refused:
        price_bag(plan(usd(1)), plan(), work(60), run_count=1, workroom=workroom)
    assert [problem.place for problem in refused.value.problems] == [
        "selling_fee_share",
        "hourly_pay",
        "hourly_pay",
        "overhead_per_hour",
        "selling_fee_fixed",
        "price",
        "price",
    ]


def test_pricing_rejects_an_empty_run():
    with pytest.raises(BrokenPromise):
        price_bag(plan(), plan(), work(60), run_count=0, workroom=WORKROOM)
