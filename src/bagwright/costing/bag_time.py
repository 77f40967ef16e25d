"""The working time of a bag in one value: sum, range, pay, and each bag of a run."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bagwright.costing.reckoning import exact, exact_money
from bagwright.costing.step_minutes import SETUP
from bagwright.costing.working_time import practice
from bagwright.model.bag import Workroom
from bagwright.model.cost import BagTime, Price, TimeStep
from bagwright.model.money import Money


def bag_time(steps: Sequence[TimeStep], workroom: Workroom, *, made_before: int = 0, run_count: int = 1) -> BagTime:
    """What the steps of one bag, on average over a run of `run_count`, come to.

    The range takes all steps as off to the same side, which is wider than chance would have it: standard times that are
    too short for her are so all along. Each bag of the run takes its share by practice, and as much of setting up.
    """
    minutes = math.fsum(step.minutes for step in steps)
    low, high = minutes_range(steps)
    pay, pay_low, pay_high = (_pay(one, workroom.hourly_pay) for one in (minutes, low, high))
    return BagTime(
        steps=tuple(steps),
        minutes=minutes,
        doubt=high - minutes,
        pay=pay,
        pay_low=pay_low,
        pay_high=pay_high,
        each=_each(steps, practice(workroom, made_before=made_before, count=run_count)),
        run_pay=_pay(minutes * run_count, workroom.hourly_pay),
        made_before=made_before,
    )


def minutes_range(steps: Sequence[TimeStep]) -> tuple[float, float]:
    """Least and most minutes that the steps take together, all off to the same side.

    >>> minutes_range([TimeStep(name="cut", minutes=10, reckoned="", doubt=3)])
    (7.0, 13.0)
    """
    minutes, doubt = math.fsum(step.minutes for step in steps), math.fsum(step.doubt for step in steps)
    return max(minutes - doubt, 0.0), minutes + doubt


def pay_range(price: Price, steps: Sequence[TimeStep]) -> tuple[Money, Money]:
    """Least and most pay in that price, by the range of the minutes."""
    low, high = minutes_range(steps)
    currency, rate = price.pay.currency, exact(price.pay.amount) / exact(price.minutes)
    return exact_money(rate * exact(low), currency), exact_money(rate * exact(high), currency)


def _each(steps: Sequence[TimeStep], shares: Sequence[float]) -> tuple[float, ...]:
    setup = math.fsum(step.minutes for step in steps if step.id == SETUP)
    average = math.fsum(step.minutes for step in steps if step.id != SETUP)
    first = average * len(shares) / math.fsum(shares)
    return tuple(first * share + setup for share in shares)


def _pay(minutes: float, rate: Money) -> Money:
    return exact_money(exact(rate.amount) * exact(minutes) / 60, rate.currency)
