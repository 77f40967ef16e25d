"""What the formulas accept: finite numbers above zero, within anything that can lie on a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bagwright.errors import FaultyInput, Problem

SMALLEST = 1e-6
LARGEST = 1e9
LOWEST_ANGLE_DEG = 5.0
HIGHEST_ANGLE_DEG = 80.0


def number_problems(numbers: Mapping[str, float]) -> list[Problem]:
    """One `Problem` for every number, by its place, that is not from 0.000001 to 1000000000.

    >>> [problem.place for problem in number_problems({"thickness_mm": 0.0, "mass_gsm": 240})]
    ['thickness_mm']
    """
    return [
        Problem(
            place=place,
            value=f"{number:g}",
            what="cannot be used",
            allowed=f"from {SMALLEST:.6f} to {LARGEST:.0f}",
            remedy="Measure it, or type what the label says.",
        )
        for place, number in numbers.items()
        if not SMALLEST <= number <= LARGEST
    ]


def angle_problems(angle_deg: float, *, place: str = "angle_deg") -> list[Problem]:
    """One `Problem` if the ruler test cannot use this slope.

    >>> angle_problems(45.0)
    []
    """
    if LOWEST_ANGLE_DEG <= angle_deg <= HIGHEST_ANGLE_DEG:
        return []
    return [
        Problem(
            place=place,
            value=f"{angle_deg:g}",
            what="is not a slope the ruler test works with",
            allowed=f"{LOWEST_ANGLE_DEG:.0f} to {HIGHEST_ANGLE_DEG:.0f} degrees",
            remedy="Use a slope of 41.5 degrees, or a set square's 45.",
        )
    ]


def refuse_unless_positive(numbers: Mapping[str, float]) -> None:
    """Raises `FaultyInput` with all of `number_problems`, if there are any.

    >>> refuse_unless_positive({"thickness_mm": 0.3})
    """
    problems = number_problems(numbers)
    if problems:
        raise FaultyInput(problems)


def refuse_empty(layers: Sequence[object]) -> None:
    """Raises `FaultyInput` if there is no layer at all.

    >>> refuse_empty(["canvas"])
    """
    if not layers:
        raise FaultyInput(
            [
                Problem(
                    place="layers",
                    value="",
                    what="there is none",
                    allowed="one layer or more",
                    remedy="Say what the panel is made of.",
                )
            ]
        )
