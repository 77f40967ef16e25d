"""One offer against one need: does it suit, how much of it must be bought, what does that cost."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from bagwright.costing.reckoning import exact, exact_mm, exact_mm2, exact_money
from bagwright.errors import BrokenPromise, Problem
from bagwright.model.cost import Need, Purchase
from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.money import Money
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.units import UnitSystem, print_length

USED_SHARE_OF_HIDE = Fraction(3, 4)
"""Share of a hide that ends up as pieces. A waste of 25 % is what leather suppliers' charts state (others: a third)."""


@dataclass(frozen=True, slots=True)
class DoesNotSuit:
    """Why an offer cannot meet a need, in words that follow the seller's name."""

    reason: str


@dataclass(frozen=True, slots=True)
class Portion:
    """What a need takes of an offer: `needed` of `unit`; sold in steps of `step`, priced for every `priced_per`."""

    unit: str
    needed: Fraction
    step: Fraction
    priced_per: Fraction = Fraction(1)
    width_mm: float = 0.0
    length_each_mm: float | None = None
    pack_count: int = 1
    holds_m: float | None = None
    goes_on: bool = False


def quote_offer(
    need: Need, offer: Offer, *, splits: bool = False, units: UnitSystem = UnitSystem.INCH
) -> Purchase | DoesNotSuit:
    """The cheapest purchase of this offer that meets the need.

    * By length: the length of the layout at the offer's `width_mm`, up to the next whole step.
    * By piece, and by count where each holds a length: only if one of them holds it all, for a layout or a strap does
      not go on over the end of a piece. `splits`: it may (thread).
    * By area: the area of the pieces over the share of a hide that gets used (0.75), up to whole hides.
    * By count: whole packs.
    * Ready-made lengths (zips), by piece or by count: one for each that is needed, if its length does.

    A price break is in the offer's own units (lengths of `priced_per_mm`, pieces, m2, packs) and holds for all of
    them, so that more than is needed is bought where that costs less. `paid` is whole cents, as at the till; `used` is
    the share needed / bought of it, to a millionth, and `left` is exactly the rest.
    """
    portion = portion_of(need, offer, splits, units)
    if isinstance(portion, DoesNotSuit):
        return portion
    steps = min(_step_counts(portion, offer), key=lambda count: (cost_of_steps(portion, offer, count), count))
    quantity = steps * portion.step
    cost = exact_money(cost_of_steps(portion, offer, steps), offer.price.currency)
    paid = Money(cost.for_display(), cost.currency)  # the till takes whole cents
    return purchase_of(offer, portion, need.name, quantity, paid)


def purchase_of(offer: Offer, portion: Portion, name: str, quantity: Fraction, paid: Money) -> Purchase:
    """So much of the offer bought for that money: `used` is the share needed / bought of it, `left` the rest."""
    used = exact_money(exact(paid.amount) * portion.needed / quantity, paid.currency)
    return Purchase(
        material_id=offer.material_id,
        name=name,
        offer_id=offer.id,
        seller=offer.seller,
        quantity_unit=portion.unit,
        needed=float(portion.needed),
        quantity=float(quantity),
        width_mm=portion.width_mm,
        paid=paid,
        used=used,
        left=paid - used,
        length_each_mm=portion.length_each_mm,
        pack_count=portion.pack_count,
        holds_m=portion.holds_m,
        goes_on=portion.goes_on,
    )


def _step_counts(portion: Portion, offer: Offer) -> Iterator[int]:
    """Numbers of steps worth a look: the fewest that do, and the first at each higher price break."""
    fewest = max(1, math.ceil(portion.needed / portion.step))
    yield fewest
    for price_break in offer.price_breaks:
        count = math.ceil(exact(price_break.from_quantity) * portion.priced_per / portion.step)
        if count > fewest:
            yield count


def cost_of_steps(portion: Portion, offer: Offer, steps: int) -> Fraction:
    """What so many steps cost, at the price for that many, before the till rounds."""
    units = steps * portion.step / portion.priced_per
    return unit_price(offer, units) * units


def unit_price(offer: Offer, units: Fraction) -> Fraction:
    """What each of so many units of the offer costs, price breaks reached, in the offer's money."""
    reached = [one for one in offer.price_breaks if exact(one.from_quantity) <= units]
    return exact((max(reached, key=lambda one: one.from_quantity) if reached else offer).price.amount)


def portion_of(need: Need, offer: Offer, splits: bool, units: UnitSystem) -> Portion | DoesNotSuit:
    """What the need takes of the offer, or why it takes nothing."""
    match offer:
        case OfferByLength():
            return _by_length(need, offer, units)
        case OfferByPiece():
            return _by_piece(need, offer, splits, units)
        case OfferByArea():
            return _by_area(need, offer)
        case OfferByCount():
            return _by_count(need, offer, splits, units)


def _by_length(need: Need, offer: OfferByLength, units: UnitSystem) -> Portion | DoesNotSuit:
    length = _length_mm(need, offer.width_mm, units)
    if isinstance(length, DoesNotSuit):
        return length
    step, priced_per = exact_mm(offer.step_mm), exact_mm(offer.priced_per_mm)
    return Portion("mm", length, step, priced_per, offer.width_mm)


def _ready_made(need: Need, each: ReadyMadeFit, length_mm: float, units: UnitSystem) -> Portion | DoesNotSuit:
    if not each.takes(length_mm):
        sold, least = (print_length(one, units).text for one in (length_mm, each.least_mm))
        return DoesNotSuit(f"sells it {sold} long, and it has to be {least} or longer")
    return Portion("pieces", Fraction(need.count or 0), Fraction(1), length_each_mm=length_mm)


