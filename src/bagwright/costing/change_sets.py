"""Sets of changes that can be made together: no two of one group, which speak about the same thing."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.model.saving import ChangeGroup


@dataclass(frozen=True, slots=True)
class ChangeSets:
    """All sets that groups of changes allow, the changes of each in the order of their groups.

    >>> sets = ChangeSets.of([ChangeGroup("outer", ("felt", "foam")), ChangeGroup("pocket", ("no pocket",))])
    >>> list(sets.of_size(2)), sets.count_of(2)
    ([('felt', 'no pocket'), ('foam', 'no pocket')], 2)
    """

    groups: tuple[ChangeGroup, ...]

    @classmethod
    def of(cls, groups: Sequence[ChangeGroup]) -> ChangeSets:
        """Those of the groups that have any changes."""
        return cls(tuple(group for group in groups if group.changes))

    def changes(self) -> Iterator[str]:
        """Every change."""
        return (change for group in self.groups for change in group.changes)

    def of_size(self, size: int) -> Iterator[tuple[str, ...]]:
        """Every set of that many changes."""
        for groups in itertools.combinations(self.groups, size):
            yield from itertools.product(*(group.changes for group in groups))

    def count_of(self, size: int) -> int:
        """How many sets of that size there are."""
        counts = [1, *([0] * size)]
        for group in self.groups:
            for n in range(size, 0, -1):
                counts[n] += counts[n - 1] * len(group.changes)
        return counts[size]

    def with_change(self, changes: tuple[str, ...], change: str) -> tuple[str, ...]:
        """The set with that change in place of any other of its group."""
        group = next(group for group in self.groups if change in group.changes)
        chosen = {change, *(one for one in changes if one not in group.changes)}
        return tuple(one for one in self.changes() if one in chosen)
