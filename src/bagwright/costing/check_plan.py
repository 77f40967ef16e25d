"""Judges a plan for a run by itself: from needs, offers and what sellers ask, in exact numbers, whoever made it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from bagwright.costing.offers import USED_SHARE_OF_HIDE
from bagwright.costing.reckoning import exact, exact_mm, exact_mm2
from bagwright.model.cost import Purchase
from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.money import Money
from bagwright.model.run_buying import LaidParts, RunNeed, RunPlan, SellerTerms, TakenParts

_MILLIONTH = Fraction(1, 10**6)
_HAIR = Fraction(1, 10**9)
"""Shares of what goes on from piece to piece are told in decimals: thirds of it make a whole but for that."""


def plan_faults(
    plan: RunPlan, needs: Sequence[RunNeed], offers: Sequence[Offer], terms: Sequence[SellerTerms]
) -> tuple[str, ...]:
    """What is wrong with the plan, in words; nothing if every need is met and every sum is right.

    Looked at: parts held against parts wanted; each layout against those of the need, and the offer's width; steps and
    packs against what is taken of them; prices with their breaks; cents; shares used and left; delivery and least
    orders; things of the stash taken once; all sums.
    """
    by_id = {offer.id: offer for offer in offers}
    return (
        *_taken_faults(plan, needs, by_id),
        *_lack_faults(plan, needs),
        *(fault for one in plan.purchases for fault in _purchase_faults(one, plan, needs, by_id)),
        *_order_faults(plan, {one.seller: one for one in terms}),
        *_sum_faults(plan, needs),
    )


def _taken_faults(plan: RunPlan, needs: Sequence[RunNeed], offers: dict[str, Offer]) -> Iterator[str]:
    stash = Counter(one.stash_id for one in plan.taken if one.stash_id)
    yield from (f"{stash_id} is taken from the stash {times} times" for stash_id, times in stash.items() if times > 1)
    bought = Counter(one.offer_id for one in plan.purchases)
    yield from (f"{offer_id} is bought in {times} lines" for offer_id, times in bought.items() if times > 1)
    for one in plan.taken:
        need = needs[one.need]
        if one.stash_id:
            known = any(s.stash_id == one.stash_id and s.holds == one.holds for s in need.stash)
            if not known or one.times != 1:
                yield f"{one.stash_id} does not hold that of {need.need.name}"
        elif one.offer_id not in bought or one.offer_id not in offers:
            yield f"{need.need.name} is taken from {one.offer_id}, which is not bought"
        elif offers[one.offer_id].material_id != need.need.material_id:
            yield f"{one.offer_id} is not for {need.need.name}"
        elif one.times < 1 or not 0 < one.share <= 1 or not _is_stated(one, need, offers[one.offer_id]):
            yield f"{need.need.name} is not laid like that on {one.offer_id}"


def _is_stated(taken: TakenParts, wanted: RunNeed, offer: Offer) -> bool:
    """Whether the need states that those parts can be had so from that offer."""
    need = wanted.need
    if need.count is not None:
        return taken.holds == (1,)
    if isinstance(offer, OfferByArea):
        areas = wanted.part_areas_mm2
        return sum(taken.holds) == 1 if areas else taken.holds == wanted.parts
    stated = [*wanted.laid]
    if need.length_mm is not None:
        stated.append(LaidParts(holds=wanted.parts, length_mm=need.length_mm))
    stated += [LaidParts(holds=wanted.parts, length_mm=mm, width_mm=w) for w, mm in need.lengths_mm_by_width]
    width = offer.width_mm if isinstance(offer, OfferByLength | OfferByPiece) else 0.0
    laid = LaidParts(holds=taken.holds, length_mm=taken.length_mm, width_mm=taken.width_mm)
    return laid in stated and (need.length_mm is not None or laid.width_mm == width)


def _lack_faults(plan: RunPlan, needs: Sequence[RunNeed]) -> Iterator[str]:
    for number, wanted in enumerate(needs):
        own = [one for one in plan.taken if one.need == number]
        for part, count in enumerate(wanted.wanted):
            held = sum((exact(one.share) * one.times * one.holds[part] for one in own), Fraction(0))
            if held < count - _hair(own) and _is_something(wanted):
                yield f"{wanted.need.name}: part {part} is wanted {count} times and held {held} times"


def _hair(taken: Sequence[TakenParts]) -> Fraction:
    return _HAIR * len(taken) if any(one.share < 1 for one in taken) else Fraction(0)


def _is_something(wanted: RunNeed) -> bool:
    need = wanted.need
    if need.length_mm is not None or need.count is not None:
        return bool(need.length_mm or need.count)
    lengths = [*(mm for _, mm in need.lengths_mm_by_width), *(laid.length_mm for laid in wanted.laid)]
    return any(lengths) if lengths else True


def _purchase_faults(
    purchase: Purchase, plan: RunPlan, needs: Sequence[RunNeed], offers: dict[str, Offer]
) -> Iterator[str]:
    offer = offers.get(purchase.offer_id)
    if offer is None:
        yield f"{purchase.offer_id} is not on offer"
        return
    step, priced_per = _sold_by(offer)
    steps = round(exact(purchase.quantity) / step)
    if steps < 1 or abs(exact(purchase.quantity) - steps * step) > _MILLIONTH * step:
        yield f"{offer.id}: {purchase.quantity} is not in steps of {float(step)}"
        return
    taken = [one for one in plan.taken if one.offer_id == offer.id]
    used, kept = Fraction(0), Fraction(0)
    for one in taken:
        each_used, each_kept = _amounts(one, needs[one.need], offer)
        used += exact(one.share) * one.times * each_used
        kept += exact(one.share) * one.times * each_kept
    if kept > steps * step * (1 + _hair(taken)):
        yield f"{offer.id}: {float(kept)} is taken, and {purchase.quantity} bought"
    if abs(exact(purchase.needed) - used) > _MILLIONTH * max(used, Fraction(1)):
        yield f"{offer.id}: {purchase.needed} is said to be needed, and {float(used)} is"
    cents = 100 * _price(offer, steps * step / priced_per) * steps * step / priced_per
    if exact(purchase.paid.amount) * 100 != math.floor(cents + Fraction(1, 2)):
        yield f"{offer.id}: costs {float(cents)} cents, not {purchase.paid.said()}"
    share = exact(purchase.paid.amount) * used / (steps * step)
    if abs(exact(purchase.used.amount) - share) > _MILLIONTH or purchase.used + purchase.left != purchase.paid:
        yield f"{offer.id}: the shares used and left are wrong"
    if purchase.seller != offer.seller or purchase.material_id != offer.material_id:
        yield f"{offer.id}: is of another seller or material"


def _sold_by(offer: Offer) -> tuple[Fraction, Fraction]:
    """Step, and amount that the price is for: in mm, pieces, m2 or packs."""
    match offer:
        case OfferByLength():
            return exact_mm(offer.step_mm), exact_mm(offer.priced_per_mm)
        case OfferByArea():
            return exact(offer.usual_area_m2), Fraction(1)
        case _:
            return Fraction(1), Fraction(1)


def _price(offer: Offer, units: Fraction) -> Fraction:
    price = offer.price
    for one in sorted(offer.price_breaks, key=lambda one: one.from_quantity):
        price = one.price if exact(one.from_quantity) <= units else price
    return exact(price.amount)


def _amounts(taken: TakenParts, wanted: RunNeed, offer: Offer) -> tuple[Fraction, Fraction]:
    """What one of these uses of the offer, and what it keeps from others, in the offer's unit."""
    length = exact_mm(taken.length_mm)
    per_pack = Fraction(1, offer.pack_count) if isinstance(offer, OfferByCount) else Fraction(1)
    if wanted.need.count is not None:
        return per_pack, per_pack
    match offer:
        case OfferByLength():
            return length, length
        case OfferByArea():
            areas = wanted.part_areas_mm2
            area = (
                sum((exact_mm2(a) * n for a, n in zip(areas, taken.holds, strict=True)), Fraction(0)) if areas else None
            )
            m2 = (exact_mm2(wanted.need.area_mm2) if area is None else area) / 10**6 / USED_SHARE_OF_HIDE
            return m2, m2
        case OfferByPiece():
            held = exact_mm(offer.length_mm)
        case OfferByCount():
            held = exact(offer.length_each_m or 0) * 1000
    if wanted.goes_on:
        return length / held * per_pack, length / held * per_pack
    return length / held * per_pack, per_pack if length <= held else per_pack * 10**9  # it does not fit at all


