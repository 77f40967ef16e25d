"""The properties of a material as they are typed and printed: a value or a range, how it is known, who says so."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.material import Material, MaterialKind
from bagwright.model.source import Reading, Source, SourceKind
from bagwright.units import (
    UnitSystem,
    print_heat,
    print_length,
    print_mass_gsm,
    print_thickness,
    read_heat_c,
    read_length_mm,
    read_mass_g,
    read_mass_gsm,
)
from bagwright.workflows.contracts import Faults

Texts = Mapping[str, str]
LONGEST_SOURCE = 200
_TO = re.compile(r"\s+(?:to|bis)\s+|\s*[–—]\s*|(?<=[\w\"'%²°])\s+-\s+(?=\d)")
_BRACKETS = re.compile(r"(.*)\((.*)\)")
_PERCENT = re.compile(r"[0-9]{1,2}(?:[.,][0-9]{1,4})?\s*%?")
_NOTHING = re.compile(r"0+(?:[.,]0*)?\s*(?:mm|cm|m|in|inch|inches|\")?")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingField:
    """One property: how it is read (text, place, units), printed, and what it may be at all."""

    name: str
    label: str
    hint: str
    read: Callable[[str, str, UnitSystem], float]
    print: Callable[[float, UnitSystem], str]
    low: float
    high: float
    allowed: str


def _gsm(text: str, place: str, units: UnitSystem) -> float:
    return read_mass_gsm(text, place=place, units=units)


def _print_gsm(value: float, units: UnitSystem) -> str:
    return print_mass_gsm(value, units).text


def _small_mm(text: str, place: str, units: UnitSystem) -> float:
    """A bare number is millimetres in metric. In inches it is asked for: labels of felt and foam give mm there, too."""
    is_bare = text.strip()[-1:].isnumeric()
    if is_bare and units is UnitSystem.INCH:
        what, allowed = "has no unit", "a size such as 1/16 in, 0.04 in or 1 mm"
        raise FaultyInput([Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy="Add in or mm.")])
    return read_length_mm(f"{text} mm" if is_bare else text, place=place, units=units)


def _print_overhang(value: float, units: UnitSystem) -> str:
    """As it is read off her ruler."""
    return f"{round(value, 2):g} mm" if units is UnitSystem.METRIC else print_length(value, units).text


def _length(text: str, place: str, units: UnitSystem) -> float:
    return 0.0 if _NOTHING.fullmatch(text.strip()) else read_length_mm(text, place=place, units=units)


def _print_length(value: float, units: UnitSystem) -> str:
    return print_length(value, units, fraction=32).text


def _percent(text: str, place: str, units: UnitSystem) -> float:
    if not _PERCENT.fullmatch(text.strip()):
        what, allowed = "is not a percentage", "0 to 50 %"
        problem = Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy="Type it like 3.5 %.")
        raise FaultyInput([problem])
    return float(text.replace("%", "").strip().replace(",", ".")) / 100


def _print_percent(value: float, units: UnitSystem) -> str:
    return f"{round(100 * value, 4):g} %"


def _heat(text: str, place: str, units: UnitSystem) -> float:
    return read_heat_c(text, place=place, units=units)


def _grams(text: str, place: str, units: UnitSystem) -> float:
    return read_mass_g(text, place=place)


def _print_grams(value: float, units: UnitSystem) -> str:
    return f"{value:g} g"


def _field(name: str, label: str, hint: str, how: _How, limits: tuple[float, float, str]) -> ReadingField:
    read, printed = how
    low, high, allowed = limits
    return ReadingField(
        name=name, label=label, hint=hint, read=read, print=printed, low=low, high=high, allowed=allowed
    )


_How = tuple[Callable[[str, str, UnitSystem], float], Callable[[float, UnitSystem], str]]
_THICK: _How = (_small_mm, print_thickness)
_HANGS: _How = (_small_mm, _print_overhang)
_SHARE: _How = (_percent, _print_percent)
_HEATS: _How = (_heat, print_heat)
_GRAMS: _How = (_grams, _print_grams)
_SIZES: _How = (_length, _print_length)
_WEIGHT = (1, 20_000, "1 to 20000 g/m2")
_THICKNESS = (0.01, 50, "0.01 to 50 mm")
_OVERHANG = (1, 2000, "1 to 2000 mm")
_LOST = (0, 0.5, "0 to 50 %")
_REPEAT = (0, 3000, "0 to 3000 mm")
_TEMPERATURE = (0, 300, "0 to 300 °C")
_DOTS = "Care symbol: one dot 110 °C (230 °F), two 150 °C (302 °F), three 200 °C (392 °F)."
_STIFF = "How far a strip reaches over a table's edge before it droops to the slope card: more is stiffer."
_SHEET = (
    _field("mass_gsm", "Weight", "As the label says, such as 10 oz or 340 gsm.", (_gsm, _print_gsm), _WEIGHT),
    _field("thickness_mm", "Thickness", "Of one layer: a stack of ten tells it best.", _THICK, _THICKNESS),
    _field("overhang_mm", "Stiffness, lengthwise", _STIFF, _HANGS, _OVERHANG),
    _field("crosswise_overhang_mm", "Stiffness, crosswise", "The same for a strip cut across.", _HANGS, _OVERHANG),
    _field(
        "selvedge_mm", "Selvedge, each side", "What you cut off.", (_length, _print_length), (0, 200, "0 to 200 mm")
    ),
    _field("shrinkage_share", "Shrinks lengthwise", "In the wash you give it before cutting.", _SHARE, _LOST),
    _field("crosswise_shrinkage_share", "Shrinks crosswise", "Likewise across.", _SHARE, _LOST),
    _field("repeat_along_mm", "Repeat along", "From motif to motif, along the selvedge; 0 for none.", _SIZES, _REPEAT),
    _field("repeat_across_mm", "Repeat across", "Likewise from selvedge to selvedge.", _SIZES, _REPEAT),
    _field("motif_in_mm", "First motif", "From the edge of the cloth to the middle of a motif.", _SIZES, _REPEAT),
)
_ACROSS = _field(
    "thickness_mm", "Thickness", "Of one thread: a tenth of ten turns wound side by side.", _THICK, _THICKNESS
)
_HEAT_BORNE = _field("highest_iron_c", "Bears heat up to", _DOTS, _HEATS, _TEMPERATURE)
_GLUE = _field("glue_needs_c", "Its glue needs", "From the leaflet of the fusible.", _HEATS, _TEMPERATURE)
_A_METRE = _field("mass_gpm", "Weight of a metre", "In grams.", _GRAMS, (0.001, 5000, "0.001 to 5000 g"))
_EACH = _field("mass_each_g", "Weight of one", "In grams.", _GRAMS, (0.001, 5000, "0.001 to 5000 g"))


def reading_fields(kind: MaterialKind, *, fusible: bool) -> tuple[ReadingField, ...]:
    """The properties that matter for a kind, in the order in which they are asked for."""
    if kind.is_sheet:
        return (*_SHEET, _HEAT_BORNE, *([_GLUE] if fusible else []))
    if kind is MaterialKind.HARDWARE:
        return (_EACH,)
    return (_A_METRE, _ACROSS if kind is MaterialKind.THREAD else _SHEET[1], _HEAT_BORNE)


def print_reading(field: ReadingField, reading: Reading | None, units: UnitSystem) -> str:
    """A reading as it stands in its field: the value, and the range in brackets if there is one."""
    if reading is None:
        return ""
    value, low, high = (field.print(number, units) for number in (reading.value, reading.low, reading.high))
    return value if low == high == value else f"{value} ({_bare(low, high)} to {high})"


def print_range(field: ReadingField, reading: Reading, units: UnitSystem) -> str:
    """Lowest to highest; one number if they print alike."""
    low, high = field.print(reading.low, units), field.print(reading.high, units)
    return high if low == high else f"{_bare(low, high)} to {high}"


def _bare(low: str, high: str) -> str:
    """Without its unit if the higher one has the same."""
    number, _, unit = low.rpartition(" ")
    return number if number and high.endswith(f" {unit}") else low


def read_reading(field: ReadingField, texts: Texts, kept: Reading | None, workroom: Workroom) -> Reading | None:
    """What was typed for one property; None if the field is empty. A field left as it was keeps its exact numbers.

    Raises `FaultyInput`.
    """
    text = texts.get(field.name, "").strip()
    if not text:
        return None
    is_kept = kept is not None and text == print_reading(field, kept, workroom.units)
    low, value, high = (
        (kept.low, kept.value, kept.high) if kept and is_kept else _read_numbers(field, text, workroom.units)
    )
    return Reading(value, low, high, _read_source(field.name, texts, None if is_kept else kept))


def _read_numbers(field: ReadingField, text: str, units: UnitSystem) -> tuple[float, float, float]:
    """Lowest, value, highest of "12", "10 to 14" or "12 (10 to 14)"; the unit may stand once, at the end."""
    bracketed = _BRACKETS.fullmatch(text)
    alone, spread = (bracketed[1], bracketed[2]) if bracketed else ("", text)
    ends = [part.strip() for part in _TO.split(spread)]
    if len(ends) == 2 and ends[0][-1:].isdigit():
        ends[0] = f"{ends[0]} {_unit(ends[1])}".strip()
    if len(ends) > 2 or (bracketed and len(ends) != 2):
        raise _refused(field, text, "is neither a number nor a range")
    numbers = [_within(field, part, units) for part in ends]
    low, high = numbers[0], numbers[-1]
    value = _within(field, alone, units) if bracketed else (low + high) / 2
    if not low <= value <= high:
        raise _refused(field, text, "is not in rising order")
    return low, value, high


def _unit(text: str) -> str:
    found = re.search(r"[^\d\s.,/].*$", text)
    return found[0] if found else ""


def _within(field: ReadingField, text: str, units: UnitSystem) -> float:
    number = field.read(text, field.name, units)
    if not field.low <= number <= field.high:
        raise _refused(field, text, "is out of range")
    return number


def _refused(field: ReadingField, text: str, what: str) -> FaultyInput:
    remedy = "Type one number, or a range such as 10 to 14."
    return FaultyInput([Problem(place=field.name, value=text[:40], what=what, allowed=field.allowed, remedy=remedy)])


def _read_source(name: str, texts: Texts, replaced: Reading | None) -> Source:
    """Who says so. `replaced`: the reading another number was typed over; a usual source does not speak for that."""
    kind = texts.get(f"{name}_known", SourceKind.GUESS.value)
    said_by = " ".join(texts.get(f"{name}_said_by", "").split())[:LONGEST_SOURCE]
    if replaced and replaced.source == Source(SourceKind.TYPICAL, said_by) and kind == SourceKind.TYPICAL.value:
        return Source(SourceKind.LABEL, _UNSAID[SourceKind.LABEL])
    place = f"{name}_known"
    if kind not in set(SourceKind):
        allowed = ", ".join(SourceKind)
        problem = Problem(place=place, value=kind[:40], what="is no way to know", allowed=allowed, remedy="Choose one.")
        raise FaultyInput([problem])
    return Source(SourceKind(kind), said_by or _UNSAID[SourceKind(kind)])


_UNSAID = {
    SourceKind.MEASURED: "your own measure",
    SourceKind.LABEL: "the label",
    SourceKind.TYPICAL: "a usual range",
    SourceKind.GUESS: "not known better",
}


def read_readings(material: Material, texts: Texts, workroom: Workroom) -> dict[str, Reading | None]:
    """Every property of the material as typed; a field that is missing stays as it is. Raises `FaultyInput`."""
    readings: dict[str, Reading | None] = {}
    faults = Faults()
    for field in reading_fields(material.kind, fusible=material.fusible_sides > 0):
        if field.name in texts:
            with faults:
                readings[field.name] = read_reading(field, texts, getattr(material, field.name), workroom)
    faults.raise_if_any()
    return readings
