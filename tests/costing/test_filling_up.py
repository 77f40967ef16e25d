"""Orders filled up to free delivery or a least order by thousands of cheap steps: against trying every number."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from bagwright.costing._solver import Effort
from bagwright.costing.buying_together import _all_ways, buy_together
from bagwright.costing.by_seller import least_by_seller
from bagwright.costing.plan_money import cost_cents
from bagwright.model.cost import Need
from bagwright.model.material import Offer, OfferByLength, PriceBreak
from bagwright.model.money import Money
from bagwright.model.run_buying import RunNeed, SellerTerms
from bagwright.units import UnitSystem
from tests.costing.random_runs import DAY, cents, usd
from tests.costing.test_buying_together import bought, counted, pack, plan

STEP_MM = 1


def ribbon(price: Money, seller: str, *breaks: PriceBreak) -> OfferByLength:
    return OfferByLength(
        id=f"ribbon-{seller}",
        material_id="ribbon",
        seller=seller,
        price=price,
        dated=DAY,
        width_mm=0.0,
        priced_per_mm=1000.0,
        step_mm=float(STEP_MM),
        price_breaks=breaks,
    )


def by_the_millimetre(offer: OfferByLength, most: int) -> list[int]:
    """Cents at the till for every number of steps up to the most."""
    found = []
    for steps in range(most + 1):
        metres, price = Fraction(steps * STEP_MM, 1000), offer.price
        for one in offer.price_breaks:
            price = one.price if Fraction(one.from_quantity) <= metres else price
        found.append(math.floor(100 * Fraction(price.amount) * metres + Fraction(1, 2)))
    return found


def least_cents(mm: int, offers: list[Offer], wants: dict[str, int], terms: SellerTerms) -> int:
    """Every number of packs, and every length of the asking seller's ribbon; the other's as needed."""
    own, other = (one for one in offers if isinstance(one, OfferByLength))
    packs = [one for one in offers if not isinstance(one, OfferByLength)]
    fewest = -(-mm // STEP_MM)
    elsewhere = min(by_the_millimetre(other, 40 * fewest)[fewest:])
    lengths = by_the_millimetre(own, 12_000)
    free, least = (int(100 * one.amount) if one else None for one in (terms.free_from, terms.least_order))
    delivery, best = int(100 * terms.delivery.amount), 10**9
    for each in itertools.product(*(range(wants[one.material_id], wants[one.material_id] + 3) for one in packs)):
        dear = sum(many * int(100 * one.price.amount) for many, one in zip(each, packs, strict=True))
        for steps, paid in enumerate(lengths):
            goods = dear + paid
            if least is None or goods >= least:
                more = 0 if free is not None and goods >= free else delivery
                best = min(best, goods + more + (0 if steps >= fewest else elsewhere))
    return best


@pytest.mark.parametrize("seed", range(4))
def test_filling_up_with_ribbon_agrees_with_trying_every_length(seed):
    rng = random.Random(seed)
    wants = {"buckle": rng.randint(1, 3), "lock": rng.randint(1, 2)}
    mm, most = rng.randint(200, 900), rng.randint(900, 1_500)
    breaks = (PriceBreak(from_quantity=6, price=cents(rng, 130, 190)),)
    offers: list[Offer] = [
        ribbon(cents(rng, 200, 300), "Stall", *breaks),
        ribbon(cents(rng, 90, 250), "Mill"),
        *(pack(key, f"{rng.randint(100, 500) / 100}", 1, material=key) for key in wants),
    ]
    asked = SellerTerms(seller="Stall", delivery=cents(rng, 300, 900), free_from=cents(rng, most, most + 9))
    if seed % 2:
        asked = replace(asked, free_from=None, least_order=asked.free_from)
    needs = [
        RunNeed(need=Need(material_id="ribbon", name="ribbon", length_mm=float(mm))),
        *(counted(many, key) for key, many in wants.items()),
    ]
    found = least_by_seller(
        needs, _all_ways(needs, offers, UnitSystem.INCH), {"Stall": asked}, numbers=range(3), effort=Effort()
    )
    assert found is not None
    least = least_cents(mm, offers, wants, asked)
    assert cost_cents(found[0], needs, {"Stall": asked}, Fraction(0)) == found[1] == least
    whole = plan(needs, offers, [asked])
    assert whole.is_proven
    assert 100 * whole.paid.amount == least


def test_an_order_is_filled_up_with_two_thousand_pins():
    """By hand: seven bags and 2,000 pins are 300.00; anything else costs delivery, or more goods than that."""
    needs = [counted(1, "pin"), counted(1, "bag")]
    offers = [pack("pins", "0.01", 1, material="pin"), pack("bag", "40.00", 1, material="bag")]
    found = plan(needs, offers, [SellerTerms(seller="Stall", delivery=usd(290), free_from=usd(300))])
    assert found.is_proven
    assert found.paid == usd(300)
    assert 100 * 40 * bought(found)["bag"] + bought(found)["pins"] == 30_000


def test_two_least_orders_and_fourteen_cheap_things_are_bought_for_the_smaller_order_alone():
    """By hand: all of it costs less than 83.11 at the mill, so 83.11 and delivery is least; the hut takes no less
    than 151.37. Thousands of things are bought beyond a price break to come to it."""
    rng = random.Random(2)
    needs, offers = [], []
    for number in range(14):
        key = f"bit {number}"
        needs.append(counted(rng.randint(3, 40), key))
        for seller in ("Hut", "Mill"):
            price, at, less = rng.randint(7, 100), rng.randint(50, 300), rng.randint(3, 6)
            many = (PriceBreak(from_quantity=at, price=usd(Decimal(less) / 1000)),)
            name, each = f"{key} {seller}", str(Decimal(price) / 1000)
            offers.append(pack(name, each, 1, material=key, seller=seller, price_breaks=many))
    terms = [
        SellerTerms(seller="Hut", delivery=usd("6.90"), least_order=usd("151.37")),
        SellerTerms(seller="Mill", delivery=usd("7.50"), least_order=usd("83.11"), free_from=usd("97.77")),
    ]
    found = buy_together(needs, offers, terms, currency="USD")
    assert found.is_proven
    assert found.paid == usd("90.61")
