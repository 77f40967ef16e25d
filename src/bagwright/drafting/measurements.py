"""What a form of bag asks for: measurements with their ranges, rules between them, roles to be filled."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from bagwright.errors import Problem
from bagwright.model.material import MaterialKind
from bagwright.model.pattern import Pattern
from bagwright.model.source import Source, SourceKind
from bagwright.units import UnitSystem, print_length

STARTING_SIZE = Source(SourceKind.GUESS, "a size to start from; type your own")
COMMON_PRACTICE = Source(SourceKind.GUESS, "common practice, no source")
ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurementSpec:
    """One number that a form asks for. `meaning` is one plain sentence; counts are whole numbers."""

    key: str
    label: str
    meaning: str
    default_mm: float
    low_mm: float
    high_mm: float
    unit: Literal["mm", "count"] = "mm"
    default_source: Source = STARTING_SIZE

    @property
    def is_count(self) -> bool:
        """Whether it counts things instead of measuring a length."""
        return self.unit == "count"

    def range_said(self) -> str:
        """The accepted range in words.

        >>> MeasurementSpec(key="width_mm", label="Width", meaning="Across.", default_mm=254, low_mm=127,
        ...                 high_mm=508).range_said()
        '127 mm (5 in) to 508 mm (20 in)'
        """
        if self.is_count:
            return f"a whole number from {self.low_mm:g} to {self.high_mm:g}"
        return f"{length_said(self.low_mm)} to {length_said(self.high_mm)}"

    def problem_with(self, value: float) -> Problem | None:
        """What is wrong with this number taken by itself."""
        if not math.isfinite(value):
            what = "is not a number"
        elif self.is_count and value != round(value):
            what = "is not a whole number"
        elif value < self.low_mm - ROUNDING_MM:
            what = "is too small"
        elif value > self.high_mm + ROUNDING_MM:
            what = "is too large"
        else:
            return None
        allowed = self.range_said()
        return Problem(place=self.key, value=f"{value:g}", what=what, allowed=allowed, remedy="Type one in that range.")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleSpec:
    """A stack of materials (or a bought part, `is_notion`) that a bag of this form is made of.

    `kinds` are what its main layer may be, the usual ones first; of several that suit, a new bag takes one whose name
    holds `word`. Only roles that the drafted pattern uses need filling.
    """

    key: str
    name: str
    meaning: str
    kinds: tuple[MaterialKind, ...]
    is_notion: bool = False
    word: str = ""


@dataclass(frozen=True, slots=True)
class FitRule:
    """A rule between measurements; it is asked only when each of `keys` is fine by itself."""

    keys: tuple[str, ...]
    judge: Callable[[Mapping[str, float]], Problem | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormSpec:
    """A form of bag. `draft` takes a complete, accepted set of measurements; `draft_bag` sees to that."""

    key: str
    name: str
    summary: str
    measurements: tuple[MeasurementSpec, ...]
    rules: tuple[FitRule, ...]
    roles: tuple[RoleSpec, ...]
    draft: Callable[[Mapping[str, float]], Pattern]

    def defaults(self) -> dict[str, float]:
        """Every measurement at its default."""
        return {spec.key: spec.default_mm for spec in self.measurements}


def size_spec(
    key: str,
    label: str,
    meaning: str,
    low_default_high_mm: tuple[float, float, float],
    *,
    source: Source = STARTING_SIZE,
) -> MeasurementSpec:
    """A length that a form asks for."""
    low, default, high = low_default_high_mm
    return MeasurementSpec(
        key=key, label=label, meaning=meaning, default_mm=default, low_mm=low, high_mm=high, default_source=source
    )


def length_said(length_mm: float) -> str:
    """A length in both systems.

    >>> length_said(100), length_said(103)
    ('100 mm (3 15/16 in)', '103 mm (about 4 1/16 in)')
    """
    inches = print_length(length_mm, UnitSystem.INCH)
    return f"{length_mm:g} mm ({'about ' if inches.rounded else ''}{inches.text})"


def too_large(sizes: Mapping[str, float], key: str, limit_mm: float, what: str) -> Problem | None:
    """A problem if `sizes[key]` is over the limit; it names the largest size, to 0.1 mm, that works."""
    if sizes[key] <= limit_mm + ROUNDING_MM:
        return None
    nearest = length_said(math.floor(limit_mm * 10 + ROUNDING_MM) / 10)
    return _misfit(sizes[key], key, what, f"at most {nearest} with the other sizes as they are")


def too_small(sizes: Mapping[str, float], key: str, limit_mm: float, what: str) -> Problem | None:
    """A problem if `sizes[key]` is under the limit; it names the smallest size, to 0.1 mm, that works."""
    if sizes[key] >= limit_mm - ROUNDING_MM:
        return None
    nearest = length_said(math.ceil(limit_mm * 10 - ROUNDING_MM) / 10)
    return _misfit(sizes[key], key, what, f"at least {nearest} with the other sizes as they are")


def _misfit(value_mm: float, key: str, what: str, allowed: str) -> Problem:
    remedy = "Type a size in that range, or change the size it has to fit."
    return Problem(place=key, value=f"{value_mm:g}", what=what, allowed=allowed, remedy=remedy)
