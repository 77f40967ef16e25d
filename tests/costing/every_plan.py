"""Buying by trying everything: slow, plain, and written without a look at how the solver is asked."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.run_buying import RunNeed, SellerTerms

Cost = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Choice:
    """One way of taking some parts of a need: from an offer (with what it keeps and uses), or from the stash."""

    holds: tuple[int, ...]
    offer: Offer | None
    keeps: Fraction
    uses: Fraction
    worth: Fraction = Fraction(0)
    stash: int = -1


def best_plan(
    needs: Sequence[RunNeed], offers: Sequence[Offer], terms: Sequence[SellerTerms], left_worth: Fraction
) -> Cost | None:
    """Least cost in cents, and the least size bought at that cost; None if there is no plan."""
    best: Cost | None = None
    suited = [o for o in offers if any(choice.offer is o for one in needs for choice in _choices(one, offers))]
    for chosen in itertools.product(*(_covers_told_apart(one, offers) for one in needs)):
        taken = [choice for cover in chosen for choice in cover]
        worth = sum((choice.worth for choice in taken), Fraction(0))
        cost, size = left_worth * worth, Fraction(0)
        for seller in {offer.seller for offer in suited}:
            own = [offer for offer in suited if offer.seller == seller]
            asked = next((one for one in terms if one.seller == seller), None)
            bought = min(_bought(taken, own, asked, left_worth), default=None)
            if bought is None:
                break
            cost, size = cost + bought[0], size + bought[1]
        else:
            best = (cost, size) if best is None else min(best, (cost, size))
    return best


def _covers_told_apart(wanted: RunNeed, offers: Sequence[Offer]) -> list[tuple[Choice, ...]]:
    """Of covers that take the same amounts, one."""
    found: dict[object, tuple[Choice, ...]] = {}
    for cover in _covers(wanted, offers):
        amounts = [
            tuple(sum(getattr(one, way) for one in cover if one.offer is offer) for way in ("keeps", "uses"))
            for offer in offers
        ]
        found[tuple(amounts), sum(one.worth for one in cover)] = cover
    return list(found.values())


def _covers(wanted: RunNeed, offers: Sequence[Offer]) -> Iterator[tuple[Choice, ...]]:
    """Every set of choices that holds all parts, none of them in vain."""
    choices = list(_choices(wanted, offers))

    def grow(cover: tuple[Choice, ...], start: int) -> Iterator[tuple[Choice, ...]]:
        if _holds_all(cover, wanted.wanted):
            if not any(_holds_all(cover[:at] + cover[at + 1 :], wanted.wanted) for at in range(len(cover))):
                yield cover
            return
        if len(cover) == sum(wanted.wanted):
            return
        for at in range(start, len(choices)):
            if not (choices[at].stash >= 0 and choices[at] in cover):
                yield from grow((*cover, choices[at]), at)

    yield from grow((), 0)


def _holds_all(cover: Sequence[Choice], wanted: Sequence[int]) -> bool:
    return all(sum(one.holds[part] for one in cover) >= count for part, count in enumerate(wanted))


def _choices(wanted: RunNeed, offers: Sequence[Offer]) -> Iterator[Choice]:
    for at, one in enumerate(wanted.stash):
        yield Choice(one.holds, None, Fraction(0), Fraction(0), 100 * Fraction(one.worth.amount), at)
    need = wanted.need
    for offer in offers:
        if offer.material_id == need.material_id and isinstance(offer, OfferByArea):
            yield from _off_hides(wanted, offer)
    if need.length_mm is not None:
        yield from _off_rolls(wanted, offers)
        return
    layouts = [(wanted.parts, width, mm) for width, mm in need.lengths_mm_by_width]
    layouts += [(one.holds, one.width_mm, one.length_mm) for one in wanted.laid]
    for offer in offers:
        if offer.material_id != need.material_id:
            continue
        if isinstance(offer, OfferByCount) and need.count is not None:
            share = Fraction(1, offer.pack_count)
            yield Choice((1,), offer, share, share)
        for holds, width, mm in layouts:
            length = Fraction(str(mm))
            if isinstance(offer, OfferByLength) and offer.width_mm == width:
                yield Choice(holds, offer, length, length)
            elif isinstance(offer, OfferByPiece) and offer.width_mm == width and mm <= offer.length_mm:
                yield Choice(holds, offer, Fraction(1), length / Fraction(str(offer.length_mm)))


_SHARE_OF_HIDE = Fraction(3, 4)


def _off_hides(wanted: RunNeed, offer: OfferByArea) -> Iterator[Choice]:
    """Piece by piece where their areas are known, else all at once: more area is taken than the pieces have."""
    each = [
        (tuple(int(at == part) for at in range(len(wanted.parts))), area)
        for part, area in enumerate(wanted.part_areas_mm2)
    ]
    for holds, area_mm2 in each or [(wanted.parts, wanted.need.area_mm2)]:
        area_m2 = Fraction(str(area_mm2)) / 10**6 / _SHARE_OF_HIDE
        yield Choice(holds, offer, area_m2, area_m2)


def _off_rolls(wanted: RunNeed, offers: Sequence[Offer]) -> Iterator[Choice]:
    """Webbing: off the roll, or each layout out of one ready-cut length."""
    layouts = [(wanted.parts, wanted.need.length_mm or 0.0), *((one.holds, one.length_mm) for one in wanted.laid)]
    for offer in offers:
        if offer.material_id != wanted.need.material_id:
            continue
        for holds, mm in layouts:
            length = Fraction(str(mm))
            if isinstance(offer, OfferByLength):
                yield Choice(holds, offer, length, length)
            elif isinstance(offer, OfferByCount) and offer.length_each_m and mm <= 1000 * offer.length_each_m:
                held = 1000 * Fraction(str(offer.length_each_m)) * offer.pack_count
                yield Choice(holds, offer, Fraction(1, offer.pack_count), length / held)


def _bought(
    taken: Sequence[Choice], offers: Sequence[Offer], terms: SellerTerms | None, left_worth: Fraction
) -> Iterator[Cost]:
    """What one seller's goods and delivery cost, and their size, for every sum of goods that can come about."""
    sums: dict[Fraction, Cost] = {Fraction(0): (Fraction(0), Fraction(0))}
    for offer in offers:
        lines = [_line(offer, count, taken, left_worth) for count in _worth_a_look(offer, taken, terms)]
        grown: dict[Fraction, Cost] = {}
        for (goods, (cost, size)), (paid, costs, more) in itertools.product(sums.items(), lines):
            both = (cost + costs, size + more)
            grown[goods + paid] = min(both, grown.get(goods + paid, both))
        sums = grown
    for goods, (cost, size) in sums.items():
        if goods and terms and terms.least_order and goods < 100 * terms.least_order.amount:
            continue
        is_free = not terms or (terms.free_from and goods >= 100 * terms.free_from.amount)
        delivery = 100 * Fraction(terms.delivery.amount) if terms and goods and not is_free else Fraction(0)
        yield cost + delivery, size


