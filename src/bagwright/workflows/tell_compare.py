"""`bagwright compare`: two prices of a bag, line by line."""

from __future__ import annotations

from datetime import date

from pydantic import Field

from bagwright.costing.quotes import compare_quotes
from bagwright.model.money import Money, total
from bagwright.model.quote import Quote, QuoteChange, QuotePart
from bagwright.units import UnitSystem, print_minutes
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.shelf_words import Amount, money_from


class QuotePartWords(Contract):
    """One line of a price."""

    name: str = Field(min_length=1, max_length=200, description="what it is for, 1 to 200 characters")
    amount: Amount


class QuoteWords(Contract):
    """One price."""

    floor: Amount = "0"
    minutes: float = Field(default=0, ge=0, le=100_000, description="minutes of work on one bag, 0 to 100000")
    parts: list[QuotePartWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 lines")


class CompareWords(Contract):
    """What `bagwright compare` reads."""

    currency: str = Field(default="USD", pattern="^[A-Z]{3}$", description="three-letter currency code, such as USD")
    before: QuoteWords = Field(description="the earlier price")
    after: QuoteWords = Field(description="the later price")


def compare_of_file(text: bytes) -> QuoteChange:
    """What changed between the prices in JSON `text`. Raises `FaultyInput` with every fault."""
    words = read_contract(text, CompareWords)
    return compare_quotes(_quote(words.before, words.currency), _quote(words.after, words.currency))


def _quote(words: QuoteWords, currency: str) -> Quote:
    parts = tuple(QuotePart(one.name, money_from(one.amount, currency, place="amount")) for one in words.parts)
    return Quote(
        id="",
        bag_id="",
        bag_name="",
        bag_version=0,
        number=1,
        dated=date.min,
        run_count=1,
        parts=parts,
        floor=money_from(words.floor, currency, place="floor"),
        paid_price=total((part.amount for part in parts), currency),
        minutes=words.minutes,
    )


def compare_as_json(change: QuoteChange) -> dict[str, object]:
    """The answer of `bagwright compare`; money as text to the cent."""
    return {
        "currency": change.more.currency,
        "more": _cents(change.more),
        "floor_more": _cents(change.floor_more),
        "minutes_more": round(change.minutes_more, 6),
        "parts": [
            {
                "name": part.name,
                "before": part.before and _cents(part.before),
                "after": part.after and _cents(part.after),
                "more": _cents(part.more),
            }
            for part in change.parts
        ],
    }


def _cents(money: Money) -> str:
    return str(money.for_display())


def compare_in_words(change: QuoteChange, _units: UnitSystem) -> str:
    """The answer for the maker."""
    lines = [change_in_words(change)]
    lines += [f"  {part.name}: {more_words(part.more)}" for part in change.parts if part.more.amount]
    return "\n".join(lines)


def change_in_words(change: QuoteChange) -> str:
    """Price and time in a sentence."""
    price = f"One bag asks {more_words(change.more)}" if change.more.amount else "One bag asks the same"
    minutes = print_minutes(abs(change.minutes_more))
    if abs(change.minutes_more) < 0.5:
        return f"{price} and takes as long."
    return f"{price} and takes {minutes} {'longer' if change.minutes_more > 0 else 'less'}."


def more_words(more: Money) -> str:
    """A difference in words.

    >>> from decimal import Decimal
    >>> more_words(Money(Decimal("-2.5"), "USD")), more_words(Money(Decimal(0), "USD"))
    ('$2.50 less', 'the same')
    """
    if not more.for_display():
        return "the same"
    said = Money(abs(more.amount), more.currency).said()
    return f"{said} {'more' if more.amount > 0 else 'less'}"
