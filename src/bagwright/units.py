"""Reading and printing the units makers write. Inside bagwright everything is mm, g/m2, g, minutes, degrees C."""

from __future__ import annotations

import itertools
import math
import re
import unicodedata
from collections.abc import Mapping, Sequence
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


_INCHES = {
    **dict.fromkeys(("yd", "yds", "yard", "yards"), MM_PER_YARD),
    **dict.fromkeys(("ft", "foot", "feet", "'"), 304.8),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"'), MM_PER_INCH),
}
_METRIC = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1000.0),
    "cm": 10.0,
    "mm": 1.0,
}
_MASS_GSM = {
    **dict.fromkeys(("gsm", "g/m2"), 1.0),
    **dict.fromkeys(("oz", "ounce", "ounces", "oz/yd2", "oz/sq yd"), GSM_PER_OZ_YD2),
}
_MASS_G = {
    **dict.fromkeys(("g", "gram", "grams", "g/m"), 1.0),
    "kg": 1000.0,
    **dict.fromkeys(("oz", "ounce", "ounces"), GRAMS_PER_OZ),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), 16 * GRAMS_PER_OZ),
}
_HEAT = re.compile(r"(\d{1,3}(?:[.,]\d{1,2})?)\s*(?:°|deg(?:rees)?\.?)?\s*([cf]?)", re.ASCII)
_VULGAR = re.compile("[¼-¾⅐-⅞]")
_SPELLINGS = {"⁄": "/", "”": '"', "″": '"', "’": "'", "′": "'", "''": '"', "m²": "m2", "yd²": "yd2", "sq.": "sq"}
_PART = re.compile(
    r"(?:(?P<top>\d+)/(?P<bottom>\d+)"
    r"|(?P<whole>\d+)(?:\s+|\s*-\s*)(?P<rest_top>\d+)/(?P<rest_bottom>\d+)"
    r"|(?P<decimal>\d+(?:[.,]\d*)?|[.,]\d+))"
    r"\s*(?:(?P<unit>oz/(?:yd2|sq yd)|g/m2|[a-z]+|[\"'])\.?)?\s*,?\s*"
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}")
_LONGEST_TEXT = 40
_SMALLEST = 1e-6


@dataclass(frozen=True, slots=True)
class _Reader:
    """How one kind of quantity is written. `chains`: units that may follow one another, larger first ("1 yd 9 in")."""

    units: Mapping[str, float]
    bare: float
    most: float
    example: str
    chains: tuple[Mapping[str, float], ...] = ()


def read_length_mm(text: str, *, place: str, units: UnitSystem) -> float:
    """A length as makers write it, in mm. Without a unit it is inches, or centimetres in metric.

    Raises `FaultyInput` naming `place` if it cannot be read, is not above zero or is longer than 10 km.

    >>> read_length_mm("13 3/4 in", place="width", units=UnitSystem.METRIC)
    349.25
    >>> read_length_mm("40", place="width", units=UnitSystem.METRIC)
    400.0
    >>> read_length_mm("1 yd 9 in", place="width", units=UnitSystem.INCH)
    1143.0
    """
    bare = MM_PER_INCH if units is UnitSystem.INCH else 10.0
    example = '13 3/4 in, 5/8", 1.5 yd, 40 cm or 12 mm'
    return _read(text, place, _Reader({**_INCHES, **_METRIC}, bare, 1e7, example, (_INCHES, _METRIC)))


def read_mass_gsm(text: str, *, place: str, units: UnitSystem) -> float:
    """Weight of a sheet in g/m2; "oz" is taken as ounces a square yard. Without a unit: oz/yd2, or gsm in metric.

    Raises `FaultyInput` naming `place` if it cannot be read, is not above zero or is above 100 kg/m2.

    >>> round(read_mass_gsm("8 oz/yd2", place="mass", units=UnitSystem.INCH), 2)
    271.25
    """
    bare = GSM_PER_OZ_YD2 if units is UnitSystem.INCH else 1.0
    return _read(text, place, _Reader(_MASS_GSM, bare, 1e5, "8 oz/yd2 or 240 gsm"))


