"""Money: exact, in one currency, rounded only to be shown."""

from __future__ import annotations

import itertools
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise
from bagwright.model.money import Money, total

AMOUNTS = st.decimals("-1000000", "1000000", places=4)


def _usd(amount: Decimal | str) -> Money:
    return Money(Decimal(amount), "USD")


@given(st.lists(AMOUNTS, max_size=30))
def test_total_agrees_with_fractions(amounts):
    # Second method: rational numbers, which never round.
    added = total([_usd(amount) for amount in amounts], "USD")
    assert Fraction(added.amount) == sum(map(Fraction, amounts), Fraction(0))
    assert added.currency == "USD"


def test_ten_dimes_make_a_dollar():
    # In binary floating point they do not.
    assert sum(itertools.repeat(0.1, 10)) != 1.0
    assert total([_usd("0.10")] * 10, "USD") == _usd("1.00")


@given(AMOUNTS, AMOUNTS)
def test_property_adding_and_taking_away_undo_each_other(one, other):
    assert _usd(one) + _usd(other) - _usd(other) == _usd(one)
    assert _usd(one) + _usd(other) == _usd(other) + _usd(one)
    assert (_usd(one) < _usd(other)) == (one < other)


@given(AMOUNTS, st.integers(0, 1000))
def test_property_times_a_count_is_repeated_addition(amount, count):
    assert Fraction(_usd(amount).times(count).amount) == Fraction(amount) * count


@pytest.mark.parametrize(
    ("amount", "factor", "product"),
    [("12.00", 1.5, "18"), ("0.10", 3, "0.30"), ("19.99", Decimal("0.05"), "0.9995"), ("0.1", 0.1, "0.01")],
)
def test_times_takes_a_float_at_its_shortest_decimal(amount, factor, product):
    assert _usd(amount).times(factor).amount == Decimal(product)


@pytest.mark.parametrize(
    ("amount", "shown"),
    [("2.345", "2.35"), ("2.344999", "2.34"), ("-2.345", "-2.35"), ("0.005", "0.01"), ("3", "3.00"), ("0", "0.00")],
)
def test_display_rounds_halves_away_from_zero(amount, shown):
    money = _usd(amount)
    assert str(money.for_display()) == shown
    assert money.amount == Decimal(amount)


@pytest.mark.parametrize(
    ("money", "text"),
    [
        (Money(Decimal("1234.5"), "USD"), "$1,234.50"),
        (Money(Decimal("0.5"), "EUR"), "€0.50"),
        (Money(Decimal("-7"), "GBP"), "−£7.00"),
        (Money(Decimal("-2"), "CHF"), "−2.00 CHF"),
        (Money(Decimal("-0.001"), "USD"), "$0.00"),
    ],
)
def test_money_is_said_with_its_currency(money, text):
    assert money.said() == text


def test_rejects_two_currencies_in_one_sum():
    dollars, euros = _usd("1"), Money(Decimal(1), "EUR")
    for mix in (lambda: dollars + euros, lambda: dollars - euros, lambda: dollars < euros):
        with pytest.raises(BrokenPromise, match="USD and EUR"):
            mix()
    with pytest.raises(BrokenPromise):
        total([dollars, euros], "USD")
    with pytest.raises(BrokenPromise):
        total([euros], "USD")


@pytest.mark.parametrize("amount", ["NaN", "sNaN", "Infinity", "-Infinity"])
def test_rejects_amounts_that_are_not_finite(amount):
    with pytest.raises(BrokenPromise):
        _usd(amount)


@pytest.mark.parametrize("factor", [float("nan"), float("inf")])
def test_rejects_factors_that_are_not_finite(factor):
    with pytest.raises(BrokenPromise):
        _usd("1").times(factor)
