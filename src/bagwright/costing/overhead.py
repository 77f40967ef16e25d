"""Overhead of one bag: her rate for an hour, or the costs of a month shared by bags or by hours."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from bagwright.costing.reckoning import exact, exact_money
from bagwright.errors import Problem
from bagwright.model.bag import Workroom
from bagwright.model.cost import PartKind, PricePart
from bagwright.model.money import Money, total
from bagwright.model.running_costs import Overhead, SharedBy
from bagwright.units import print_minutes

_OVERHEAD = "Overhead"


def overhead_share(a_month: Fraction, shares: Fraction, taken: Fraction) -> Fraction:
    r"""What of the costs of a month one bag carries. :math:`c = C q / Q`

    C `a_month`, Q `shares` (bags or hours that a month has), q `taken` (1 bag, or the hours of this one). Money in,
    money out, exact. Valid for Q above 0. It is right on average only if a month really has Q.

    320,000 shared by 40,000 hours is 8 an hour, and 216 for 27 hours:

    >>> overhead_share(Fraction(320_000), Fraction(40_000), Fraction(27))
    Fraction(216, 1)

    References
    ----------
    .. [1] The predetermined overhead rate of job-order costing: R. Garrison, E. Noreen, P. Brewer, Managerial
       Accounting; rule and example from memory.
    """
    return a_month * taken / shares


def overhead_of_bag(workroom: Workroom, minutes: float) -> PricePart:
    """Overhead of a bag that takes so many minutes, as a line of its price.

    As long as no costs of a month are given, it is her rate for an hour. `overhead_faults` has been asked before.
    """
    overhead, hours = workroom.overhead, exact(minutes) / 60
    if not overhead.lines:
        amount = exact_money(exact(workroom.overhead_per_hour.amount) * hours, workroom.currency)
        says = f"{print_minutes(minutes)} at {workroom.overhead_per_hour.said()} an hour"
        return PricePart(name=_OVERHEAD, amount=amount, reckoned=says, kind=PartKind.OVERHEAD)
    by_bags = overhead.shared_by is SharedBy.BAGS
    whole, shares = exact(_a_month(workroom).amount), exact(overhead.shares)
    amount = exact_money(overhead_share(whole, shares, Fraction(1) if by_bags else hours), workroom.currency)
    says = overhead_said(workroom) if by_bags else f"{print_minutes(minutes)} of {overhead_said(workroom)}"
    return PricePart(name=_OVERHEAD, amount=amount, reckoned=says, kind=PartKind.OVERHEAD)


def overhead_an_hour(workroom: Workroom) -> Money:
    """What one more hour on a bag takes of it: nothing where bags share the month, however long they take."""
    overhead = workroom.overhead
    if not overhead.lines:
        return workroom.overhead_per_hour
    if overhead.shared_by is SharedBy.BAGS:
        return exact_money(Fraction(0), workroom.currency)
    share = overhead_share(exact(_a_month(workroom).amount), exact(overhead.shares), Fraction(1))
    return exact_money(share, workroom.currency)


def overhead_said(workroom: Workroom) -> str:
    """How overhead is reckoned, in words.

    >>> overhead_said(Workroom())
    '$2.00 an hour'
    """
    overhead = workroom.overhead
    if not overhead.lines:
        return f"{workroom.overhead_per_hour.said()} an hour"
    lines = ", ".join(f"{line.name} {line.a_month.said()}" for line in overhead.lines)
    whole = "" if len(overhead.lines) == 1 else f", together {_a_month(workroom).said()}"
    return f"{lines}{whole} a month, shared by {overhead.shares:g} {overhead.shared_by}"


def overhead_faults(workroom: Workroom) -> Iterator[Problem]:
    """What is wrong with the costs of a month: a missing number of bags or hours is told, never taken for any."""
    overhead = workroom.overhead
    for number, line in enumerate(overhead.lines):
        place = f"overhead.lines[{number}].a_month"
        if line.a_month.amount < 0:
            yield _problem(place, line.a_month.amount, f"is below zero ({line.name})", "zero or more")
        if line.a_month.currency != workroom.currency:
            what = f"is in {line.a_month.currency}, while the workroom reckons in {workroom.currency}"
            yield _problem(place, line.a_month.amount, what, f"an amount in {workroom.currency}")
    if overhead.lines and not (math.isfinite(overhead.shares) and overhead.shares > 0):
        yield _missing_shares(overhead)


def _a_month(workroom: Workroom) -> Money:
    return total((line.a_month for line in workroom.overhead.lines), workroom.currency)


def _missing_shares(overhead: Overhead) -> Problem:
    place = f"overhead.{overhead.shared_by}_a_month"
    what = f"does not say how many {overhead.shared_by} share the costs of a month"
    value = "" if overhead.shares == 0 else f"{overhead.shares:g}"
    return _problem(place, value, what, "a number above 0")


def _problem(place: str, value: object, what: str, allowed: str) -> Problem:
    remedy = "Correct it among the running costs of the workroom."
    return Problem(place=place, value=str(value), what=what, allowed=allowed, remedy=remedy)
