"""How many steps of one offer hold what is wanted of a material, and at what cost."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

import numpy as np

from bagwright.costing.lattice import Floats, Ints, Lattice
from bagwright.costing.till import Till
from bagwright.costing.ways import Way
from bagwright.errors import BagwrightError
from bagwright.model.material import Offer

_MOST_LINES = 5_000


class TooMany(BagwrightError):
    """A material has more states than can be looked at one by one."""


class OfferSteps:
    """For each state: the fewest steps that hold it (-1: none do), the best number of steps, and their cents.

    `share`: of a need that goes on from piece to piece, what one step holds.
    """

    def __init__(
        self,
        lattice: Lattice,
        offer: Offer,
        ways: tuple[Way, ...],
        holds: Sequence[tuple[int, ...]],
        *,
        amounts: Sequence[Fraction] = (),
    ) -> None:
        """`holds`: for each way, what it holds of the lattice's parts; `amounts`: of a need that goes on, the share
        that is held in each state."""
        self.offer, self.ways, self.share = offer, ways, step_share(ways)
        self.till = Till(ways[0].portion, offer)
        self._lattice = lattice
        takes = [way.takes / way.portion.step for way in ways]
        below = math.lcm(*(one.denominator for one in takes))
        self._takes = [int(one * below) for one in takes]
        self._holds = holds
        self._amounts = [] if amounts else _least_amounts(lattice, self._takes, holds)
        fewest = [math.ceil(one / self.share) for one in amounts]
        fewest += [-1 if one is None else -(-one // below) for one in self._amounts]
        self.fewest = np.array(fewest, dtype=np.int64)
        self._enough = max(int(self.fewest.max()), self.till.last_break())
        self._known_largest: dict[int, Ints] = {}
        is_held = self.fewest >= 0
        self.steps: Ints = self.till.best_steps(np.maximum(self.fewest, 0))
        self.least: Floats = np.where(is_held, self.till.cents_of(self.steps), np.inf)

    def lines(self, most_cents: float, *, is_filled_up: bool) -> tuple[Ints, Ints]:
        """Numbers of steps up to `most_cents`, each with every state that it holds and that no larger one does.

        Unless more than needed `is_filled_up`, only the best numbers of steps. Raises `TooMany`.
        """
        if is_filled_up:
            most = self.till.steps_for(most_cents + 1, self._enough) or self._enough  # more of a gift is in vain
            if most > _MOST_LINES:
                raise TooMany
            every = np.arange(most + 1)
            counts = every[self.till.cents_of(every) <= most_cents]
        else:
            counts = np.unique(self.steps[self.least <= most_cents])
        found = [(np.full(len(held), count), held) for count in counts for held in [self._largest(int(count))]]
        if not found:
            return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        return np.concatenate([one for one, _ in found]), np.concatenate([held for _, held in found])

    def _largest(self, steps: int) -> Ints:
        """States that so many steps hold, without those that lie below another."""
        if steps not in self._known_largest:
            self._known_largest[steps] = self._looked_up(steps)
        return self._known_largest[steps]

    def _looked_up(self, steps: int) -> Ints:
        is_held = (self.fewest >= 0) & (self.fewest <= steps)
        is_largest = is_held.copy()
        for part, stride in enumerate(self._lattice.strides):
            grows = np.flatnonzero(self._lattice.held[part] < self._lattice.wanted[part])
            is_largest[grows] &= ~is_held[grows + stride]
        return np.flatnonzero(is_largest)

    def taken(self, state: int) -> Iterator[tuple[Way, Fraction]]:
        """How often each way is taken to hold a state."""
        befores = [self._lattice.without(one).tolist() for one in self._holds]
        times = [0] * len(befores)
        while state:
            at = next(at for at, before in enumerate(befores) if self._leads(before[state], state, at))
            times[at] += 1
            state = befores[at][state]
        yield from ((way, Fraction(count)) for way, count in zip(self.ways, times, strict=True) if count)

    def _leads(self, before: int, state: int, way: int) -> bool:
        amount = self._amounts[before]
        return before != state and amount is not None and amount + self._takes[way] == self._amounts[state]


def step_share(ways: Sequence[Way]) -> Fraction:
    """What one step holds of what the first way takes."""
    return ways[0].portion.step / ways[0].takes


def _least_amounts(lattice: Lattice, takes: Sequence[int], holds: Sequence[tuple[int, ...]]) -> list[int | None]:
    """The least that the ways together take to hold each state; None where they can't."""
    found: list[int | None] = [0] + [None] * (lattice.size - 1)
    befores = [lattice.without(one).tolist() for one in holds]
    for state in range(1, lattice.size):
        for take, before in zip(takes, befores, strict=True):
            amount, least = found[before[state]], found[state]
            if amount is not None and before[state] != state and (least is None or amount + take < least):
                found[state] = amount + take
    return found
