"""What one bag costs, and what price pays for it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from bagwright.costing.overhead import overhead_faults, overhead_of_bag
from bagwright.costing.reckoning import exact, exact_money
from bagwright.costing.used_up import not_counted
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, PartKind, Price, PricePart, TimeStep
from bagwright.model.money import Money, total
from bagwright.units import print_minutes


def price_bag(
    materials: BuyingPlan, supplies: BuyingPlan, steps: Sequence[TimeStep], *, run_count: int, workroom: Workroom
) -> Price:
    """Price of one bag of a run. `materials` and `supplies` are for the whole run, `steps` for one bag.

    floor = materials used + supplies used (with what is `used_up`) + overhead (`overhead_of_bag`); paid price =
    (floor + pay x hours + fixed fee) / (1 - fee share), so that after the fees the floor and her pay are left. Each
    amount is rounded to a millionth of the currency and the fees are what is left, so `parts` add up to `paid_price`
    exactly; nothing is rounded to cents before it is shown.

    Raises `FaultyInput` for a fee share outside 0 to below 1, a rate below zero or in other money.
    """
    _refuse_faults(workroom, (materials.used, supplies.used))
    if run_count < 1:
        raise BrokenPromise(f"a run has at least one bag, got {run_count}")
    minutes = math.fsum(step.minutes for step in steps)
    material_parts = tuple(_used_parts(materials, run_count, PartKind.MATERIAL))
    supply_parts = tuple(_used_parts(supplies, run_count, PartKind.SUPPLY))
    overhead, pay = overhead_of_bag(workroom, minutes), _pay_part(workroom.hourly_pay, minutes)
    floor = total((part.amount for part in (*material_parts, *supply_parts, overhead)), workroom.currency)
    paid_price = _grossed_up(floor + pay.amount, workroom)
    fees = _fee_part(paid_price - floor - pay.amount, workroom)
    return Price(
        materials=total((part.amount for part in material_parts), workroom.currency),
        supplies=total((part.amount for part in supply_parts), workroom.currency),
        overhead=overhead.amount,
        pay=pay.amount,
        fees=fees.amount,
        floor=floor,
        paid_price=paid_price,
        minutes=minutes,
        parts=(*material_parts, *supply_parts, overhead, pay, fees),
        not_counted=not_counted(workroom, has_delivery=bool(materials.deliveries)),
    )


def _used_parts(plan: BuyingPlan, run_count: int, kind: PartKind) -> Iterator[PricePart]:
    share = f", for {run_count} bags" if run_count > 1 else ""
    for purchase in plan.purchases:
        yield PricePart(
            name=purchase.name,
            amount=exact_money(exact(purchase.used.amount) / run_count, purchase.used.currency),
            reckoned=f"{purchase.used.said()} used of {purchase.paid.said()} paid{share}",
            kind=kind,
            offer_id=purchase.offer_id,
        )
    for seller, money in plan.deliveries:
        yield PricePart(
            name=f"Delivery from {seller}",
            amount=exact_money(exact(money.amount) / run_count, money.currency),
            reckoned=f"{money.said()} for one order{share}",
            kind=PartKind.DELIVERY,
        )
    for name, money in plan.from_stash:
        yield PricePart(
            name=f"{name} from the stash",
            amount=exact_money(exact(money.amount) / run_count, money.currency),
            reckoned=f"{money.said()} of its worth{share}",
            kind=PartKind.STASH,
        )
    yield from plan.used_up


def _pay_part(rate: Money, minutes: float) -> PricePart:
    amount = exact_money(exact(rate.amount) * exact(minutes) / 60, rate.currency)
    reckoned = f"{print_minutes(minutes)} at {rate.said()} an hour"
    return PricePart(name="Your pay", amount=amount, reckoned=reckoned, kind=PartKind.PAY)


def _grossed_up(wanted: Money, workroom: Workroom) -> Money:
    kept_share: Fraction = 1 - exact(workroom.selling_fee_share)
    return exact_money(exact((wanted + workroom.selling_fee_fixed).amount) / kept_share, workroom.currency)


def _fee_part(amount: Money, workroom: Workroom) -> PricePart:
    share = (workroom.selling_fee_share * 100).normalize()
    reckoned = f"{share:f} % of the price and {workroom.selling_fee_fixed.said()}"
    return PricePart(name="Selling fees", amount=amount, reckoned=reckoned, kind=PartKind.FEES)


def _refuse_faults(workroom: Workroom, amounts: Sequence[Money]) -> None:
    if problems := list(_faults(workroom, amounts)):
        raise FaultyInput(problems)


def _faults(workroom: Workroom, amounts: Sequence[Money]) -> Iterator[Problem]:
    if not (workroom.selling_fee_share.is_finite() and 0 <= workroom.selling_fee_share < 1):
        what = "is not a share that leaves anything of a sale"
        yield _problem("selling_fee_share", str(workroom.selling_fee_share), what, "0 to below 1 (0.05 is 5 %)")
    rates = {
        "hourly_pay": workroom.hourly_pay,
        "overhead_per_hour": workroom.overhead_per_hour,
        "selling_fee_fixed": workroom.selling_fee_fixed,
    }
    for place, rate in rates.items():
        if rate.amount < 0:
            yield _problem(place, str(rate.amount), "is below zero", "zero or more")
    for place, amount in (*rates.items(), *(("price", amount) for amount in amounts)):
        if amount.currency != workroom.currency:
            what = f"is in {amount.currency}, while the workroom reckons in {workroom.currency}"
            yield _problem(place, f"{amount.amount} {amount.currency}", what, f"an amount in {workroom.currency}")
    yield from overhead_faults(workroom)


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Correct it in the workroom settings.")
