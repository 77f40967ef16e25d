"""What was found, reckoned again in exact numbers, as a plan."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from bagwright.costing.offers import Portion, cost_of_steps, purchase_of
from bagwright.costing.reckoning import exact
from bagwright.costing.ways import Way
from bagwright.model.cost import Purchase
from bagwright.model.material import Offer
from bagwright.model.money import Money, total
from bagwright.model.run_buying import RunNeed, RunPlan, SellerOrder, SellerTerms, TakenParts


@dataclass(frozen=True, slots=True)
class Bought:
    """One offer taken: so many steps, for so many times of each way (a share of it, where it flows)."""

    offer: Offer
    portion: Portion
    steps: int
    taken: tuple[tuple[Way, Fraction], ...]

    @property
    def quantity(self) -> Fraction:
        """In the offer's unit."""
        return self.steps * self.portion.step

    @property
    def needed(self) -> Fraction:
        """What is used of the quantity."""
        return sum((times * way.uses for way, times in self.taken), Fraction(0))

    @property
    def price_cents(self) -> Fraction:
        """Before the till rounds."""
        return 100 * cost_of_steps(self.portion, self.offer, self.steps)

    @property
    def left_cents(self) -> Fraction:
        """The price of what is not used."""
        return self.price_cents * (1 - self.needed / self.quantity)

    @property
    def paid(self) -> Money:
        """Whole cents, as at the till."""
        return Money(Decimal(math.floor(self.price_cents + Fraction(1, 2))).scaleb(-2), self.offer.price.currency)


@dataclass(frozen=True, slots=True)
class Found:
    """What to buy, and what to take from the stash: need and place in its stash."""

    bought: tuple[Bought, ...]
    stash: tuple[tuple[int, int], ...]


def cost_cents(
    found: Found, needs: Sequence[RunNeed], terms: Mapping[str, SellerTerms], left_worth: Fraction
) -> Fraction:
    """What a plan tries to make least.

    Goods count as the till rounds them, or exactly where leftovers count.
    """
    left = sum((one.left_cents for one in found.bought), Fraction(0))
    stash = sum((exact(needs[need].stash[place].worth.amount) for need, place in found.stash), Fraction(0))
    paid = sum((one.price_cents if left_worth else 100 * exact(one.paid.amount) for one in found.bought), Fraction(0))
    delivery = sum((exact(order.delivery.amount) for order in _orders(found, terms)), Fraction(0))
    return paid + 100 * delivery + left_worth * (100 * stash - left)


def plan_of(found: Found, needs: Sequence[RunNeed], terms: Mapping[str, SellerTerms], currency: str) -> RunPlan:
    """The plan, its gap still zero."""
    purchases = tuple(_purchase(one, needs) for one in found.bought)
    orders = tuple(_orders(found, terms))
    delivery = total((order.delivery for order in orders), currency)
    return RunPlan(
        purchases=purchases,
        taken=tuple(_taken(found, needs)),
        orders=orders,
        paid=total((one.paid for one in purchases), currency) + delivery,
        delivery=delivery,
        used=total((one.used for one in purchases), currency) + delivery,
        left=total((one.left for one in purchases), currency),
        stash_worth=total((needs[need].stash[place].worth for need, place in found.stash), currency),
        gap=Money(Decimal(0), currency),
    )


def _purchase(bought: Bought, needs: Sequence[RunNeed]) -> Purchase:
    names = dict.fromkeys(needs[way.need].need.name for way, _ in bought.taken)
    portion = replace(bought.portion, needed=bought.needed)
    return purchase_of(bought.offer, portion, ", ".join(names) or _name(bought, needs), bought.quantity, bought.paid)


def _name(bought: Bought, needs: Sequence[RunNeed]) -> str:
    """Of what is bought only to reach free delivery or a least order."""
    return next(one.need.name for one in needs if one.need.material_id == bought.offer.material_id)


def _taken(found: Found, needs: Sequence[RunNeed]) -> Iterator[TakenParts]:
    for need, place in found.stash:
        one = needs[need].stash[place]
        yield TakenParts(need=need, holds=one.holds, stash_id=one.stash_id)
    for bought in found.bought:
        for way, times in bought.taken:
            yield TakenParts(
                need=way.need,
                holds=way.holds,
                times=1 if way.flows else int(times),
                offer_id=bought.offer.id,
                width_mm=way.width_mm,
                length_mm=way.length_mm,
                share=float(times) if way.flows else 1.0,
            )


def _orders(found: Found, terms: Mapping[str, SellerTerms]) -> Iterator[SellerOrder]:
    for seller in sorted({one.offer.seller for one in found.bought}):
        paid = [one.paid for one in found.bought if one.offer.seller == seller]
        goods = total(paid, paid[0].currency)
        asked = terms.get(seller)
        is_free = asked is None or (asked.free_from is not None and not goods < asked.free_from)
        nothing = Money(Decimal(0), goods.currency)
        yield SellerOrder(seller=seller, goods=goods, delivery=nothing if is_free or not asked else asked.delivery)
