"""Which offers to take, so that everything a run needs costs least at the counter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bagwright.costing.offers import DoesNotSuit, check_need, offer_problems, quote_offer
from bagwright.errors import FaultyInput, Problem
from bagwright.model.cost import BuyingPlan, Need, Purchase
from bagwright.model.material import Offer
from bagwright.model.money import total
from bagwright.units import UnitSystem


def buy_materials(
    needs: Sequence[Need], offers: Sequence[Offer], *, currency: str, units: UnitSystem = UnitSystem.INCH
) -> BuyingPlan:
    """The cheapest offer for each need; of two that cost the same, the one that leaves less on the shelf.

    `Need.lengths_mm_by_width` names the width as the offer does (`width_mm`, selvedges still on), so a layout has to be
    made at each width offered before buying; a width that is left out is one the pieces do not fit on. How each kind of
    offer is reckoned: `quote_offer`. `units` are those of the sentences.

    Each need is bought by itself: an offer is never shared between two needs, nor a need between two offers.

    Raises `FaultyInput` with every fault found: no offer, none that suits, a price in other money.
    """
    return _plan((_cheapest(need, offers, currency, units) for need in needs if not _takes_nothing(need)), currency)


def buy_continuous(
    need: Need, offers: Sequence[Offer], *, currency: str, units: UnitSystem = UnitSystem.INCH
) -> BuyingPlan:
    """The same for one need that may go on from one piece or spool to the next, such as thread."""
    wanted = [] if _takes_nothing(need) else [_cheapest(need, offers, currency, units, splits=True)]
    return _plan(wanted, currency)


def _plan(found: Iterable[Purchase | list[Problem]], currency: str) -> BuyingPlan:
    purchases: list[Purchase] = []
    problems: list[Problem] = []
    for one in found:
        if isinstance(one, Purchase):
            purchases.append(one)
        else:
            problems += one
    if problems:
        raise FaultyInput(dict.fromkeys(problems))
    return BuyingPlan(
        purchases=tuple(purchases),
        paid=total((one.paid for one in purchases), currency),
        used=total((one.used for one in purchases), currency),
        left=total((one.left for one in purchases), currency),
    )


def _cheapest(
    need: Need, offers: Sequence[Offer], currency: str, units: UnitSystem, *, splits: bool = False
) -> Purchase | list[Problem]:
    own = [offer for offer in offers if offer.material_id == need.material_id]
    if problems := [problem for offer in own for problem in offer_problems(offer, currency)]:
        return problems
    quotes = [(offer, quote_offer(need, offer, splits=splits, units=units)) for offer in own]
    suited = [quote for _, quote in quotes if isinstance(quote, Purchase)]
    if not suited:
        reasons = [f"{offer.seller} {quote.reason}" for offer, quote in quotes if isinstance(quote, DoesNotSuit)]
        return [no_offer(need, reasons)]
    return min(suited, key=lambda quote: (quote.paid.amount, quote.left.amount, quote.offer_id))


def no_offer(need: Need, reasons: Sequence[str]) -> Problem:
    """What to say where no offer suits; `reasons`: why each does not."""
    return Problem(
        place=f"materials[{need.material_id}].offers",
        value=need.name,
        what=("cannot be bought for this: " + "; ".join(reasons)) if reasons else "has no price yet",
        allowed="at least one offer that suits",
        remedy="Add an offer with a price"
        + (", wider, longer or by length." if reasons else ", as the shop sells it."),
    )


def without_offers(needs: Sequence[Need], offers: Sequence[Offer]) -> list[Problem]:
    """A problem for every need of which nothing at all is on sale: told at once, before any sum is done.

    >>> [problem.value for problem in without_offers([Need(material_id="felt", name="felt", count=1)], [])]
    ['felt']
    """
    sold = {offer.material_id for offer in offers}
    return [no_offer(need, ()) for need in needs if need.material_id not in sold and not _takes_nothing(need)]


def _takes_nothing(need: Need) -> bool:
    check_need(need)
    if need.length_mm is not None or need.count is not None:
        return not (need.length_mm or need.count)
    return bool(need.lengths_mm_by_width) and not any(mm for _, mm in need.lengths_mm_by_width)
