"""How many of each part are held, up to what is wanted: a number for every such state, and least sums over splits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


def count_pairs(wanted: Sequence[int]) -> int:
    """How many pairs of states there are of which one holds no more of anything than the other.

    >>> count_pairs((1, 2))
    18
    """
    return math.prod((count + 1) * (count + 2) // 2 for count in wanted)


@dataclass(frozen=True)
class Lattice:
    """All states from nothing (number 0) to all that is wanted (the last number)."""

    wanted: tuple[int, ...]

    @cached_property
    def size(self) -> int:
        """How many states."""
        return math.prod(count + 1 for count in self.wanted)

    @cached_property
    def held(self) -> Ints:
        """What each state holds, one row for each part."""
        shape = tuple(count + 1 for count in self.wanted)
        return np.indices(shape).reshape(len(shape), -1).astype(np.int64)

    @cached_property
    def strides(self) -> Ints:
        """By how much the number of a state grows with one more of each part."""
        sizes = [count + 1 for count in self.wanted]
        return np.array([math.prod(sizes[at + 1 :]) for at in range(len(sizes))], dtype=np.int64)

    def without(self, holds: Sequence[int]) -> Ints:
        """For each state, what of it is still wanted once so many of each part are held.

        >>> Lattice((2, 1)).without((1, 1)).tolist()
        [0, 0, 0, 0, 2, 2]
        """
        rest = np.maximum(self.held - np.array(holds, dtype=np.int64)[:, None], 0)
        found: Ints = self.strides @ rest
        return found

    @cached_property
    def _pairs(self) -> tuple[Ints, Ints, Ints]:
        """Smaller state and difference of every pair, those of one larger state together; and where each begins."""
        larger = smaller = np.zeros(1, dtype=np.int64)
        for count in self.wanted:
            high, low = np.tril_indices(count + 1)
            larger = (larger[:, None] * (count + 1) + high[None, :]).reshape(-1)
            smaller = (smaller[:, None] * (count + 1) + low[None, :]).reshape(-1)
        order = np.argsort(larger, kind="stable")
        larger, smaller = larger[order], smaller[order]
        return smaller, larger - smaller, np.searchsorted(larger, np.arange(self.size))

    def least_sums(self, one: Floats, other: Floats) -> Floats:
        """For each state, the least of `one` at a part of it plus `other` at the rest.

        >>> Lattice((2,)).least_sums(np.array([0.0, 5, 6]), np.array([0.0, 2, 9])).tolist()
        [0.0, 2.0, 6.0]
        """
        smaller, rest, starts = self._pairs
        found: Floats = np.minimum.reduceat(one[smaller] + other[rest], starts)
        return found

    def rests(self, terms: Sequence[Floats]) -> list[Floats]:
        """From each term on: the least sums of it and all later ones.

        >>> [one.tolist() for one in Lattice((1,)).rests([np.array([0.0, 3]), np.array([0.0, 5])])]
        [[0.0, 3.0], [0.0, 5.0]]
        """
        found = [*terms[-1:]]
        for one in reversed(terms[:-1]):
            found.insert(0, self.least_sums(one, found[0]))
        return found

    def least_whole(self, one: Floats, rests: Sequence[Floats]) -> float:
        """The least of `one` and all later terms together that holds all that is wanted; `rests`: of the later ones.

        >>> Lattice((2,)).least_whole(np.array([0.0, 5, 6]), [np.array([0.0, 2, 9])])
        6.0
        """
        return float(np.min(one + rests[0][::-1]) if rests else one[-1])

    def share_out(self, terms: Sequence[Floats], rests: Sequence[Floats], state: int) -> list[int]:
        """The part of the state that each term holds where their sum is least; `rests`: of all terms but the first.

        >>> Lattice((2,)).share_out([np.array([0.0, 4, 6]), np.array([0.0, 1, 9])], [np.array([0.0, 1, 9])], 2)
        [1, 1]
        """
        found: list[int] = []
        for one, rest in zip(terms, rests, strict=False):
            found.append(self._split(one, rest, state))
            state -= found[-1]
        return [*found, state]

    def still_wanted(self, state: int, held: Ints) -> Ints:
        """What of a state is still wanted once one of these is held."""
        rest = np.maximum(self.held[:, state, None] - self.held[:, held], 0)
        found: Ints = self.strides @ rest
        return found

    def _split(self, one: Floats, other: Floats, at: int) -> int:
        """The part of state `at` that `one` holds where the sum is least."""
        smaller, rest, starts = self._pairs
        own = slice(starts[at], starts[at + 1] if at + 1 < self.size else None)
        return int(smaller[own][np.argmin(one[smaller[own]] + other[rest[own]])])
