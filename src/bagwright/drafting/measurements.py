"""What a form of bag, or something added to one, asks for: measurements with their ranges and what fits."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from bagwright.errors import Problem
from bagwright.model.source import Source, SourceKind
from bagwright.units import UnitSystem, print_length

STARTING_SIZE = Source(SourceKind.GUESS, "a size to start from; type your own")
COMMON_PRACTICE = Source(SourceKind.GUESS, "common practice, no source")
ROUNDING_MM = 1e-6


Sizes = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Choice:
    """A choice that has been made: the count `key` has one of `values` (any but 0 if none are named)."""

    key: str
    values: tuple[int, ...] = ()

    def is_made(self, sizes: Sizes) -> bool:
        """Whether these sizes make it."""
        value = sizes.get(self.key, 0.0)
        return value in self.values if self.values else value != 0


@dataclass(frozen=True, slots=True)
class Room:
    """What the other sizes leave for a measurement: lowest and highest in mm, and which sizes that depends on.

    `too_small` and `too_large` end the sentence "The size ...". `usual_mm`: the size to start from, where that goes by
    the other sizes.
    """

    keys: tuple[str, ...]
    limits_mm: Callable[[Sizes], tuple[float, float]]
    too_small: str
    too_large: str
    usual_mm: Callable[[Sizes], float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurementSpec:
    """One number that a form asks for. `meaning` is one plain sentence; counts are whole numbers.

    `choices`: what the numbers of a count stand for, from `low_mm` upwards. `needs`: asked only where that choice is
    made. `room`: what fits the other sizes; where she types nothing, the default is brought into it.
    """

    key: str
    label: str
    meaning: str
    default_mm: float
    low_mm: float
    high_mm: float
    unit: Literal["mm", "count"] = "mm"
    default_source: Source = STARTING_SIZE
    choices: tuple[str, ...] = ()
    needs: Choice | None = None
    room: Room | None = None

    @property
    def is_count(self) -> bool:
        """Whether it counts things instead of measuring a length."""
        return self.unit == "count"

    def applies(self, sizes: Sizes) -> bool:
        """Whether a bag of these sizes uses it."""
        return self.needs is None or self.needs.is_made(sizes)

    def range_said(self) -> str:
        """The accepted range in words.

        >>> MeasurementSpec(key="width_mm", label="Width", meaning="Across.", default_mm=254, low_mm=127,
        ...                 high_mm=508).range_said()
        '127 mm (5 in) to 508 mm (20 in)'
        """
        if self.choices:
            return ", ".join(f"{number} ({said})" for number, said in enumerate(self.choices, start=int(self.low_mm)))
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

    def limits_mm(self, sizes: Sizes) -> tuple[float, float]:
        """The accepted range with what the other sizes leave; there is none if the first is over the second."""
        low, high = self.room.limits_mm(sizes) if self.room else (self.low_mm, self.high_mm)
        return max(low, self.low_mm), min(high, self.high_mm)

    def misfit(self, sizes: Sizes) -> Problem | None:
        """What is wrong with its size among the others, if it has a `room`."""
        if self.room is None:
            return None
        low, high = self.limits_mm(sizes)
        if low - ROUNDING_MM <= sizes[self.key] <= high + ROUNDING_MM:
            return None
        if self.needs and math.ceil(low * 10 - ROUNDING_MM) > math.floor(high * 10 + ROUNDING_MM):
            # No size to 0.1 mm, as sizes are told, lies between.
            return no_room(sizes, self.needs.key, self.room.too_large)
        if self.is_count:
            return _too_many(sizes, self.key, high, self.room.too_large)
        return too_small(sizes, self.key, low, self.room.too_small) or too_large(
            sizes, self.key, high, self.room.too_large
        )

    def fitted_mm(self, size_mm: float, sizes: Sizes) -> float:
        """A size brought into what the others leave, if they leave anything."""
        low, high = self.limits_mm(sizes)
        return size_mm if low > high else min(max(size_mm, low), high)

    def starting_mm(self, sizes: Sizes) -> float:
        """What it is where she types nothing: the default or what is usual, brought into what the others leave."""
        usual = self.room.usual_mm(sizes) if self.room and self.room.usual_mm else self.default_mm
        return self.fitted_mm(usual, sizes)


def size_spec(
    key: str,
    label: str,
    meaning: str,
    low_default_high_mm: tuple[float, float, float],
    *,
    source: Source = STARTING_SIZE,
    needs: Choice | None = None,
    room: Room | None = None,
) -> MeasurementSpec:
    """A length that a form asks for."""
    low, default, high = low_default_high_mm
    return MeasurementSpec(
        key=key,
        label=label,
        meaning=meaning,
        default_mm=default,
        low_mm=low,
        high_mm=high,
        default_source=source,
        needs=needs,
        room=room,
    )


def count_spec(
    key: str,
    label: str,
    meaning: str,
    low_default_high: tuple[int, int, int],
    *,
    choices: tuple[str, ...] = (),
    needs: Choice | None = None,
    room: Room | None = None,
) -> MeasurementSpec:
    """Something that is counted, or chosen by number; the limits of a `room` are whole numbers, too."""
    low, default, high = low_default_high
    return MeasurementSpec(
        key=key,
        label=label,
        meaning=meaning,
        default_mm=default,
        low_mm=low,
        high_mm=high,
        unit="count",
        choices=choices,
        needs=needs,
        room=room,
    )


def length_said(length_mm: float) -> str:
    """A length in both systems.

    >>> length_said(100), length_said(103)
    ('100 mm (3 15/16 in)', '103 mm (about 4 1/16 in)')
    """
    inches = print_length(length_mm, UnitSystem.INCH)
    return f"{length_mm:g} mm ({'about ' if inches.rounded else ''}{inches.text})"


def too_large(sizes: Sizes, key: str, limit_mm: float, what: str) -> Problem | None:
    """A problem if `sizes[key]` is over the limit; it names the largest size, to 0.1 mm, that works."""
    if sizes[key] <= limit_mm + ROUNDING_MM:
        return None
    nearest = length_said(math.floor(limit_mm * 10 + ROUNDING_MM) / 10)
    return _misfit(sizes[key], key, what, f"at most {nearest} with the other sizes as they are")


def too_small(sizes: Sizes, key: str, limit_mm: float, what: str) -> Problem | None:
    """A problem if `sizes[key]` is under the limit; it names the smallest size, to 0.1 mm, that works."""
    if sizes[key] >= limit_mm - ROUNDING_MM:
        return None
    nearest = length_said(math.ceil(limit_mm * 10 - ROUNDING_MM) / 10)
    return _misfit(sizes[key], key, what, f"at least {nearest} with the other sizes as they are")


def _too_many(sizes: Sizes, key: str, most: float, what: str) -> Problem | None:
    if sizes[key] <= most:
        return None
    remedy = "Type a number in that range, or change the size it has to fit."
    allowed = f"at most {most:g} with the other sizes as they are"
    return Problem(place=key, value=f"{sizes[key]:g}", what=what, allowed=allowed, remedy=remedy)


def _misfit(value_mm: float, key: str, what: str, allowed: str) -> Problem:
    remedy = "Type a size in that range, or change the size it has to fit."
    return Problem(place=key, value=f"{value_mm:g}", what=what, allowed=allowed, remedy=remedy)


def no_room(sizes: Sizes, key: str, what: str) -> Problem:
    """The problem of something that no size makes fit: it is told at the count that adds it."""
    return Problem(
        place=key,
        value=f"{sizes[key]:g}",
        what=what,
        allowed="0 with the other sizes as they are",
        remedy="Leave it out, or change the sizes it has to fit.",
    )
