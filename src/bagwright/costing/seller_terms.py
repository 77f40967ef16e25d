"""What is wrong with what a seller asks for, and with prices that are too old."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from bagwright.errors import Problem
from bagwright.model.material import Offer
from bagwright.model.run_buying import SellerTerms


def terms_problems(terms: SellerTerms, currency: str) -> Iterator[Problem]:
    """Amounts in other money or below zero."""
    amounts = {"delivery": terms.delivery, "free_from": terms.free_from, "least_order": terms.least_order}
    for name, money in amounts.items():
        if money is None or (money.currency == currency and money.amount >= 0):
            continue
        is_other = money.currency != currency
        yield Problem(
            place=f"sellers[{terms.seller}].{name}",
            value=f"{money.amount} {money.currency}",
            what=f"is in {money.currency}, not {currency}" if is_other else "is below zero",
            allowed=f"an amount in {currency}, zero or more",
            remedy=f"Correct what {terms.seller} asks for.",
        )


def stale_offer(offer: Offer, oldest: date) -> Problem:
    """What to say of an offer that is dated before `oldest`."""
    return Problem(
        place=f"offers[{offer.id}].dated",
        value=offer.dated.isoformat(),
        what="is too long ago to count on the price",
        allowed=f"{oldest.isoformat()} or later",
        remedy=f"Ask {offer.seller} again, then type the price and the day.",
    )
