"""How old the prices are that a bag is reckoned with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from bagwright.errors import Problem
from bagwright.model.cost import Purchase
from bagwright.model.material import Offer

STALE_AFTER_DAYS = 365
"""Prices older than a year are to be asked for again: common practice, no source."""
_DAYS_A_YEAR = 365.25


def age_years(dated: date, today: date) -> float:
    """Age of a price in years; one of tomorrow has none.

    >>> age_years(date(2025, 11, 26), date(2026, 11, 26)) == 365 / 365.25
    True
    """
    return max((today - dated).days, 0) / _DAYS_A_YEAR


def price_age_problems(
    purchases: Sequence[Purchase], offers: Sequence[Offer], *, today: date, stale_after_days: int = STALE_AFTER_DAYS
) -> Iterator[Problem]:
    """A problem for every price in use that is too old, or dated after today; at `offers[id].dated`."""
    taken = {purchase.offer_id: purchase.name for purchase in purchases if purchase.needed}
    for offer in offers:
        days = (today - offer.dated).days
        if offer.id not in taken or 0 <= days <= stale_after_days:
            continue
        what = f"is {days} days old" if days > 0 else "lies in the future"
        yield Problem(
            place=f"offers[{offer.id}].dated",
            value=offer.dated.isoformat(),
            what=f"is the price of {taken[offer.id]} at {offer.seller}, and {what}",
            allowed=f"a day up to today, {stale_after_days} days back at most",
            remedy="Ask what it costs now, and type the price with its day.",
        )
