"""What steps of one offer cost at the till: whole cents, with price breaks."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import numpy as np

from bagwright.costing.lattice import Floats, Ints
from bagwright.costing.offers import Portion, cost_of_steps
from bagwright.costing.reckoning import exact
from bagwright.model.material import Offer

MOST_STEPS = 5_000


def _rates(portion: Portion, offer: Offer) -> list[tuple[int, Fraction]]:
    """From how many steps on each price holds, and what a step costs then, in cents."""
    per_step = 100 * portion.step / portion.priced_per
    found = {0: exact(offer.price.amount) * per_step}
    for one in sorted(offer.price_breaks, key=lambda one: one.from_quantity):
        start = math.ceil(exact(one.from_quantity) * portion.priced_per / portion.step)
        found[start] = exact(one.price.amount) * per_step
    return sorted(found.items())


class Till:
    """Prices of so many steps of an offer, reckoned as they are asked for."""

    def __init__(self, portion: Portion, offer: Offer) -> None:
        self._portion, self._offer = portion, offer
        self._rates = _rates(portion, offer)
        self._cents = np.zeros(1)

    def cents(self, steps: int) -> float:
        """What so many steps cost."""
        return float(self.cents_up_to(steps)[steps])

    def cents_up_to(self, steps: int) -> Floats:
        """What so many steps cost, and all fewer."""
        known = len(self._cents)
        if steps >= known:
            more: list[int] = []
            for (start, cents), (end, _) in pairwise([*self._rates, (steps + 1, Fraction(0))]):
                counts = range(max(start, known), min(end, steps + 1))
                # Halves up, in whole numbers: thousands of fractions take too long.
                doubled, half = 2 * cents.numerator, cents.denominator
                more += [(doubled * count + half) // (2 * half) for count in counts]
            self._cents = np.concatenate([self._cents, np.array(more, dtype=float)])
        return self._cents[: steps + 1]

    def steps_for(self, cents: float, start: int) -> int | None:
        """The fewest steps from `start` on that cost so much; None if that takes too many."""
        most = start
        while most <= MOST_STEPS:
            most = 2 * most + 8
            reached = np.flatnonzero(self.cents_up_to(most)[start:] >= cents)
            if len(reached):
                return start + int(reached[0])
        return None

    def is_gift_from(self, steps: int) -> bool:
        """Whether so many steps, beyond the last price break, and all more cost nothing."""
        return not cost_of_steps(self._portion, self._offer, max(1, steps))

    def last_break(self) -> int:
        """The fewest steps at the price of the last price break; 0 without any."""
        portion = self._portion
        breaks = [exact(one.from_quantity) * portion.priced_per / portion.step for one in self._offer.price_breaks]
        return max(map(math.ceil, breaks), default=0)

    def best_steps(self, most: int) -> Ints:
        """For each number of steps up to `most`, the one from there on that costs least; nothing for nothing."""
        cents, best = self.cents_up_to(most), np.arange(most + 1)
        for count in range(most - 1, 0, -1):
            best[count] = best[count + 1] if cents[best[count + 1]] < cents[count] else count
        return best
