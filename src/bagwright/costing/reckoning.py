"""Exact numbers between the maker's measures and money: fractions while reckoning, one rounding at the end."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from bagwright.errors import BrokenPromise
from bagwright.model.money import Money

MONEY_PLACES = 6
"""Shares of money are worked out to a millionth of the currency: far below any coin, and sums stay exact."""


def exact(number: float | Decimal) -> Fraction:
    """The number as it is written in decimals, free of binary noise.

    >>> exact(0.1) == Fraction(1, 10), Fraction(0.1) == Fraction(1, 10)
    (True, False)
    """
    if not math.isfinite(number):
        raise BrokenPromise(f"a finite number was expected, got {number}")
    return Fraction(number) if isinstance(number, Decimal) else Fraction(repr(float(number)))


def exact_mm(length_mm: float) -> Fraction:
    """A length to the nearest 0.001 mm, so that noise of the geometry never buys another step of cloth.

    >>> exact_mm(914.4000000001)
    Fraction(4572, 5)
    """
    return Fraction(round(exact(length_mm) * 1000), 1000)


def exact_mm2(area_mm2: float) -> Fraction:
    """An area to the nearest 0.001 mm2, so that noise of the geometry never buys another hide.

    >>> exact_mm2(1254191.0400000003)
    Fraction(31354776, 25)
    """
    return Fraction(round(exact(area_mm2) * 1000), 1000)


def exact_money(amount: Fraction, currency: str) -> Money:
    """An amount to the nearest millionth of the currency, halves to even.

    >>> exact_money(Fraction(2, 3), "USD")
    Money(amount=Decimal('0.666667'), currency='USD')
    """
    return Money(Decimal(round(amount * 10**MONEY_PLACES)).scaleb(-MONEY_PLACES), currency)