def read_mass_g(text: str, *, place: str) -> float:
    """Weight of a thing, or of a metre of it, in g. Without a unit: grams.

    Raises `FaultyInput` naming `place` if it cannot be read, is not above zero or is above 100 kg.

    >>> read_mass_g("12", place="mass"), round(read_mass_g("1/2 oz", place="mass"), 2)
    (12.0, 14.17)
    """
    return _read(text, place, _Reader(_MASS_G, 1.0, 1e5, "12 g or 1/2 oz"))


def read_heat_c(text: str, *, place: str, units: UnitSystem) -> float:
    """A temperature in degrees C. Without a letter: Fahrenheit for inch users, else Celsius.

    Raises `FaultyInput` naming `place` if it cannot be read.

    >>> [read_heat_c(text, place="heat", units=UnitSystem.METRIC) for text in ("302 °F", "150")]
    [150.0, 150.0]
    """
    found = _HEAT.fullmatch(_plain(text)) if len(text) <= _LONGEST_TEXT else None
    if not found:
        what = "cannot be read as a temperature"
        allowed = "a temperature such as 150 °C or 300 °F"
        problem = Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy="Type it like that.")
        raise FaultyInput([problem])
    degrees = float(found[1].replace(",", "."))
    letter = found[2] or ("f" if units is UnitSystem.INCH else "c")
    return (degrees - 32) * 5 / 9 if letter == "f" else degrees


def read_number(text: str, *, place: str, what: str) -> float:
    """A plain number above zero, up to 1000000000. Raises `FaultyInput` naming `place` for anything else.

    >>> read_number("41,5", place="angle", what="an angle in degrees")
    41.5
    """
    return _read(text, place, _Reader({}, 1.0, 1e9, f"3 or 2.5 ({what})"))


def _read(text: str, place: str, reader: _Reader) -> float:
    try:
        value = float(_sum_of_parts(text, reader))
    except _Unreadable as fault:
        raise _refusal(place, text, str(fault), reader.example) from None
    if value < _SMALLEST:
        raise _refusal(place, text, "is not above zero", reader.example)
    if value > reader.most:
        raise _refusal(place, text, "is far too large", reader.example)
    return value


class _Unreadable(Exception):
    """Why a text is no quantity, as the `what` of a `Problem`."""


def _sum_of_parts(text: str, reader: _Reader) -> Fraction:
    """Exact, so that "12 in" is 304.8 mm and not a hair less."""
    rest = _plain(text) if len(text) <= _LONGEST_TEXT else "?"
    if not rest:
        raise _Unreadable("is empty")
    value, units = Fraction(0), []
    while rest:
        found = _PART.match(rest)
        if not found:
            raise _Unreadable("cannot be read as a size")
        units.append(found["unit"])
        if found["unit"] and found["unit"] not in reader.units:
            raise _Unreadable(f"has the unit {found['unit']}, which is not known here")
        factor = reader.units[found["unit"]] if found["unit"] else reader.bare
        value += _amount(found) * Fraction(repr(factor))
        rest = rest[found.end() :]
    if len(units) > 1 and not _follow_on(units, reader.chains):
        raise _Unreadable("is more than one size")
    return value


def _plain(text: str) -> str:
    """One spelling for each sign: lower case, plain fractions, plain quotes, single spaces, none around a slash."""
    text = _VULGAR.sub(lambda sign: " " + unicodedata.normalize("NFKC", sign[0]), text.lower())
    for sign, plain in _SPELLINGS.items():
        text = text.replace(sign, plain)
    return re.sub(r"\s*/\s*", "/", " ".join(text.split()))


