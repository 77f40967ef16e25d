"""What a shop label wrote into a name ("canvas 10 oz 60 in cotton"): found, told and offered, never used unasked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from bagwright.errors import FaultyInput, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.material import Material, MaterialKind, Offer
from bagwright.model.source import Reading, SourceKind
from bagwright.store.materials import load_material, load_offers, save_material
from bagwright.units import UnitSystem, read_length_mm
from bagwright.workflows.desk import Desk
from bagwright.workflows.material_fields import read_reading, reading_fields

SAID_BY = "its name"
_NUMBER = r"\d+(?:[.,]\d+)?"
_LENGTH = r"(?:inches|inch|ins|in|cm|mm|[\"”″])(?![a-z])"
_WEIGHT = re.compile(
    rf"({_NUMBER}(?:\s*(?:-|–|to)\s*{_NUMBER})?)\s*(oz\.?\s*/\s*(?:sq\.?\s*)?yd[2²]?|g\s*/\s*m[2²]|gsm|oz|ounces?)(?![a-z])"
)
_SHEET = re.compile(rf"({_NUMBER})\s*({_LENGTH})?\s*[x×]\s*({_NUMBER})\s*({_LENGTH})")
_TWO_WIDTHS = re.compile(rf"(\d\d+)\s*/\s*(\d\d+)\s*({_LENGTH})")
_SIZE = re.compile(rf"((?:\d+\s+)?\d+/\d+|{_NUMBER})\s*-?\s*({_LENGTH})")
_DUCK = re.compile(r"(?:no\.?|number|#)\s*(\d{1,2})\b.*\bduck|\bduck\b.*(?:no\.?|number|#)\s*(\d{1,2})\b")
_TEX = re.compile(r"\btex\s*(\d{1,3})\b|\b(\d{1,3})\s*tex\b")
_NO_GLUE = re.compile(r"\b(?:sew[- ]?in|non-?fusible|not fusible)\b")
_GLUE = re.compile(r"\b(?:fusible|iron-on)\b")
_BOTH_SIDES = re.compile(r"\b(?:double[- ]sided|two[- ]sided|both sides|2[- ]sided)\b")
_FIBRES = ("cotton", "linen", "hemp", "jute", "viscose", "rayon", "wool", "silk", "polyester", "nylon", "acrylic")
_FIBRES_AND_COATS = (*_FIBRES, "polypropylene", "polyurethane", "pvc", "vinyl")
_THICKEST_MM, _SMALLEST_PIECE_MM, _NARROWEST_MM, _WIDEST_MM = 15.0, 150.0, 250.0, 4000.0
_SOLD_BY_THICKNESS = (
    *(MaterialKind.COATED, MaterialKind.CORK, MaterialKind.LEATHER),
    *(MaterialKind.FLEECE, MaterialKind.FELT, MaterialKind.FOAM),
)
"""A small size in the name of a cloth is its stripe or its check."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NameNumbers:
    """What a name tells, as it would be typed: `readings` by property, the rest as it stands on an offer.

    `glued_sides`: None if the name says nothing of glue. `length`: of a cut piece, only together with `width`.
    """

    readings: Mapping[str, str]
    width: str = ""
    length: str = ""
    glued_sides: int | None = None
    fibres: str = ""


def numbers_in_name(name: str, kind: MaterialKind) -> NameNumbers:
    """Weight, thickness, width, size of a cut piece, glue and fibres that stand in a name.

    Ounces are those of a square yard; of leather they are its thickness, 1/64 in each. Numbered duck of number n
    weighs 19 - n ounces a piece of 36 x 22 in; thread of tex n weighs n grams a kilometre.

    >>> found = numbers_in_name("canvas 10 oz 60 in cotton", MaterialKind.BOTTOM_WEIGHT)
    >>> found.readings, found.width, found.fibres
    ({'mass_gsm': '10 oz'}, '60 in', 'cotton')
    >>> numbers_in_name("sew-in foam 20x58 in", MaterialKind.FOAM).length
    '58 in'
    """
    text = " ".join(name.lower().split())
    fibres = ", ".join(fibre for fibre in _FIBRES_AND_COATS if re.search(rf"\b{fibre}\b", text))
    if not kind.is_sheet:
        return NameNumbers(readings=_tex(text) if kind is MaterialKind.THREAD else {}, fibres=fibres)
    readings, rest = _weight(text, kind)
    width, length, rest = _cut_piece(rest)
    for size in _sizes(rest):
        size_mm = _size_mm(size)
        if size_mm <= _THICKEST_MM and kind in _SOLD_BY_THICKNESS:
            readings.setdefault("thickness_mm", size)
        elif not width and _NARROWEST_MM <= size_mm <= _WIDEST_MM:
            width = size
    return NameNumbers(readings=readings, width=width, length=length, glued_sides=_glued_sides(text), fibres=fibres)