def _worth_a_look(offer: Offer, taken: Sequence[Choice], terms: SellerTerms | None) -> Sequence[int]:
    """Without terms: what is needed, or a price break. With terms: anything up to all they could ask for."""
    step, per = _step(offer)
    least = math.ceil(sum((one.keeps for one in taken if one.offer is offer), Fraction(0)) / step)
    breaks = [math.ceil(Fraction(str(one.from_quantity)) * per / step) for one in offer.price_breaks]
    asked = [Fraction(money.amount) for money in (terms.free_from, terms.least_order) if money] if terms else []
    if not asked:
        return sorted({least, *(count for count in breaks if count > least)}) if least else [0]
    cheapest = min(Fraction(price.amount) for price in (offer.price, *(one.price for one in offer.price_breaks)))
    return range(least, max([least, *breaks, *(math.ceil(money / (cheapest * step / per)) for money in asked)]) + 1)


def _step(offer: Offer) -> tuple[Fraction, Fraction]:
    per = Fraction(str(offer.priced_per_mm)) if isinstance(offer, OfferByLength) else Fraction(1)
    return quantity_of_step(offer), per


def _line(
    offer: Offer, count: int, taken: Sequence[Choice], left_worth: Fraction
) -> tuple[Fraction, Fraction, Fraction]:
    """Cents at the till; cents that count, which are those unless leftovers count; size."""
    step, per = _step(offer)
    units = count * step / per
    price = offer.price
    for one in sorted(offer.price_breaks, key=lambda one: one.from_quantity):
        if Fraction(str(one.from_quantity)) <= units:
            price = one.price
    exact = 100 * Fraction(price.amount) * units
    paid = Fraction(math.floor(exact + Fraction(1, 2)))
    uses = sum((one.uses for one in taken if one.offer is offer), Fraction(0))
    left = exact * (1 - uses / (count * step)) if count else Fraction(0)
    return paid, exact - left_worth * left if left_worth else paid, count * size_of_step(offer)


def quantity_of_step(offer: Offer) -> Fraction:
    """Millimetres off a bolt, square metres of hide, or one."""
    match offer:
        case OfferByLength():
            return Fraction(str(offer.step_mm))
        case OfferByArea():
            return Fraction(str(offer.usual_area_m2))
        case _:
            return Fraction(1)


def size_of_step(offer: Offer) -> Fraction:
    """Square metres of cloth or hide, metres of webbing, or things."""
    match offer:
        case OfferByLength():
            return Fraction(str(offer.step_mm)) * Fraction(str(offer.width_mm or 1000)) / 10**6
        case OfferByPiece():
            return Fraction(str(offer.length_mm)) * Fraction(str(offer.width_mm)) / 10**6
        case OfferByCount():
            return offer.pack_count * Fraction(str(offer.length_each_m or 1))
        case OfferByArea():
            return Fraction(str(offer.usual_area_m2))
