"""Where a box may lie on a print or on the fold: at one place, or at every repeat from it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Steps:
    """Where the lowest corner of a box may lie in one direction: at `phase_mm`, and at every `every_mm` from it.

    `every_mm` 0: nowhere else. In each row of a drop repeat everything lies `drop_mm` further on.
    """

    phase_mm: float
    every_mm: float = 0.0
    drop_mm: float = 0.0

    def first_from(self, low_mm: float, *, row: int = 0) -> float:
        """The first place at or above `low_mm`; in a row of a drop repeat, by so many drops further along.

        >>> Steps(10.0, 100.0, 50.0).first_from(111.0), Steps(10.0, 100.0, 50.0).first_from(111.0, row=1)
        (210.0, 160.0)
        """
        phase = self.phase_mm + row * self.drop_mm
        if not self.every_mm:
            return phase if phase >= low_mm else math.inf
        return phase + self.every_mm * math.ceil((low_mm - phase) / self.every_mm)

    def last_to(self, high_mm: float, *, row: int = 0) -> float:
        """The last place at or below `high_mm`, rows counted as in `first_from`.

        >>> Steps(10.0, 100.0, 50.0).last_to(111.0), Steps(10.0, 100.0, 50.0).last_to(111.0, row=1)
        (110.0, 60.0)
        """
        return -replace(self, phase_mm=-self.phase_mm, drop_mm=-self.drop_mm).first_from(-high_mm, row=row)

    def within(self, low_mm: float, high_mm: float) -> Iterator[tuple[int, float]]:
        """Each place from `low_mm` to `high_mm`, with its number."""
        row = math.ceil((low_mm - self.phase_mm) / self.every_mm) if self.every_mm else 0
        while (at := self.phase_mm + row * self.every_mm) <= high_mm:
            if at >= low_mm:
                yield row, at
            if not self.every_mm:
                return
            row += 1
