"""In which shares a need that goes on from piece to piece, such as thread, is counted: all alike, as few as will do."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from bagwright.costing.offer_steps import TooMany
from bagwright.costing.till import Till

_MOST_STATES = 1_200
_STATES = {1: 1_200, 2: 600, 3: 140}
_FEW_STATES = 50
"""By the number of offers that hold but a part each: so many that all ways of sharing out can be looked at."""


@dataclass(frozen=True, slots=True)
class Shares:
    """States are so many times the `unit`; the offer of the `finest` steps holds what others leave, to the step.

    `slack_cents`: at most so much less would a plan cost if nothing were rounded up to a unit.
    """

    unit: Fraction
    finest: int
    slack_cents: float

    @property
    def states(self) -> int:
        """The number of the state in which all is held."""
        return math.ceil(1 / self.unit)

    def amounts(self, offer: int) -> list[Fraction]:
        """The share of the need that an offer has to hold in each state."""
        whole = self.states
        if offer == self.finest:
            return [Fraction(0), *(1 - (whole - state) * self.unit for state in range(1, whole + 1))]
        return [min(state * self.unit, Fraction(1)) for state in range(whole + 1)]


def count_in_shares(steps: Sequence[Fraction], tills: Sequence[Till]) -> Shares:
    """How to count, by the share of the need that a step of each offer holds. Raises `TooMany`.

    >>> count_in_shares([Fraction(1, 2), Fraction(1, 3), Fraction(7, 2)], []).states
    6
    """
    finest = min(range(len(steps)), key=lambda at: steps[at])
    about = _STATES.get(sum(one < 1 for one in steps), _FEW_STATES)
    fine = [at for at, one in enumerate(steps) if one * about < 1]
    unit = _largest_part(steps)
    if math.ceil(1 / unit) <= (about if fine else _MOST_STATES):
        return Shares(unit, finest, 0.0)
    unit = _largest_part([one for one in steps if one * about >= 1])
    if not fine or math.ceil(1 / unit) > _MOST_STATES:
        raise TooMany
    if len(fine) == 1:
        return Shares(unit, finest, 0.0)
    unit /= math.ceil(about * unit)
    return Shares(unit, finest, max(tills[at].rise(math.ceil(len(fine) * unit / steps[at])) for at in fine))


def _largest_part(steps: Sequence[Fraction]) -> Fraction:
    """The largest part of the need of which each step is a multiple, but for those that hold it all."""
    some = [one for one in steps if one < 1]
    below = math.lcm(*(one.denominator for one in some))
    return Fraction(math.gcd(*(int(one * below) for one in some)), below) if some else Fraction(1)
