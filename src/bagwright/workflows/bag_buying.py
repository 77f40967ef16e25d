"""Buying for one bag where sellers charge for delivery or take no small orders: materials and thread at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bagwright.costing._solver import Effort
from bagwright.costing.buying import buy_materials
from bagwright.costing.buying_together import buy_together
from bagwright.costing.scraps_counted import leftovers_counted
from bagwright.errors import FaultyInput, NoAnswer
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, Need, Purchase
from bagwright.model.money import Money, total
from bagwright.model.run_buying import RunNeed
from bagwright.workflows.shelf import Shelf

PAGE_EFFORT = Effort(seconds=6.0)
"""A plan for a page takes a few tenths of a second; this is for a machine that has much else to do."""


def asks_for_something(needs: Sequence[Need], shelf: Shelf) -> bool:
    """Whether any seller of what is needed charges for delivery or takes no small orders."""
    materials = {need.material_id for need in needs}
    sellers = {offer.seller for offer in shelf.offers if offer.material_id in materials}
    return any(one.seller in sellers and (one.delivery.amount or one.least_order) for one in shelf.terms)


def buy_for_bag(
    needs: Sequence[Need], thread: Need, by_itself: BuyingPlan, shelf: Shelf, workroom: Workroom
) -> tuple[BuyingPlan, BuyingPlan]:
    """The plan for the materials and the one for the thread; delivery is in the first. `by_itself`: thread alone.

    Where no seller asks for anything, each need is bought by itself. Raises `FaultyInput`.
    """
    if not asks_for_something([*needs, thread], shelf):
        return buy_materials(needs, shelf.offers, currency=workroom.currency, units=workroom.units), by_itself
    wanted = [*(RunNeed(need=need) for need in needs), RunNeed(need=thread, goes_on=True)]
    try:
        plan = buy_together(
            wanted, shelf.offers, shelf.terms, currency=workroom.currency, effort=PAGE_EFFORT, units=workroom.units
        )
    except NoAnswer as none:
        raise FaultyInput([none.problem]) from None
    # What is bought only to reach free delivery comes last: pages speak of the first purchase of a material.
    bought = sorted(plan.purchases, key=lambda one: not one.needed)
    deliveries = tuple((order.seller, order.delivery) for order in plan.orders if order.delivery.amount)
    materials = [one for one in bought if one.material_id != thread.material_id]
    threads = [one for one in bought if one.material_id == thread.material_id]
    return _plan(materials, deliveries, workroom.currency), _plan(threads, (), workroom.currency)


def with_leftovers_counted(plan: BuyingPlan, shelf: Shelf, workroom: Workroom) -> BuyingPlan:
    """The plan with what is left of its sheets counted as she chose; what is paid stays. Raises `FaultyInput`."""
    purchases = leftovers_counted(plan.purchases, shelf.materials, shelf.offers, workroom)
    left = total((one.left for one in purchases), workroom.currency)
    return replace(plan, purchases=purchases, left=left, used=plan.paid - left)


def _plan(purchases: Sequence[Purchase], deliveries: tuple[tuple[str, Money], ...], currency: str) -> BuyingPlan:
    delivery = total((money for _, money in deliveries), currency)
    return BuyingPlan(
        purchases=tuple(purchases),
        paid=total((one.paid for one in purchases), currency) + delivery,
        used=total((one.used for one in purchases), currency) + delivery,
        left=total((one.left for one in purchases), currency),
        deliveries=deliveries,
    )
