"""Where a number comes from, and how far it can be trusted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from bagwright.errors import BrokenPromise


class SourceKind(StrEnum):
    """How a number came to be known, best first."""

    MEASURED = "measured by you"
    LABEL = "on the label"
    TYPICAL = "typical range"
    GUESS = "guess"


@dataclass(frozen=True, slots=True)
class Source:
    """Kind of knowledge and, in words, whose: ``Source(SourceKind.LABEL, "bolt end, March")``."""

    kind: SourceKind
    said_by: str


@dataclass(frozen=True, slots=True)
class Reading:
    """A number with its honest range and its source. Raises `BrokenPromise` unless low <= value <= high, all finite.

    >>> Reading.exact(3.0).low
    3.0
    """

    value: float
    low: float
    high: float
    source: Source

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.low, self.value, self.high))) or not self.low <= self.value <= self.high:
            raise BrokenPromise(f"a reading needs low <= value <= high, got {self.low}, {self.value}, {self.high}")

    @classmethod
    def exact(cls, value: float, source: Source | None = None) -> Reading:
        """A number taken at its word."""
        return cls(value, value, value, source or Source(SourceKind.LABEL, "as given"))


@dataclass(frozen=True, slots=True)
class Band:
    """Lowest and highest that an answer can honestly be."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise BrokenPromise(f"a band needs low <= high, got {self.low}, {self.high}")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What an independent check found: which checks ran, and each fault in words. No faults = passed."""

    checks: tuple[str, ...]
    faults: tuple[str, ...] = ()

    @property
    def passed(self) -> bool:
        """Whether at least one check ran and none found a fault."""
        return bool(self.checks) and not self.faults
