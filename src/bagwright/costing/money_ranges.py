"""Between what the totals of a bag lie: every input drawn from its range, many times over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from bagwright.costing.logged_time import Z_90
from bagwright.costing.money_totals import Column, totals_at
from bagwright.errors import BrokenPromise
from bagwright.model.money_terms import LEAST_OF_BELL, BagMoney, RangedTotal, Spread, Term, Total

DRAWS = 32_768
"""The 5th and 95th hundredths then lie within some 0.4 % of the range of where endless draws would put them."""
NINE_IN_TEN = (0.05, 0.95)


@lru_cache(maxsize=64)
def ranged_totals(money: BagMoney, *, draws: int = DRAWS, seed: int = 1) -> tuple[RangedTotal, ...]:
    """Every total with every term at its value, and between what it lies in nine cases of ten.

    Each term is drawn from its spread once for every total together, so that what feeds several of them moves them
    together; terms are independent but for those that are `together`. The draws are a Latin hypercube: each term takes
    one value from each of `draws` equally likely slices, in an order of its own (M. McKay, R. Beckman, W. Conover,
    Technometrics 21, 1979, pp. 239-245; from memory). The same seed gives the same ranges.
    """
    if draws < 2:
        raise BrokenPromise(f"a range takes two draws or more, got {draws}")
    drawn = totals_at(money, _drawn(money.terms, draws, seed), draws)
    now = totals_at(money, {}, 1)
    return tuple(_ranged(total, float(now[total][0]), drawn[total]) for total in Total)


def _ranged(total: Total, value: float, drawn: Column) -> RangedTotal:
    if np.ptp(drawn) <= 1e-9 * max(1.0, abs(value)):
        return RangedTotal(total=total, value=value, low=value, high=value)
    low, high = (float(one) for one in np.quantile(drawn, NINE_IN_TEN))
    return RangedTotal(total=total, value=value, low=low, high=high)


def _drawn(terms: Sequence[Term], draws: int, seed: int) -> Mapping[str, Column]:
    """A column for every term that has a range; those together share their slices."""
    rng = np.random.default_rng(seed)
    slices: dict[str, NDArray[np.int64]] = {}
    columns = {}
    for term in terms:
        if term.is_exact:
            continue
        key = term.together or term.id
        if key not in slices:
            slices[key] = rng.permutation(draws)
        columns[term.id] = _values_in_slices(term, draws)[slices[key]]
    return columns


def _values_in_slices(term: Term, draws: int) -> Column:
    """The value in the middle of each of so many equally likely slices, rising."""
    if term.spread is Spread.BELL:
        return np.maximum(term.value + (term.high - term.value) / Z_90 * _bell(draws), LEAST_OF_BELL * term.value)
    return _peaked(term, (np.arange(draws) + 0.5) / draws)


def _peaked(term: Term, chances: Column) -> Column:
    """Values below which a triangular term falls with these chances."""
    low, top, high = term.low, term.value, term.high
    width = high - low
    rising = low + np.sqrt(chances * width * (top - low))
    falling = high - np.sqrt((1 - chances) * width * (high - top))
    return np.where(chances * width < top - low, rising, falling)


@lru_cache(maxsize=4)
def _bell(draws: int) -> Column:
    return np.array([NormalDist().inv_cdf((place + 0.5) / draws) for place in range(draws)])
