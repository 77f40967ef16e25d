"""A run bought material by material, once it is settled from which sellers: exact where each material is small."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction

from bagwright.costing._solver import Effort
from bagwright.costing.baskets import MaterialBaskets
from bagwright.costing.offer_steps import TooMany
from bagwright.costing.order_terms import Asked
from bagwright.costing.plan_money import Found
from bagwright.costing.reckoning import exact
from bagwright.costing.seller_search import SellerSearch
from bagwright.costing.ways import Way
from bagwright.model.material import Offer
from bagwright.model.money import Money
from bagwright.model.run_buying import RunNeed, SellerTerms

_MOST_SELLERS = 12
_PAIRS_A_SECOND = 2.2e7
"""About what one of two slow cores does; the search is to end by counting, so that it answers alike everywhere."""


def least_by_seller(
    needs: Sequence[RunNeed],
    ways: Sequence[tuple[Offer, tuple[Way, ...]]],
    terms: Mapping[str, SellerTerms],
    *,
    numbers: Collection[int],
    effort: Effort,
) -> tuple[Found, Fraction] | None:
    """The plan that costs least and a bound in cents for all plans; None where this way of looking does not suit.

    It does not if a material comes in too many ways, if one thing of the stash would do for several needs, if there are
    very many sellers, or if delivery is not in whole cents.
    """
    sellers = [seller for seller in terms if any(offer.seller == seller for offer, _ in ways)]
    things = [thing.stash_id for number in numbers for thing in needs[number].stash]
    asked = [_asked(terms[seller]) for seller in sellers]
    if len(sellers) > _MOST_SELLERS or len(set(things)) < len(things) or any(one.delivery % 1 for one in asked):
        return None
    places = {seller: at for at, seller in enumerate(sellers)}
    try:
        materials = [
            MaterialBaskets(
                {number: needs[number] for number in numbers if needs[number].need.material_id == material},
                [(offer, own) for offer, own in ways if offer.material_id == material],
                places,
            )
            for material in dict.fromkeys(needs[number].need.material_id for number in sorted(numbers))
        ]
    except TooMany:
        return None
    plan = SellerSearch(materials, asked, effort.seconds * _PAIRS_A_SECOND).run()
    if plan is None:
        return None
    pairs = list(zip(materials, plan.baskets, strict=True))
    bought = tuple(one for material, basket in pairs for one in material.bought(basket))
    stash = tuple(thing for _, basket in pairs for thing in basket.things)
    bound = plan.bound - math.fsum(one.slack_cents for one in materials)
    return Found(bought, stash), Fraction(max(0.0, bound))


def _asked(terms: SellerTerms) -> Asked:
    delivery = _cents(terms.delivery)
    free_from = _cents(terms.free_from) if terms.free_from else math.inf
    return Asked(delivery, free_from, _cents(terms.least_order) if terms.least_order else 0.0)


def _cents(money: Money) -> float:
    """Goods are whole cents: what they have to reach is the next one."""
    cents = 100 * exact(money.amount)
    return float(cents)
