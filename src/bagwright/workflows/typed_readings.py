"""Readings at the kitchen table as they are typed: several lengths in one field, an angle, a count, a weight."""

from __future__ import annotations

import re

from bagwright.errors import FaultyInput, Problem
from bagwright.units import UnitSystem, print_length, read_length_mm, read_number
from bagwright.workflows.contracts import Faults

MOST_READINGS = 50
LENGTH_LIMITS_MM = (10.0, 500.0)
"""An overhang in inches read as millimetres, or the other way round, falls outside."""
_LONGEST_TEXT = 600
_BETWEEN = re.compile(r"[;\n]+|,\s+|,$")
_TWO_NUMBERS = re.compile(r"\d+,\d+")
_UNIT = re.compile(r"(?:mm|cm|in|inch|inches|\"|”|″)\.?$")


def read_overhangs_mm(text: str, *, place: str, units: UnitSystem) -> tuple[float, ...]:
    """Every overhang that is typed in one field, with commas or line breaks between; none if it is empty.

    Bare numbers are inches, or millimetres in metric; a unit at the end holds for all before it that have none.
    Raises `FaultyInput` with every reading that cannot be read or is out of range.

    >>> read_overhangs_mm("3 1/4, 3 3/8", place="up", units=UnitSystem.INCH)
    (82.55, 85.725)
    >>> read_overhangs_mm("52; 50,5; 51", place="up", units=UnitSystem.METRIC)
    (52.0, 50.5, 51.0)
    """
    if len(text) > _LONGEST_TEXT:
        raise _refused(place, f"{text[:30]}...", "is too long", f"up to {MOST_READINGS} readings")
    parts = _parts(text.strip(), place)
    if len(parts) > MOST_READINGS:
        raise _refused(place, f"{len(parts)} readings", "are too many", f"up to {MOST_READINGS} readings")
    unit = _UNIT.search(parts[-1].lower()) if parts else None
    faults = Faults()
    readings: dict[int, float] = {}
    for number, part in enumerate(parts):
        with_unit = part if unit is None or not part[-1].isnumeric() else f"{part} {unit[0]}"
        with faults:
            readings[number] = read_small_mm(with_unit, place=place, units=units)
    low, high = LENGTH_LIMITS_MM
    far = [parts[number] for number, length_mm in readings.items() if not low <= length_mm <= high]
    if far:
        faults.problems.append(_out_of_range(", ".join(far), place, units))
    faults.raise_if_any()
    return tuple(readings.values())


def _out_of_range(told: str, place: str, units: UnitSystem) -> Problem:
    low, high = LENGTH_LIMITS_MM
    allowed, other = f"{low:g} to {high:g} mm", "cm or in"
    if units is UnitSystem.INCH:
        allowed, other = " to ".join(print_length(end, units).text for end in (low, high)), "mm"
    what = "are out of range" if "," in told else "is out of range"
    remedy = f"If your ruler shows {other}, write that behind the last number."
    return Problem(place=place, value=told[:60], what=what, allowed=allowed, remedy=remedy)


def read_small_mm(text: str, *, place: str, units: UnitSystem) -> float:
    """A length read off a ruler: a bare number is inches, or millimetres (not centimetres) in metric.

    >>> read_small_mm("6", place="height", units=UnitSystem.METRIC)
    6.0
    """
    is_bare = text.strip()[-1:].isnumeric()
    as_written = f"{text} mm" if is_bare and units is UnitSystem.METRIC else text
    return read_length_mm(as_written, place=place, units=units)


def read_angle_deg(text: str, *, place: str) -> float:
    """The slope of the card, 5 to 80 degrees. Raises `FaultyInput`.

    >>> read_angle_deg("45°", place="angle_deg")
    45.0
    """
    angle = read_number(text.replace("°", "").strip(), place=place, what="an angle in degrees")
    if not 5 <= angle <= 80:
        remedy = "Type the angle that is printed on your slope card."
        problem = Problem(place=place, value=text[:40], what="is out of range", allowed="5 to 80", remedy=remedy)
        raise FaultyInput([problem])
    return angle


def read_count(text: str, *, place: str, most: int) -> int:
    """A whole number from 1 to `most`. Raises `FaultyInput`.

    >>> read_count("10", place="layers", most=1000)
    10
    """
    typed = text.strip()
    if not (typed.isascii() and typed.isdecimal() and len(typed) < 10 and 1 <= int(typed) <= most):
        raise _refused(place, typed[:40], "is not such a number", f"a whole number from 1 to {most}")
    return int(typed)


def _parts(text: str, place: str) -> list[str]:
    """The readings in the text. A comma between two digits is a decimal only where semicolons part the readings."""
    parts = [part.strip() for part in _BETWEEN.split(text) if part.strip()]
    if ";" in text:
        return parts
    for part in parts:
        if _TWO_NUMBERS.fullmatch(part):
            what = "may be one reading or two"
            allowed = "readings with a comma and a space between them, decimals with a point"
            raise _refused(place, part[:40], what, allowed)
    return [one.strip() for part in parts for one in part.split(",") if one.strip()]


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value, what=what, allowed=allowed, remedy="Type it like that.")])
