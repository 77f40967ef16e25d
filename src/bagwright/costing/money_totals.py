"""The totals of a bag for any values of its terms, many at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from bagwright.model.cost import PartKind
from bagwright.model.money_terms import (
    BRINGING,
    KEPT_FIXED,
    KEPT_SHARE,
    OVERHEAD_HOUR,
    PAY,
    PRICE,
    TAX,
    BagMoney,
    Effect,
    Term,
    Total,
    Works,
)

Column = NDArray[np.float64]
Values = Mapping[str, Column]
"""A column of values for each term that is not at its own value; all of one length."""

_MATERIALS = frozenset({PartKind.MATERIAL, PartKind.STASH, PartKind.DELIVERY})


def totals_at(money: BagMoney, values: Values, count: int) -> dict[Total, Column]:
    r"""Every total, for `count` sets of values of the terms; a term that `values` leaves out stays at its own.

    .. math:: F = \sum_i A_i \prod_k g_k + o h, \quad B = \frac{(F + p H + f + d)(1 + t)}{1 - s (1 + t)}, \quad
              e = \frac{P / (1 + t) - s P - f - d - F}{H}

    A lines of money and g their effects; h hours of making, H all hours; o overhead and p pay for an hour; s, f what
    the seller keeps, d bringing it there, t tax; F cost, B price that pays her, e what an hour earns at the price P.
    Where a set of values makes s (1 + t) 1 or more, or H nothing, its B or e is not a finite number.
    """
    terms = {term.id: term for term in money.terms}

    def at(term_id: str) -> Column:
        return values.get(term_id, np.full(count, terms[term_id].value))

    amounts = [(line.kind, line.amount * _grown(line.effects, terms, values, count)) for line in money.lines]
    spent = [(line.is_making, line.minutes * _grown(line.effects, terms, values, count)) for line in money.work]
    none = np.zeros(count)
    minutes = sum((one for _, one in spent), none)
    making_hours = sum((one for is_making, one in spent if is_making), none) / 60
    cost = sum((one for _, one in amounts), none) + at(OVERHEAD_HOUR) * making_hours
    taxed, seller = 1 + at(TAX), at(KEPT_FIXED) + at(BRINGING)
    left = at(PRICE) / taxed - at(KEPT_SHARE) * at(PRICE) - seller - cost
    with np.errstate(divide="ignore", invalid="ignore"):
        price = (cost + at(PAY) * minutes / 60 + seller) * taxed / (1 - at(KEPT_SHARE) * taxed)
        hour = left / (minutes / 60)
    return {
        Total.MATERIALS: sum((one for kind, one in amounts if kind in _MATERIALS), none),
        Total.SUPPLIES: sum((one for kind, one in amounts if kind is PartKind.SUPPLY), none),
        Total.MINUTES: minutes,
        Total.COST: cost,
        Total.PAID_PRICE: price,
        Total.HOUR: hour,
    }


def _grown(effects: Sequence[Effect], terms: Mapping[str, Term], values: Values, count: int) -> Column:
    """What all effects together make of a line, as a factor."""
    factor = np.ones(count)
    for effect in effects:
        if effect.term_id in values:
            factor = factor * growth(effect.works, terms[effect.term_id].value, values[effect.term_id])
    return factor


def growth(works: Works, before: float, now: Column) -> Column:
    """The factor by which a line follows one term that was `before` and is `now`.

    >>> float(growth(Works.LOST, 0.0, np.array(0.5))), float(growth(Works.SHARED, 4.0, np.array(2.0)))
    (2.0, 2.0)
    """
    match works:
        case Works.TIMES:
            return now / before
        case Works.SHARED:
            return before / now
        case Works.LOST:
            return (1 - before) / (1 - now)
