"""Money: an exact decimal amount and its currency."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from bagwright.errors import BrokenPromise

CENT = Decimal("0.01")
_SIGNS = {"USD": "$", "EUR": "€", "GBP": "£"}


@dataclass(frozen=True, slots=True)
class Money:
    """`amount` in `currency` (a three-letter code of ISO 4217). Never rounded except for display.

    >>> Money(Decimal("0.10"), "USD") + Money(Decimal("0.20"), "USD")
    Money(amount=Decimal('0.30'), currency='USD')
    """

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        if not self.amount.is_finite():
            raise BrokenPromise(f"money must be a finite amount, got {self.amount}")

    def __add__(self, other: Money) -> Money:
        return Money(self.amount + self._same(other).amount, self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.amount - self._same(other).amount, self.currency)

    def __lt__(self, other: Money) -> bool:
        return self.amount < self._same(other).amount

    def times(self, factor: Decimal | int | float) -> Money:
        """Scaled by a pure number; a float counts at its shortest decimal form.

        >>> Money(Decimal("12.00"), "EUR").times(1.5)
        Money(amount=Decimal('18.000'), currency='EUR')
        """
        return Money(
            self.amount * (Decimal(repr(float(factor))) if isinstance(factor, float) else factor), self.currency
        )

    def for_display(self) -> Decimal:
        """Rounded to cents, halves away from zero.

        >>> Money(Decimal("2.345"), "EUR").for_display()
        Decimal('2.35')
        """
        return self.amount.quantize(CENT, ROUND_HALF_UP)

    def said(self) -> str:
        """To the cent, with the sign of its currency before it, or else its code after it.

        >>> Money(Decimal("1234.5"), "USD").said(), Money(Decimal("-2"), "CHF").said()
        ('$1,234.50', '−2.00 CHF')
        """
        amount = self.for_display()
        minus, text = ("−" if amount < 0 else ""), f"{abs(amount):,.2f}"
        sign = _SIGNS.get(self.currency)
        return f"{minus}{sign}{text}" if sign else f"{minus}{text} {self.currency}"

    def _same(self, other: Money) -> Money:
        if other.currency != self.currency:
            raise BrokenPromise(f"{self.currency} and {other.currency} cannot be reckoned together")
        return other


def told_rest(paid: Money, used: Money) -> Money:
    """What is left of what was paid, in whole cents, so that the two told shares add up to it.

    >>> told_rest(Money(Decimal("21.54"), "EUR"), Money(Decimal("16.155"), "EUR")).said()
    '€5.38'
    """
    return Money(paid.for_display() - used.for_display(), paid.currency)


def total(amounts: Iterable[Money], currency: str) -> Money:
    """Sum in `currency`; nothing at all is zero.

    >>> total([], "EUR")
    Money(amount=Decimal('0'), currency='EUR')
    """
    result = Money(Decimal(0), currency)
    for amount in amounts:
        result = result + amount
    return result
