"""What the finished bag weighs."""

from __future__ import annotations

import math
from collections.abc import Iterable

from bagwright.errors import FaultyInput, Problem


def bag_mass_g(
    sheets: Iterable[tuple[float, float]],
    *,
    lengths: Iterable[tuple[float, float]] = (),
    items_g: Iterable[float] = (),
) -> float:
    """Mass of everything in one bag. [g]

    `sheets`: (area_mm2, mass_gsm) of each cut shape times its count. `lengths`: (length_mm, mass_gpm, that is grams
    a metre) of webbing, zip chain, thread. `items_g`: the mass of each piece of hardware. What is trimmed off seams
    is not taken off.

    Raises `FaultyInput` naming every number that is negative or not finite.

    >>> round(bag_mass_g([(200_000, 340), (150_000, 140)], lengths=[(1200, 22)], items_g=[8, 8]), 1)
    131.4
    """
    areas, metres, each = list(sheets), list(lengths), list(items_g)
    numbers = {
        **{f"sheets[{i}].{key}": n for i, pair in enumerate(areas) for key, n in zip(_SHEET, pair, strict=True)},
        **{f"lengths[{i}].{key}": n for i, pair in enumerate(metres) for key, n in zip(_LENGTH, pair, strict=True)},
        **{f"items_g[{i}]": n for i, n in enumerate(each)},
    }
    problems = [_not_a_mass(place, n) for place, n in numbers.items() if not (n >= 0 and math.isfinite(n))]
    if problems:
        raise FaultyInput(problems)
    of_sheets = (area_mm2 * mass_gsm / 1e6 for area_mm2, mass_gsm in areas)
    of_lengths = (length_mm * mass_gpm / 1e3 for length_mm, mass_gpm in metres)
    return math.fsum((*of_sheets, *of_lengths, *each))


_SHEET = ("area_mm2", "mass_gsm")
_LENGTH = ("length_mm", "mass_gpm")


def _not_a_mass(place: str, number: float) -> Problem:
    return Problem(
        place=place,
        value=f"{number:g}",
        what="cannot be weighed",
        allowed="zero or more",
        remedy="Weigh it, or type what the label says.",
    )
