"""Prices that a bag, or a run, is reckoned with and that are older than her workroom allows."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from bagwright.costing.price_age import price_age_problems
from bagwright.errors import Problem
from bagwright.model.bag import Workroom
from bagwright.model.cost import BuyingPlan, Purchase
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.shelf import Shelf


def stale_prices(answer: BagAnswer, shelf: Shelf, workroom: Workroom, *, today: date) -> tuple[Problem, ...]:
    """A problem, at its day, for every price in use that is too old or lies in the future."""
    return stale_purchases(purchases_of(answer), shelf, workroom, today=today)


def purchases_of(answer: BagAnswer) -> list[Purchase]:
    """Everything that the answer buys, thread among it."""
    plans: Iterable[BuyingPlan] = filter(None, (answer.plan, answer.supplies))
    return [one for plan in plans for one in plan.purchases]


def stale_purchases(purchases: list[Purchase], shelf: Shelf, workroom: Workroom, *, today: date) -> tuple[Problem, ...]:
    """The same for any purchases."""
    days = workroom.stale_after_days
    return tuple(price_age_problems(purchases, shelf.offers, today=today, stale_after_days=days))
