"""Two prices of a bag, line by line."""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.errors import FaultyInput, Problem
from bagwright.model.money import Money, total
from bagwright.model.quote import PartChange, Quote, QuoteChange


def compare_quotes(before: Quote, after: Quote) -> QuoteChange:
    """What changed, lines in their order, those that only the later has last. Lines of one name are taken together.

    Raises `FaultyInput` if they are in different money.
    """
    currency = before.paid_price.currency
    if after.paid_price.currency != currency:
        what, allowed = f"is in other money than the first, {currency}", f"a quote in {currency}"
        given = after.paid_price.currency
        raise FaultyInput(
            [Problem(place="after", value=given, what=what, allowed=allowed, remedy="Compare quotes in one money.")]
        )
    old, new = _by_name(before), _by_name(after)
    none = total((), currency)
    parts = tuple(
        PartChange(name, old.get(name), new.get(name), new.get(name, none) - old.get(name, none))
        for name in dict.fromkeys((*old, *new))
    )
    assumed_before, assumed_after = dict(before.assumed), dict(after.assumed)
    return QuoteChange(
        parts=parts,
        more=after.paid_price - before.paid_price,
        floor_more=after.floor - before.floor,
        minutes_more=after.minutes - before.minutes,
        assumed=tuple(
            (what, assumed_before.get(what, ""), assumed_after.get(what, ""))
            for what in dict.fromkeys((*assumed_before, *assumed_after))
            if assumed_before.get(what) != assumed_after.get(what)
        ),
    )


def _by_name(quote: Quote) -> Mapping[str, Money]:
    sums: dict[str, Money] = {}
    for part in quote.parts:
        sums[part.name] = sums[part.name] + part.amount if part.name in sums else part.amount
    return sums
