"""What scraps count for, as she chose: those that go from her stash into a bag, and what is left of what was bought."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from bagwright.costing.reckoning import exact, exact_money
from bagwright.costing.scrap_worth import price_of_m2
from bagwright.model.bag import Workroom
from bagwright.model.cost import Purchase
from bagwright.model.material import Material, Offer, OfferByPiece
from bagwright.model.money import Money
from bagwright.model.running_costs import ScrapsCount

_MM2_PER_M2 = 10**6


def scrap_counts(
    cost: Money | None, area_mm2: float, material: Material, offers: Sequence[Offer], workroom: Workroom
) -> Money:
    r"""What a scrap counts for: nothing; a share of its cost, :math:`s C`; its area at the price of new, :math:`A p`.

    s `Workroom.scraps_share`, C `cost` (None, or other money: she does not count it), A `area_mm2`, p the cheapest
    price of a square metre on sale now, waste not counted. Raises `FaultyInput` if new has no price: never zero then.
    """
    match workroom.scraps_count:
        case ScrapsCount.NOTHING:
            return Money(Decimal(0), workroom.currency)
        case ScrapsCount.SHARE:
            known = cost is not None and cost.currency == workroom.currency
            amount = exact(cost.amount) if cost is not None and known else Fraction(0)
            return exact_money(amount * exact(workroom.scraps_share), workroom.currency)
        case ScrapsCount.REPLACEMENT:
            price = exact(price_of_m2(material, offers).amount)
            return exact_money(price * exact(area_mm2) / _MM2_PER_M2, workroom.currency)


def leftovers_counted(
    purchases: Sequence[Purchase], materials: Mapping[str, Material], offers: Sequence[Offer], workroom: Workroom
) -> tuple[Purchase, ...]:
    """The purchases with what is left of every sheet counted so; what it does not count for, the bags carry.

    What is left of thread, webbing or hardware keeps its price: it is no scrap. Nothing left counts for more than was
    paid. `used` and `left` still add up to `paid`. Raises `FaultyInput` as `scrap_counts` does.
    """
    return tuple(_counted(one, materials, offers, workroom) for one in purchases)


def _counted(one: Purchase, materials: Mapping[str, Material], offers: Sequence[Offer], workroom: Workroom) -> Purchase:
    material = materials[one.material_id]
    if not material.kind.is_sheet or not one.left.amount or one.paid.currency != workroom.currency:
        return one
    counts = scrap_counts(one.left, left_area_mm2(one, offers), material, offers, workroom)
    left = min(counts, one.paid, key=lambda money: money.amount)
    return replace(one, left=left, used=one.paid - left)


def left_area_mm2(one: Purchase, offers: Sequence[Offer]) -> float:
    """Area of the sheet that is bought and not needed."""
    left = one.quantity - one.needed
    if one.quantity_unit == "mm":
        return left * one.width_mm
    return left * next(_areas_mm2(one, offers), float(_MM2_PER_M2))


def _areas_mm2(one: Purchase, offers: Sequence[Offer]) -> Iterator[float]:
    """Of one cut piece; what is sold by area is told in square metres."""
    for offer in offers:
        if offer.id == one.offer_id and isinstance(offer, OfferByPiece):
            yield offer.width_mm * offer.length_mm