def _follow_on(units: Sequence[str | None], chains: tuple[Mapping[str, float], ...]) -> bool:
    """Whether the units belong together, larger first: "5 ft 3 in", not "13 in 33 cm" or "1 000 mm"."""
    for chain in chains:
        sizes = [chain.get(unit or "", 0.0) for unit in units]
        if all(sizes) and all(a > b for a, b in itertools.pairwise(sizes)):
            return True
    return False


def _amount(found: re.Match[str]) -> Fraction:
    if found["decimal"]:
        if _THOUSANDS.fullmatch(found["decimal"]):
            raise _Unreadable("may mean thousands or decimals (write decimals with a point)")
        return Fraction(found["decimal"].replace(",", ".").removesuffix("."))
    top, bottom = int(found["top"] or found["rest_top"]), int(found["bottom"] or found["rest_bottom"])
    if bottom == 0:
        raise _Unreadable("divides by zero")
    if found["whole"] and top >= bottom:
        raise _Unreadable("cannot be read as a size")
    return int(found["whole"] or 0) + Fraction(top, bottom)


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


_BOTH_UNITS = re.compile(r"(\d+(?:\.\d+)?) mm \(((?:about )?)(\d[\d /]* in)\)")


def own_unit_first(text: str, units: UnitSystem) -> str:
    """A text that tells sizes in both systems, with hers before the other one.

    >>> own_unit_first("at most 304.8 mm (12 in); now 103 mm (about 4 1/16 in)", UnitSystem.INCH)
    'at most 12 in (304.8 mm); now about 4 1/16 in (103 mm)'
    >>> own_unit_first("at most 304.8 mm (12 in)", UnitSystem.METRIC)
    'at most 304.8 mm (12 in)'
    """
    return _BOTH_UNITS.sub(r"\2\3 (\1 mm)", text) if units is UnitSystem.INCH else text


def print_thickness(thickness_mm: float, units: UnitSystem) -> str:
    """Thickness of a sheet: thousandths of an inch, or millimetres; fractions of an inch are too coarse for cloth.

    >>> print_thickness(0.35, UnitSystem.INCH), print_thickness(0.35, UnitSystem.METRIC)
    ('0.014 in', '0.35 mm')
    """
    return f"{thickness_mm / MM_PER_INCH:.3f} in" if units is UnitSystem.INCH else f"{round(thickness_mm, 3):g} mm"


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


_NARROW_MM = 200.0


def print_cloth_width(width_mm: float, units: UnitSystem) -> str:
    """Width of cloth as shops tell it: in metric whole centimetres, unless it is as narrow as a ribbon.

    >>> print_cloth_width(1473.2, UnitSystem.INCH), print_cloth_width(1473.2, UnitSystem.METRIC)
    ('58 in', '147 cm')
    >>> print_cloth_width(25.4, UnitSystem.METRIC)
    '2.5 cm'
    """
    if units is UnitSystem.METRIC and width_mm >= _NARROW_MM:
        return f"{width_mm / 10:.0f} cm"
    return print_length(width_mm, units).text


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
    sign = "-" if round(minutes) < 0 else ""
    hours, rest = divmod(abs(round(minutes)), 60)
    return f"{sign}{hours} h {rest:02d} min" if hours else f"{sign}{rest} min"


def print_heat(heat_c: float, units: UnitSystem) -> str:
    """Temperature, in degrees Fahrenheit for inch users.

    >>> print_heat(150, UnitSystem.INCH), print_heat(150, UnitSystem.METRIC)
    ('302 °F', '150 °C')
    """
    return f"{heat_c * 9 / 5 + 32:.0f} °F" if units is UnitSystem.INCH else f"{heat_c:.0f} °C"


def _mixed(number: Fraction) -> str:
    sign = "-" if number < 0 else ""
    whole, rest = divmod(abs(number), 1)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def _said(text: str, unit: str, exact: float, shown: float) -> Printed:
    hidden = abs(exact - shown) > 5e-4 * max(1.0, abs(exact))
    return Printed(f"{text} {unit}", f"rounded from {exact:.5g} {unit}" if hidden else "")
