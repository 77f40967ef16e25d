"""Reading and printing the units makers write. Inside bagwright everything is mm, g/m2, g, minutes, degrees C."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from bagwright.errors import FaultyInput, Problem

MM_PER_INCH = 25.4
MM_PER_YARD = 914.4
GSM_PER_OZ_YD2 = 28.349523125 / 0.83612736
"""Exact: the international ounce in grams over the international square yard in m2."""
GRAMS_PER_OZ = 28.349523125


class UnitSystem(StrEnum):
    """Which units the maker reads first."""

    INCH = "inch"
    METRIC = "metric"


_LENGTH_MM: Mapping[str, float] = {
    **dict.fromkeys(("mm",), 1.0),
    **dict.fromkeys(("cm",), 10.0),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1000.0),
    **dict.fromkeys(("in", "inch", "inches", '"', "”", "″"), MM_PER_INCH),
    **dict.fromkeys(("ft", "foot", "feet", "'", "’", "′"), 304.8),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), MM_PER_YARD),
}
_MASS_GSM: Mapping[str, float] = {
    **dict.fromkeys(("gsm", "g/m2", "g/m²"), 1.0),
    **dict.fromkeys(("oz", "oz/yd2", "oz/yd²", "oz/sq yd"), GSM_PER_OZ_YD2),
}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_QUANTITY = re.compile(
    r"(?:(?P<whole>\d+(?:[.,]\d+)?|[.,]\d+)(?:(?:\s+|\s*-\s*)(?P<top>\d+)\s*/\s*(?P<bottom>\d+))?"
    r"|(?P<top_only>\d+)\s*/\s*(?P<bottom_only>\d+))"
    r"\s*(?P<unit>sq\s*yd|oz\s*/\s*(?:yd2|yd²|sq yd)|g\s*/\s*(?:m2|m²)|[a-zA-Z]+|[\"'”″’′])?\.?\s*,?\s*"
)
_LONGEST_TEXT = 40


def read_length_mm(text: str, *, place: str, units: UnitSystem) -> float:
    """A length as makers write it, in mm. Without a unit it is inches, or centimetres in metric.

    Raises `FaultyInput` naming `place` if it cannot be read or is not above zero.

    >>> read_length_mm("13 3/4 in", place="width", units=UnitSystem.METRIC)
    349.25
    >>> read_length_mm("40", place="width", units=UnitSystem.METRIC)
    400.0
    >>> read_length_mm("1 yd 9 in", place="width", units=UnitSystem.INCH)
    1143.0
    """
    bare = "in" if units is UnitSystem.INCH else "cm"
    return _read(text, place, _LENGTH_MM, bare, example='13 3/4 in, 5/8", 1.5 yd, 40 cm or 12 mm')


def read_mass_gsm(text: str, *, place: str, units: UnitSystem) -> float:
    """Weight of a sheet in g/m2; "oz" is taken as ounces a square yard. Without a unit: oz/yd2, or gsm in metric.

    >>> round(read_mass_gsm("8 oz/yd2", place="mass", units=UnitSystem.INCH), 2)
    271.25
    """
    bare = "oz/yd2" if units is UnitSystem.INCH else "gsm"
    return _read(text, place, _MASS_GSM, bare, example="8 oz/yd2 or 240 gsm")


def read_number(text: str, *, place: str, what: str) -> float:
    """A plain number above zero.

    >>> read_number("41,5", place="angle", what="an angle in degrees")
    41.5
    """
    return _read(text, place, {what: 1.0}, what, example=f"{what}, such as 3 or 2.5")


def _read(text: str, place: str, units: Mapping[str, float], bare: str, *, example: str) -> float:
    value = 0.0
    rest = _plain(text)
    if not rest:
        raise _refusal(place, text, "is empty", example)
    while rest:
        found = _QUANTITY.match(rest)
        if not found or len(text) > _LONGEST_TEXT:
            raise _refusal(place, text, "cannot be read as a size", example)
        unit = re.sub(r"\s*/\s*", "/", (found["unit"] or bare).lower() if found["unit"] != bare else bare)
        if unit not in units:
            raise _refusal(place, text, f'has the unit "{unit}", which is not known here', example)
        value += _amount(found, place, text, example) * units[unit]
        rest = rest[found.end() :]
    if not math.isfinite(value) or value <= 0:
        raise _refusal(place, text, "is not above zero", example)
    return value


def _plain(text: str) -> str:
    for sign, plain in _VULGAR.items():
        text = text.replace(sign, f" {plain}")
    return " ".join(text.split())


def _amount(found: re.Match[str], place: str, text: str, example: str) -> float:
    whole = found["whole"] or "0"
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", whole):
        raise _refusal(place, text, "may mean thousands or decimals", f"{example}; decimals with a point")
    top, bottom = found["top"] or found["top_only"] or "0", found["bottom"] or found["bottom_only"] or "1"
    if int(bottom) == 0:
        raise _refusal(place, text, "divides by zero", example)
    return float(whole.replace(",", ".")) + int(top) / int(bottom)


def _refusal(place: str, text: str, what: str, example: str) -> FaultyInput:
    shown = text if len(text) <= _LONGEST_TEXT else text[:_LONGEST_TEXT] + "..."
    problem = Problem(
        place=place, value=shown, what=what, allowed=f"a size above zero such as {example}", remedy="Type it like that."
    )
    return FaultyInput([problem])


@dataclass(frozen=True, slots=True)
class Printed:
    """A number as the maker reads it; `rounded` says what the rounding hid, empty if nothing."""

    text: str
    rounded: str = ""


def print_length(length_mm: float, units: UnitSystem, *, fraction: int = 16) -> Printed:
    """Inches to the nearest 1/`fraction`, or centimetres to the nearest millimetre.

    >>> print_length(349.25, UnitSystem.INCH)
    Printed(text='13 3/4 in', rounded='')
    >>> print_length(350, UnitSystem.INCH)
    Printed(text='13 3/4 in', rounded='rounded from 13.78 in')
    >>> print_length(349.25, UnitSystem.METRIC)
    Printed(text='34.9 cm', rounded='rounded from 34.925 cm')
    """
    if units is UnitSystem.METRIC:
        return _said(f"{length_mm / 10:.1f}", "cm", length_mm / 10, float(f"{length_mm / 10:.1f}"))
    inches = length_mm / MM_PER_INCH
    nearest = Fraction(round(inches * fraction), fraction)
    return _said(_mixed(nearest), "in", inches, float(nearest))


def print_cloth_length(length_mm: float, units: UnitSystem) -> Printed:
    """Yards to the nearest 1/8 upwards, or metres to the nearest cm upwards: cloth is never rounded down.

    >>> print_cloth_length(1257.3, UnitSystem.INCH)
    Printed(text='1 3/8 yd', rounded='')
    >>> print_cloth_length(1300, UnitSystem.METRIC).text
    '1.30 m'
    """
    if units is UnitSystem.METRIC:
        metres = math.ceil(length_mm / 10 - 1e-6) / 100
        return _said(f"{metres:.2f}", "m", length_mm / 1000, metres)
    yards = length_mm / MM_PER_YARD
    nearest = Fraction(math.ceil(yards * 8 - 1e-6), 8)
    return _said(_mixed(nearest), "yd", yards, float(nearest))


def print_mass_gsm(mass_gsm: float, units: UnitSystem) -> Printed:
    """Weight of a sheet.

    >>> print_mass_gsm(271.246, UnitSystem.INCH).text, print_mass_gsm(240, UnitSystem.METRIC).text
    ('8.0 oz/yd²', '240 g/m²')
    """
    if units is UnitSystem.METRIC:
        return _said(f"{mass_gsm:.0f}", "g/m²", mass_gsm, round(mass_gsm))
    ounces = mass_gsm / GSM_PER_OZ_YD2
    return _said(f"{ounces:.1f}", "oz/yd²", ounces, round(ounces, 1))


def print_mass(mass_g: float, units: UnitSystem) -> Printed:
    """Weight of a thing: ounces (pounds from 1 lb on), or grams.

    >>> print_mass(396.9, UnitSystem.INCH).text, print_mass(396.9, UnitSystem.METRIC).text
    ('14.0 oz', '397 g')
    """
    if units is UnitSystem.METRIC:
        return _said(f"{mass_g:.0f}", "g", mass_g, round(mass_g))
    ounces = mass_g / GRAMS_PER_OZ
    pounds, rest = divmod(round(ounces, 1), 16)
    text = f"{pounds:.0f} lb {rest:.1f}" if pounds else f"{rest:.1f}"
    return _said(text, "oz", ounces, round(ounces, 1))


def print_minutes(minutes: float) -> str:
    """Working time.

    >>> print_minutes(85.4), print_minutes(12.2)
    ('1 h 25 min', '12 min')
    """
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"


def print_heat(heat_c: float, units: UnitSystem) -> str:
    """Temperature, in degrees Fahrenheit for inch users.

    >>> print_heat(150, UnitSystem.INCH), print_heat(150, UnitSystem.METRIC)
    ('302 °F', '150 °C')
    """
    return f"{heat_c * 9 / 5 + 32:.0f} °F" if units is UnitSystem.INCH else f"{heat_c:.0f} °C"


def _mixed(number: Fraction) -> str:
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _said(text: str, unit: str, exact: float, shown: float) -> Printed:
    hidden = abs(exact - shown) > 5e-4 * max(1.0, abs(exact))
    return Printed(f"{text} {unit}", f"rounded from {exact:.5g} {unit}" if hidden else "")
