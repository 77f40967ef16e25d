"""Prices that no set of changes is below: what they rule out need not be worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

NO_LEAST = Decimal("-Infinity")
"""What is told where nothing is known."""


class LeastPrice(Protocol):
    """Prices that no outcome is below: whoever makes one promises that, and sets that it rules out are not worked out.

    A price that only grows with every part of what a bag takes is at its least where each part is: so each part may be
    told at its least by itself.
    """

    def of(self, changes: Sequence[str]) -> Decimal:
        """The price that these changes, taken together, surely do not go below."""
        ...

    def of_any(self, most_changes: int) -> Decimal:
        """The price that no set of at most so many changes, the bag as it is among them, goes below."""
        ...


@dataclass(frozen=True, slots=True)
class LeastSum:
    """A least price that adds up: `base` and what is noted in `changes` for each change made (no note: 0).

    >>> LeastSum(Decimal(20), {"felt": Decimal(-3), "foam": Decimal(-1), "feet": Decimal(2)}).of_any(2)
    Decimal('16')
    """

    base: Decimal
    changes: Mapping[str, Decimal]

    def of(self, changes: Sequence[str]) -> Decimal:
        """The base and all that is noted."""
        return self.base + sum((self.changes.get(one, Decimal(0)) for one in changes), Decimal(0))

    def of_any(self, most_changes: int) -> Decimal:
        """The base and what is noted of the changes that lower it most, as if all could be made together."""
        falls = sorted(one for one in self.changes.values() if one < 0)
        return self.base + sum(falls[:most_changes], Decimal(0))
