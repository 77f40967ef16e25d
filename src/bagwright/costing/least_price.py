"""What a bag costs at least, whatever is laid, bought or cut from the stash for it: bounds for the savings search.

Every function gives a number that the true one is never below; none of them needs a layout.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from bagwright.costing.logged_time import credibility_weight, logged_time
from bagwright.costing.offers import USED_SHARE_OF_HIDE
from bagwright.costing.overhead import overhead_an_hour, overhead_of_bag
from bagwright.costing.scrap_worth import price_of_m2
from bagwright.costing.step_minutes import RawStep
from bagwright.costing.working_time import Readings, practice
from bagwright.errors import FaultyInput
from bagwright.model.bag import Workroom
from bagwright.model.material import Material, Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.running_costs import ScrapsCount
from bagwright.model.timing import WHOLE_BAG

TILL_ROUNDS = 0.005
"""By how much the till may round one purchase down."""
_MM_PER_M, _MM2_PER_M2 = 1000.0, 1e6
_MINUTES_PER_HOUR = 60
_FLOAT_NOISE = Decimal("0.0001")


def least_price_of_mm2(material: Material, offers: Iterable[Offer], workroom: Workroom) -> float:
    r"""What a bag carries at least for each square mm of its pieces: :math:`\min_o p_o / A_o`, price breaks reached.

    A layout is at least as large as its pieces, and `used` is the price of the layout's share of what is bought. What
    is left counts for no more than its share of the cost, so that `used` is not below that; unless scraps count at the
    price of new and new costs more than a price break: then there is no bound above 0.
    """
    own = [offer for offer in offers if offer.material_id == material.id]
    prices = [price for offer in own if (price := _of_mm2(offer)) is not None]
    least = min(prices, default=0.0)
    if workroom.scraps_count is ScrapsCount.SHARE:
        return least if workroom.scraps_share <= 1 else 0.0
    if workroom.scraps_count is ScrapsCount.REPLACEMENT and least:
        try:
            new = float(price_of_m2(material, own).amount) / _MM2_PER_M2
        except FaultyInput:
            return 0.0
        return least if new <= least * (1 + 1e-9) else 0.0
    return least


def least_price_of_mm(material: Material, offers: Iterable[Offer]) -> float:
    """The same for each mm of what is bought by its length: webbing, zip chain, thread."""
    prices = [price for offer in offers if offer.material_id == material.id and (price := _of_mm(offer)) is not None]
    return min(prices, default=0.0)


def least_price_of_one(material: Material, offers: Iterable[Offer]) -> float:
    """The same for each thing that is bought by count, or ready made."""
    prices = [price for offer in offers if offer.material_id == material.id and (price := _of_one(offer)) is not None]
    return min(prices, default=0.0)


def _lowest(offer: Offer) -> float:
    return float(min(offer.price.amount, *(one.price.amount for one in offer.price_breaks), offer.price.amount))


def _of_mm2(offer: Offer) -> float | None:
    match offer:
        case OfferByLength() if offer.width_mm:
            return _lowest(offer) / (offer.priced_per_mm * offer.width_mm)
        case OfferByPiece() if offer.width_mm:
            return _lowest(offer) / (offer.width_mm * offer.length_mm)
        case OfferByArea():
            return _lowest(offer) / _MM2_PER_M2 / float(USED_SHARE_OF_HIDE)
        case _:
            return None


def _of_mm(offer: Offer) -> float | None:
    match offer:
        case OfferByLength():
            return _lowest(offer) / offer.priced_per_mm
        case OfferByPiece():
            return _lowest(offer) / offer.length_mm
        case OfferByCount() if offer.length_each_m:
            return _lowest(offer) / (offer.pack_count * offer.length_each_m * _MM_PER_M)
        case _:
            return None


def _of_one(offer: Offer) -> float | None:
    match offer:
        case OfferByPiece():
            return _lowest(offer)
        case OfferByCount():
            return _lowest(offer) / offer.pack_count
        case _:
            return None


def minutes_for_more(
    raws: Iterable[RawStep], workroom: Workroom, readings: Readings, *, run_count: int, made: int
) -> float:
    r"""By how much some steps make a bag that has others take longer, on average over a run.

    :math:`(1 - Z)\,\bar\sigma\,(1 + a) \sum t_i`, t each step as her readings leave it, Z the weight of her readings of
    whole bags, :math:`\bar\sigma` practice on average after `made` bags, a rest: `working_steps` is that plus what the
    other steps make. Of "cut" only what its standard time adds counts here: what is read of it is in the bag without
    these steps.
    """
    given, whole = workroom.standards, readings.get(WHOLE_BAG, ())
    shares = practice(workroom, made_before=made, count=run_count)
    slope = (1 - credibility_weight(len(whole), given.standard_weight)) if whole else 1.0
    slope *= math.fsum(shares) / run_count * (1 + given.allowance_share)
    return slope * math.fsum(_minutes(raw, workroom, readings) for raw in raws)


def _minutes(raw: RawStep, workroom: Workroom, readings: Readings) -> float:
    given, times = workroom.standards, readings.get(raw.id, ())
    standard = math.fsum(part.minutes for part in raw.parts)
    if raw.id == "cut":
        return standard * (1 - credibility_weight(len(times), given.standard_weight))
    return logged_time(standard, times, doubt=0.0, standard_weight=given.standard_weight).minutes


@dataclass(frozen=True, slots=True)
class PriceLine:
    r"""The paid price as it grows with costs c and minutes t of a bag: :math:`(c + b + r t) / (1 - f)`.

    b is what does not depend on them (overhead shared by bags, the fixed fee), r pay and overhead of a minute, f the
    fee share. r is not below 0 and f below 1, so that more cost or more time never lowers the price: a price of least
    costs and least minutes is a least price.
    """

    fixed: float
    a_minute: float
    kept_share: float

    @classmethod
    def of(cls, workroom: Workroom) -> PriceLine:
        """The line of a workroom whose settings have passed `price_bag`."""
        hourly = workroom.hourly_pay + overhead_an_hour(workroom)
        fixed = overhead_of_bag(workroom, 0.0).amount + workroom.selling_fee_fixed
        return cls(float(fixed.amount), float(hourly.amount) / _MINUTES_PER_HOUR, float(1 - workroom.selling_fee_share))

    def price(self, cost: float, minutes: float) -> Decimal:
        """The price, less what float arithmetic may add to it."""
        found = (cost + self.fixed + self.a_minute * minutes) / self.kept_share
        return Decimal(repr(found)) - _FLOAT_NOISE


def least_bought(prices: Iterable[tuple[float, float]]) -> Iterator[float]:
    """What each purchase comes to at least: quantity times least price, less what the till may round off."""
    return (max(quantity * price - TILL_ROUNDS, 0.0) for quantity, price in prices)