def _order_faults(plan: RunPlan, terms: dict[str, SellerTerms]) -> Iterator[str]:
    sellers = Counter(one.seller for one in plan.purchases)
    if sorted(one.seller for one in plan.orders) != sorted(sellers):
        yield "the orders are not those of the sellers bought from"
    for order in plan.orders:
        goods = sum((one.paid.amount for one in plan.purchases if one.seller == order.seller), Decimal(0))
        asked, delivery = terms.get(order.seller), Decimal(0)
        if asked and (asked.free_from is None or goods < asked.free_from.amount):
            delivery = asked.delivery.amount
        if order.goods.amount != goods or order.delivery.amount != delivery:
            yield f"{order.seller}: goods and delivery are {goods} and {delivery}"
        if asked and asked.least_order and goods < asked.least_order.amount:
            yield f"{order.seller}: takes no order under {asked.least_order.said()}"


def _sum_faults(plan: RunPlan, needs: Sequence[RunNeed]) -> Iterator[str]:
    def summed(amounts: Iterator[Money]) -> Decimal:
        return sum((money.amount for money in amounts), Decimal(0))

    delivery = summed(one.delivery for one in plan.orders)
    worths = {(number, s.stash_id): s.worth for number, one in enumerate(needs) for s in one.stash}
    sums = {
        "delivery": (plan.delivery, delivery),
        "paid": (plan.paid, summed(one.paid for one in plan.purchases) + delivery),
        "used": (plan.used, summed(one.used for one in plan.purchases) + delivery),
        "left": (plan.left, summed(one.left for one in plan.purchases)),
        "stash_worth": (
            plan.stash_worth,
            summed(worths[one.need, one.stash_id] for one in plan.taken if (one.need, one.stash_id) in worths),
        ),
    }
    yield from (
        f"{name} is {right}, not {money.amount}" for name, (money, right) in sums.items() if money.amount != right
    )
