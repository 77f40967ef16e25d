"""Ways of selling: the parts of a price, backwards and forwards, and the market day."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.costing.asking import bags_to_even, ways_to_ask
from bagwright.errors import FaultyInput
from bagwright.model.asking import Asking, DayCount, MarketDay, WayOfSelling
from bagwright.model.money import Money


def usd(amount: object) -> Money:
    return Money(Decimal(str(amount)), "USD")


WAY = WayOfSelling(name="stall", kept_share=Decimal(0), kept_fixed=usd(0), delivery=usd(0))
ASKING = Asking(floor=usd(14), minutes=90.0, hourly_pay=usd(18), margin_share=Decimal("0.2"), asked=None, ways=(WAY,))


def way(**given: Any) -> WayOfSelling:
    return replace(WAY, **given)


def asking(*ways: WayOfSelling, **given: Any) -> Asking:
    return replace(ASKING, ways=ways or (WAY,), **given)


cents = st.decimals(0, 500, places=2).map(usd)
shares = st.decimals(0, Decimal("0.7"), places=3)
ways = st.builds(
    way, kept_share=shares, kept_fixed=cents, delivery=cents, tax_share=st.decimals(0, Decimal("0.3"), places=3)
)
questions = st.builds(
    asking,
    ways,
    floor=cents,
    minutes=st.floats(1, 3000),
    hourly_pay=cents,
    margin_share=st.decimals(0, Decimal("0.9"), places=2),
    asked=cents,
)


@given(questions)
def test_parts_of_every_price_add_up_exactly_property(question):
    (answer,) = ways_to_ask(question)
    for split in (answer.at_floor, answer.paid, answer.at_margin, answer.asked):
        if split:
            parts = (split.tax, split.seller, split.delivery, split.floor, split.pay, split.rest)
            assert sum(part.amount for part in parts) == split.price.amount


@given(questions)
def test_each_price_leaves_what_it_is_named_for_property(question):
    (answer,) = ways_to_ask(question)
    a_little = Decimal("0.00001")
    assert abs(answer.at_floor.hourly_pay.amount) * Decimal(question.minutes) / 60 < a_little
    assert abs(answer.paid.rest.amount) < a_little
    if answer.at_margin:
        net = answer.at_margin.price.amount - answer.at_margin.tax.amount
        assert abs(answer.at_margin.rest.amount - net * question.margin_share) < a_little
        assert answer.at_margin.price.amount >= answer.paid.price.amount


@given(st.integers(0, 10**6), st.integers(-100, 1000))
def test_market_day_property_is_the_first_number_that_does(fixed, left):
    count = bags_to_even(Fraction(fixed), Fraction(left))
    if count is None:
        assert fixed > 0 >= left
    else:
        assert count * left >= fixed
        assert count == 0 or (count - 1) * left < fixed


def test_day_at_the_asked_price_pays_the_day_then_the_hours():
    # By hand: at 50, 14 of cost leave 36 a bag, 9 when its own hour and a half is paid. 60 for the stall: 2 bags.
    # 60 and 4 h at 18 = 132: 15 bags at 9.
    (answer,) = ways_to_ask(asking(asked=usd(50), day=MarketDay(fixed=usd(60), minutes=240)))
    assert answer.day == DayCount(to_even=2, to_pay=15)
    (never,) = ways_to_ask(asking(asked=usd(14), day=MarketDay(fixed=usd(60), minutes=0)))
    assert never.day == DayCount(to_even=None, to_pay=None)


def test_margin_that_the_seller_leaves_no_room_for_has_no_price():
    (answer,) = ways_to_ask(asking(way(kept_share=Decimal("0.5")), margin_share=Decimal("0.5")))
    assert answer.at_margin is None
    assert answer.paid.price == usd("82.000000")


@pytest.mark.parametrize(
    ("question", "place"),
    [
        (asking(minutes=0.0), "minutes"),
        (asking(minutes=float("nan")), "minutes"),
        (asking(margin_share=Decimal(1)), "margin_share"),
        (replace(asking(), ways=()), "ways"),
        (asking(floor=usd(-1)), "floor"),
        (asking(hourly_pay=Money(Decimal(18), "EUR")), "hourly_pay"),
        (asking(day=MarketDay(fixed=usd(-1), minutes=0)), "day.fixed"),
        (asking(day=MarketDay(fixed=usd(1), minutes=-1)), "day.minutes"),
        (asking(way(), way(kept_share=Decimal(1))), "ways[1].kept_share"),
        (asking(way(kept_share=Decimal("0.9"), tax_share=Decimal("0.2"))), "ways[0].kept_share"),
        (asking(way(tax_share=Decimal("-0.1"))), "ways[0].tax_share"),
    ],
)
def test_rejects_what_cannot_be_with_its_place(question, place):
    with pytest.raises(FaultyInput) as fault:
        ways_to_ask(question)
    assert [problem.place for problem in fault.value.problems] == [place]
