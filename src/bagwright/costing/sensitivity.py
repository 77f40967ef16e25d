"""What matters most: every input of a bag's money moved by itself, from one end of its range to the other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from bagwright.costing.money_totals import totals_at
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
    Swing,
    Term,
    Total,
    Works,
)


def sensitivity(money: BagMoney) -> tuple[Swing, ...]:
    """One swing for every term that has a range, in their order; all other terms stay at their values."""
    moving = [term for term in money.terms if not term.is_exact]
    count = 2 * len(moving) + 1
    values = {}
    for number, term in enumerate(moving):
        column = np.full(count, term.value)
        column[2 * number + 1], column[2 * number + 2] = term.low, term.high
        values[term.id] = column
    found = totals_at(money, values, count)

    def moved(place: int) -> Mapping[Total, float]:
        return {total: float(column[place] - column[0]) for total, column in found.items()}

    return tuple(
        Swing(
            term=term,
            at_low=moved(2 * number + 1),
            at_high=moved(2 * number + 2),
            slopes=slopes(money, term),
        )
        for number, term in enumerate(moving)
    )


def widest_first(swings: Iterable[Swing], total: Total) -> tuple[Swing, ...]:
    """Those that move that total at all, the one that moves it most first."""
    moving = [one for one in swings if one.width(total) > 0]
    return tuple(sorted(moving, key=lambda one: (-one.width(total), one.term.id)))


def slopes(money: BagMoney, term: Term) -> Mapping[Total, float]:
    r"""Change of each total for one unit more of a term, every term at its value: the partial derivatives.

    A line A that grows with x has :math:`A / x`, one that x shares :math:`-A / x`, one that makes up for a lost share
    :math:`A / (1 - x)`; the price that pays and the hour's pay follow by the rules of quotients from the formulas of
    `totals_at`.
    """
    now = {total: float(column[0]) for total, column in totals_at(money, {}, 1).items()}
    at = {one.id: one.value for one in money.terms}
    by_kind: dict[PartKind, float] = {}
    for line in money.lines:
        by_kind[line.kind] = by_kind.get(line.kind, 0.0) + _slope(line.amount, line.effects, term)
    minutes = sum(_slope(line.minutes, line.effects, term) for line in money.work)
    making = sum(_slope(line.minutes, line.effects, term) for line in money.work if line.is_making)
    making_now = sum(line.minutes for line in money.work if line.is_making)
    d = {one: float(one == term.id) for one in at}
    cost = sum(by_kind.values()) + at[OVERHEAD_HOUR] * making / 60 + d[OVERHEAD_HOUR] * making_now / 60
    pay = d[PAY] * now[Total.MINUTES] / 60 + at[PAY] * minutes / 60
    seller = d[KEPT_FIXED] + d[BRINGING]
    taxed, share, price = 1 + at[TAX], at[KEPT_SHARE], at[PRICE]
    kept = 1 - share * taxed
    kept_slope = -(d[KEPT_SHARE] * taxed + share * d[TAX])
    wanted = now[Total.PAID_PRICE] * kept / taxed
    paid = ((cost + pay + seller) * taxed + wanted * d[TAX] - now[Total.PAID_PRICE] * kept_slope) / kept
    net = d[PRICE] / taxed - price * d[TAX] / taxed**2
    left = net - d[KEPT_SHARE] * price - share * d[PRICE] - seller - cost
    hours = now[Total.MINUTES] / 60
    hour = (left - now[Total.HOUR] * minutes / 60) / hours if hours else float("nan")
    materials = (PartKind.MATERIAL, PartKind.STASH, PartKind.DELIVERY)
    return {
        Total.MATERIALS: sum(by_kind.get(kind, 0.0) for kind in materials),
        Total.SUPPLIES: by_kind.get(PartKind.SUPPLY, 0.0),
        Total.MINUTES: minutes,
        Total.COST: cost,
        Total.PAID_PRICE: paid,
        Total.HOUR: hour,
    }


def _slope(amount: float, effects: Iterable[Effect], term: Term) -> float:
    """Of one line; a line may follow a term by more than one way."""
    works = [effect.works for effect in effects if effect.term_id == term.id]
    return sum(amount * _share(one, term.value) for one in works)


def _share(works: Works, value: float) -> float:
    match works:
        case Works.TIMES:
            return 1 / value
        case Works.SHARED:
            return -1 / value
        case Works.LOST:
            return 1 / (1 - value)
