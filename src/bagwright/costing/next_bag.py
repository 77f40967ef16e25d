"""What one more bag takes on top of a plan for a run."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from bagwright.model.cost import Purchase
from bagwright.model.money import Money
from bagwright.model.run_buying import RunPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTop:
    """`extra` money that is paid; what is bought `more` and `less` of for it, in quantity only."""

    extra: Money
    more: tuple[Purchase, ...] = ()
    less: tuple[Purchase, ...] = ()


def on_top(plan: RunPlan, with_next: RunPlan) -> OnTop:
    """The difference of two plans: without the next bag and with it. Nothing where it costs nothing more."""
    extra = with_next.paid - plan.paid
    if extra.amount <= 0:
        return OnTop(extra=Money(Decimal(0), plan.paid.currency))
    return OnTop(extra=extra, more=_bought_more(plan, with_next), less=_bought_more(with_next, plan))


def _bought_more(before: RunPlan, after: RunPlan) -> tuple[Purchase, ...]:
    had = {one.offer_id: one.quantity for one in before.purchases}
    rest = (replace(one, quantity=round(one.quantity - had.get(one.offer_id, 0.0), 6)) for one in after.purchases)
    return tuple(one for one in rest if one.quantity > 0)