def _by_piece(need: Need, offer: OfferByPiece, splits: bool, units: UnitSystem) -> Portion | DoesNotSuit:
    if need.each:
        return _ready_made(need, need.each, offer.length_mm, units)
    length, held = _length_mm(need, offer.width_mm, units), exact_mm(offer.length_mm)
    if isinstance(length, DoesNotSuit):
        return length
    if length > held and not splits:
        return _too_short(held, length, units)
    return Portion("pieces", length / held, Fraction(1), width_mm=offer.width_mm)


def _by_area(need: Need, offer: OfferByArea) -> Portion | DoesNotSuit:
    if need.length_mm is not None or need.count is not None or need.area_mm2 <= 0:
        return DoesNotSuit("sells it by area, and no area of pieces is known")
    needed_m2 = exact_mm2(need.area_mm2) / 10**6 / USED_SHARE_OF_HIDE
    return Portion("m2", needed_m2, exact(offer.usual_area_m2), width_mm=offer.usual_width_mm)


def _by_count(need: Need, offer: OfferByCount, splits: bool, units: UnitSystem) -> Portion | DoesNotSuit:
    if need.each:
        if offer.length_each_m is None:
            return DoesNotSuit("sells it by count, and does not say how long each is")
        found = _ready_made(need, need.each, 1000 * offer.length_each_m, units)
        packs = Fraction(need.count or 0, offer.pack_count)
        if isinstance(found, DoesNotSuit):
            return found
        return replace(found, unit="packs", needed=packs, pack_count=offer.pack_count)
    if need.count is not None:
        return Portion("packs", Fraction(need.count, offer.pack_count), Fraction(1), pack_count=offer.pack_count)
    if need.length_mm is None:
        return DoesNotSuit("sells it by count, and pieces have to be cut out of it")
    if offer.length_each_m is None:
        return DoesNotSuit("sells it by count, and does not say how long each is")
    length, held = exact_mm(need.length_mm), exact(offer.length_each_m) * 1000
    if length > held and not splits:
        return _too_short(held, length, units)
    return Portion(
        "packs",
        length / (held * offer.pack_count),
        Fraction(1),
        pack_count=offer.pack_count,
        holds_m=offer.length_each_m,
        goes_on=splits,
    )


def _length_mm(need: Need, width_mm: float, units: UnitSystem) -> Fraction | DoesNotSuit:
    if need.count is not None:
        return DoesNotSuit("sells it by length, and so many of it are needed")
    if need.length_mm is not None:
        return exact_mm(need.length_mm)
    if width_mm <= 0:
        return DoesNotSuit("names no width, and pieces have to be laid on it")
    lengths = dict(need.lengths_mm_by_width)
    if width_mm not in lengths:
        return DoesNotSuit(f"sells it {print_length(width_mm, units).text} wide, and the pieces do not fit on that")
    return exact_mm(lengths[width_mm])


def _too_short(held: Fraction, length: Fraction, units: UnitSystem) -> DoesNotSuit:
    held_text, length_text = (print_length(float(one), units).text for one in (held, length))
    return DoesNotSuit(f"sells it {held_text} long, and {length_text} are needed in one go")


def check_need(need: Need) -> None:
    """Raises `BrokenPromise` unless the need states one kind of quantity, finite, not negative, once for each width."""
    kinds = (bool(need.lengths_mm_by_width), need.length_mm is not None, need.count is not None)
    numbers = [need.area_mm2, need.length_mm or 0.0, need.count or 0, *(mm for _, mm in need.lengths_mm_by_width)]
    if sum(kinds) > 1 or not all(math.isfinite(number) and number >= 0 for number in numbers):
        raise BrokenPromise(f"a need states one quantity, not negative: {need}")
    if len(dict(need.lengths_mm_by_width)) != len(set(need.lengths_mm_by_width)):
        raise BrokenPromise(f"a need has two lengths for one width: {need}")


def offer_problems(offer: Offer, currency: str) -> Iterator[Problem]:
    """What is wrong with an offer as it was typed: sizes that are not above zero, prices below it or in other money."""
    place = f"offers[{offer.id}]"
    for name, size in _sizes(offer):
        if not (math.isfinite(size) and size > 0):
            yield Problem(
                place=f"{place}.{name}",
                value=str(size),
                what="is not above zero",
                allowed="a size above zero",
                remedy=f"Correct the offer of {offer.seller}.",
            )
    for price in (offer.price, *(one.price for one in offer.price_breaks)):
        if price.currency != currency:
            yield Problem(
                place=f"{place}.price",
                value=f"{price.amount} {price.currency}",
                what=f"is in {price.currency}, while the workroom reckons in {currency}",
                allowed=f"a price in {currency}",
                remedy=f"Type what {offer.seller} charges in {currency}.",
            )
        if price.amount < 0:
            yield Problem(
                place=f"{place}.price",
                value=f"{price.amount} {price.currency}",
                what="is below zero",
                allowed="zero (a gift) or more",
                remedy=f"Correct the offer of {offer.seller}.",
            )


def _sizes(offer: Offer) -> Iterator[tuple[str, float]]:
    for price_break in offer.price_breaks:
        yield "price_breaks", price_break.from_quantity
    match offer:
        case OfferByLength():
            yield from (("step_mm", offer.step_mm), ("priced_per_mm", offer.priced_per_mm))
        case OfferByPiece():
            # What is no sheet, a ready-made zip, has no width that is counted on.
            yield from ((("width_mm", offer.width_mm),) if offer.width_mm else ())
            yield "length_mm", offer.length_mm
        case OfferByArea():
            yield "usual_area_m2", offer.usual_area_m2
        case OfferByCount():
            yield "pack_count", offer.pack_count
            if offer.length_each_m is not None:
                yield "length_each_m", offer.length_each_m