def _weight(text: str, kind: MaterialKind) -> tuple[dict[str, str], str]:
    """Weight (of leather: thickness), and the text without it."""
    found, duck = _WEIGHT.search(text), _DUCK.search(text)
    if duck and not found and (number := int(duck[1] or duck[2])) <= 12:
        return {"mass_gsm": f"{(19 - number) * 1296 / (36 * 22):.2f} oz"}, text
    if not found:
        return {}, text
    rest = text.replace(found[0], " ", 1)
    ends = [end.strip() for end in re.split(r"-|–|to", found[1])]
    if kind is MaterialKind.LEATHER:
        if found[2].startswith("g"):
            return {"mass_gsm": f"{' to '.join(ends)} gsm"}, rest
        told = [f"{float(end.replace(',', '.')) / 64:.4f} in" for end in ends]
        return {"thickness_mm": " to ".join(told)}, rest
    unit = "gsm" if found[2].startswith("g") else "oz"
    return {"mass_gsm": f"{' to '.join(ends)} {unit}"}, rest


def _cut_piece(text: str) -> tuple[str, str, str]:
    """Width and length of "20x58 in", the lower width of "44/45 in", and the text without them."""
    sheet, widths = _SHEET.search(text), _TWO_WIDTHS.search(text)
    if sheet:
        width, length = f"{sheet[1]} {_unit(sheet[2] or sheet[4])}", f"{sheet[3]} {_unit(sheet[4])}"
        is_piece = min(_size_mm(width), _size_mm(length)) >= _SMALLEST_PIECE_MM
        return width if is_piece else "", length if is_piece else "", text.replace(sheet[0], " ", 1)
    if widths:
        return f"{min(widths[1], widths[2], key=int)} {_unit(widths[3])}", "", text.replace(widths[0], " ", 1)
    return "", "", text


def _sizes(text: str) -> list[str]:
    """Every length that can be read."""
    sizes = [f"{found[1]} {_unit(found[2])}" for found in _SIZE.finditer(text)]
    return [size for size in sizes if _size_mm(size)]


def _unit(text: str) -> str:
    return text if text in ("cm", "mm") else "in"


def _size_mm(text: str) -> float:
    """0 for what is no size."""
    try:
        return read_length_mm(text, place="name", units=UnitSystem.INCH)
    except FaultyInput:
        return 0.0


def _tex(text: str) -> dict[str, str]:
    found = _TEX.search(text)
    return {"mass_gpm": f"{int(found[1] or found[2]) / 1000:g} g"} if found else {}


def _glued_sides(text: str) -> int | None:
    if _NO_GLUE.search(text):
        return 0
    if not _GLUE.search(text):
        return None
    return 2 if _BOTH_SIDES.search(text) else 1


def not_yet_used(material: Material, offers: tuple[Offer, ...]) -> NameNumbers:
    """What the name tells that the material does not have yet from her or from a label."""
    found = numbers_in_name(material.name, material.kind)
    sides = found.glued_sides if found.glued_sides != material.fusible_sides else None
    return NameNumbers(
        readings={name: text for name, text in found.readings.items() if _is_open(material, name, text)},
        width="" if offers else found.width,
        length="" if offers else found.length,
        glued_sides=sides if sides and not material.fusible_sides else None,
        fibres="" if material.fibres else found.fibres,
    )


def _is_open(material: Material, name: str, text: str) -> bool:
    """Whether it can be read, and nothing better is known."""
    reading = getattr(material, name)
    try:
        _from_label(material.kind, name, text)
    except FaultyInput:
        return False
    return reading is None or reading.source.kind in (SourceKind.TYPICAL, SourceKind.GUESS)


def _from_label(kind: MaterialKind, name: str, text: str) -> Reading | None:
    field = next(field for field in reading_fields(kind, fusible=False) if field.name == name)
    texts = {name: text, f"{name}_known": SourceKind.LABEL.value, f"{name}_said_by": SAID_BY}
    return read_reading(field, texts, None, Workroom())


def take_from_name(desk: Desk, material_id: str, version: int) -> Material:
    """Put weight, thickness, glue and fibres of the name in, as from the label. Raises `FaultyInput`, `StaleSave`."""
    with desk.store() as store:
        kept = load_material(store, material_id)
        if kept.version != version:
            raise StaleSave(f"material {material_id!r}", expected_version=version, kept_version=kept.version)
        own = tuple(offer.value for offer in load_offers(store) if offer.value.material_id == material_id)
        found = not_yet_used(kept.value, own)
        read: dict[str, Any] = {name: _from_label(kept.value.kind, name, text) for name, text in found.readings.items()}
        read |= {"fusible_sides": found.glued_sides} if found.glued_sides else {}
        read |= {"fibres": found.fibres} if found.fibres else {}
        changed = replace(kept.value, **read)
        return changed if not read else save_material(store, changed, expected_version=version).value
