"""What steps of one offer cost at the till: whole cents, with price breaks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import numpy as np

from bagwright.costing.lattice import Floats, Ints
from bagwright.costing.offers import Portion
from bagwright.costing.reckoning import exact
from bagwright.model.material import Offer

_HALF = Fraction(1, 2)
_SAFE = 2**62
_ENDLESS = 2**60
"""More steps, and more cents, than anybody buys."""


@dataclass(frozen=True, slots=True)
class _Rate:
    """From `first` to `last` steps, each costs `cents`."""

    first: int
    last: int
    cents: Fraction

    def paid(self, counts: Ints) -> Floats:
        """Whole cents, halves up; in whole numbers, for thousands of fractions take too long."""
        doubled, below = 2 * self.cents.numerator, 2 * self.cents.denominator
        half = self.cents.denominator
        if doubled * int(counts.max(initial=0)) + half < _SAFE and below < _SAFE:
            return ((doubled * counts + half) // below).astype(np.float64)
        return np.array([(doubled * count + half) // below for count in counts.tolist()], dtype=np.float64)

    def steps_for(self, cents: int, start: int) -> int | None:
        """The fewest steps from `start` on that cost so much at this rate."""
        enough = math.ceil((cents - _HALF) / self.cents) if self.cents else (0 if cents <= 0 else _ENDLESS)
        steps = max(start, self.first, enough)
        return steps if steps <= self.last else None


def _rates(portion: Portion, offer: Offer) -> list[_Rate]:
    per_step = 100 * portion.step / portion.priced_per
    found = {0: exact(offer.price.amount) * per_step}
    for one in sorted(offer.price_breaks, key=lambda one: one.from_quantity):
        start = math.ceil(exact(one.from_quantity) * portion.priced_per / portion.step)
        found[start] = exact(one.price.amount) * per_step
    ends = pairwise([*sorted(start for start in found if start < _ENDLESS), _ENDLESS])
    return [_Rate(first, after - 1, found[first]) for first, after in ends]


class Till:
    """Prices of so many steps of an offer."""

    def __init__(self, portion: Portion, offer: Offer) -> None:
        self._rates = _rates(portion, offer)

    def cents(self, steps: int) -> float:
        """What so many steps cost."""
        return float(self.cents_of(np.array([steps]))[0])

    def cents_of(self, counts: Ints) -> Floats:
        """What each number of steps costs."""
        found = np.zeros(len(counts))
        for one in self._rates:
            own = (counts >= one.first) & (counts <= one.last)
            found[own] = one.paid(counts[own])
        return found

    def steps_for(self, cents: float, start: int) -> int | None:
        """The cheapest number of steps from `start` on that costs so much, the fewest of those; None if none does."""
        least = math.ceil(min(cents, _ENDLESS))
        found = [steps for one in self._rates if (steps := one.steps_for(least, start)) is not None]
        return min(found, key=lambda steps: (self.cents(steps), steps), default=None)

    def rise(self, steps: int) -> float:
        """So many cents at most do so many steps more cost; infinite if a price break makes things dearer."""
        if any(after.cents > before.cents for before, after in pairwise(self._rates)):
            return math.inf
        return float(math.floor(steps * self._rates[0].cents) + 1)

    def last_break(self) -> int:
        """The fewest steps at the price of the last price break; 0 without any."""
        return self._rates[-1].first

    def best_steps(self, counts: Ints) -> Ints:
        """For each number of steps, the one from there on that costs least, the fewest of those; none for none."""
        best, cents = counts.copy(), self.cents_of(counts)
        for one in self._rates[1:]:
            at_break = self.cents(one.first)
            saves = (counts > 0) & (counts < one.first) & (at_break < cents)
            best[saves], cents[saves] = one.first, at_break
        return best
