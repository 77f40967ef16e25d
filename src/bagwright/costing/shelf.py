"""What the stash holds of one material of a run."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bagwright.costing.lattice import Floats, Lattice

Thing = tuple[tuple[int, int], tuple[int, ...]]
"""The number of its need and its place in that need's stash; what it holds of the lattice's parts."""
_THING_CENTS = 1e-6
"""What taking one thing counts, so that none is taken in vain."""


class Shelf:
    """How few things hold each state."""

    def __init__(self, lattice: Lattice, things: Sequence[Thing]) -> None:
        self._lattice, self._things = lattice, things
        self._counts = [np.full(lattice.size, np.inf)]
        self._counts[0][0] = 0.0
        for _, holds in things:
            last = self._counts[-1]
            self._counts.append(np.minimum(last, last[lattice.without(holds)] + 1))

    def __bool__(self) -> bool:
        return bool(self._things)

    @property
    def cents(self) -> Floats:
        """What each state counts if the shelf holds it; infinite if it can't."""
        counts = self._counts[-1]
        return np.where(np.isfinite(counts), _THING_CENTS * counts, np.inf)

    def things(self, state: int) -> tuple[tuple[int, int], ...]:
        """Which things hold a state, as few as can be."""
        found = []
        for number in range(len(self._things) - 1, -1, -1):
            if self._counts[number + 1][state] < self._counts[number][state]:
                name, holds = self._things[number]
                found.append(name)
                state = int(self._lattice.without(holds)[state])
        return tuple(found)
