"""Whether scraps are worth piecing: minutes at her pay against the price of new material."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.cover import Cover
from bagwright.model.material import Material, Offer, OfferByArea, OfferByLength, OfferByPiece
from bagwright.model.money import Money

_MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True)
class ScrapWorth:
    """What scraps save in new material, the minutes they take more than that, and what those cost at her pay."""

    saved: Money
    minutes: float
    pay: Money

    @property
    def is_worth_it(self) -> bool:
        """Whether they save more than the work costs."""
        return self.pay.amount < self.saved.amount


def joining_minutes(joins: float, join_mm: float, workroom: Workroom) -> float:
    r"""Minutes that a layer of several scraps takes more than one of new material; rest included.

    :math:`(m\,(h + j) + L / v)(1 + a)` with m `joins`, each to one more scrap: h `piece_handling_minutes` to place it,
    j `join_minutes` to trim and butt it; L `join_mm`, v `join_mm_per_minute`, a `allowance_share`. All but m and L are
    settings of the workroom: common practice, no source, until she takes her own times. For m and L from 0. Assumes
    that the first scrap is placed as new material would be, and that fusing takes as long, so both are left out.

    Two scraps that meet along 300 mm, by the times of a new workroom: (1 (0.5 + 1) + 300 / 300) 1.15.

    >>> round(joining_minutes(1, 300, Workroom()), 3)
    2.875
    """
    given = workroom.standards
    each = given.piece_handling_minutes + given.join_minutes
    return (joins * each + join_mm / given.join_mm_per_minute) * (1 + given.allowance_share)


def scrap_minutes(cover: Cover, workroom: Workroom) -> float:
    """Minutes that a cover takes more than new material: `joining_minutes` of its scraps after the first."""
    return joining_minutes(len(cover.placements) - 1, cover.measures.join_mm, workroom)


def price_of_m2(material: Material, offers: Iterable[Offer]) -> Money:
    """The cheapest price of a square metre among the offers that sell it as a sheet, waste not counted.

    Raises `FaultyInput` if there is none: a missing price is never zero.
    """
    prices = [price for offer in offers if offer.material_id == material.id and (price := _of_m2(offer))]
    if not prices:
        problem = Problem(
            place="offers",
            value=material.name,
            what="has no price yet",
            allowed="a price for a length, a piece or an area",
            remedy="Add what a shop asks for it, and you are told whether piecing is worth it.",
        )
        raise FaultyInput([problem])
    return min(prices, key=lambda price: price.amount)


def _of_m2(offer: Offer) -> Money | None:
    if isinstance(offer, OfferByArea):
        return offer.price
    if isinstance(offer, OfferByLength) and offer.width_mm:
        return offer.price.times(_MM2_PER_M2 / (offer.width_mm * offer.priced_per_mm))
    if isinstance(offer, OfferByPiece) and offer.width_mm and offer.length_mm:
        return offer.price.times(_MM2_PER_M2 / (offer.width_mm * offer.length_mm))
    return None


def worth_of_scraps(cover: Cover, new_mm2: float, m2_price: Money, workroom: Workroom) -> ScrapWorth:
    """A cover that stands in for `new_mm2` of new material at `m2_price` for each square metre."""
    minutes = scrap_minutes(cover, workroom)
    pay = workroom.hourly_pay.times(minutes / 60)
    return ScrapWorth(m2_price.times(new_mm2 / _MM2_PER_M2), minutes, pay)
