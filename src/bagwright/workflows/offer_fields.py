"""The ways a material is sold, as they are typed and printed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.material import (
    Material,
    MaterialKind,
    Offer,
    OfferByArea,
    OfferByCount,
    OfferByLength,
    OfferByPiece,
    PriceBreak,
)
from bagwright.units import UnitSystem, print_cloth_length, print_length, read_length_mm, read_number
from bagwright.workflows.contracts import Faults
from bagwright.workflows.shelf_words import money_from

Texts = Mapping[str, str]
LONGEST_SELLER = 120
_BREAK = re.compile(r"\s*from\s+(\S+)\s*:\s*(\S+)\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class OfferField:
    """One field of an offer: its name, label and hint."""

    name: str
    label: str
    hint: str


_COMMON = (
    OfferField("seller", "Where", "Shop, market or person."),
    OfferField("price", "Price", "In your currency, such as 12.50."),
)
_DATED = (
    OfferField("dated", "Price of", "The day it was true, as 2026-11-25."),
    OfferField("price_breaks", "Cheaper from", "If more costs less each: from 5: 9.50; from 10: 8.80."),
)
_WIDTH = OfferField("width_mm", "Width", "Full width, selvedge to selvedge.")
WAYS_SOLD: Mapping[str, tuple[OfferField, ...]] = {
    "by length": (
        *_COMMON,
        OfferField("priced_per_mm", "Price is for", "A length, such as 1 yd or 1 m."),
        _WIDTH,
        OfferField("step_mm", "Cut in steps of", "The smallest step the shop cuts, such as 1/8 yd or 10 cm."),
        *_DATED,
    ),
    "by piece": (
        *_COMMON,
        _WIDTH,
        OfferField("length_mm", "Length", "Of one cut piece; of a ready-made zip, from stop to stop."),
        *_DATED,
    ),
    "by area": (
        *_COMMON,
        OfferField("usual_area_m2", "Area of one, in m²", "About what one hide has; the price is for 1 m²."),
        OfferField("usual_width_mm", "Width to count on", "What you can lay pieces across."),
        *_DATED,
    ),
    "by count": (
        *_COMMON,
        OfferField("pack_count", "In a pack", "How many the price buys."),
        OfferField(
            "length_each_m",
            "Length on each",
            "On a spool or reel, such as 250 yd or 229 m; of each ready-made zip in a pack; else leave it empty.",
        ),
        *_DATED,
    ),
}
_NAMES = {OfferByLength: "by length", OfferByPiece: "by piece", OfferByArea: "by area", OfferByCount: "by count"}


def ways_sold(kind: MaterialKind) -> tuple[str, ...]:
    """How that kind is sold, the usual way first."""
    if kind is MaterialKind.HARDWARE:
        return ("by count",)
    if kind is MaterialKind.THREAD:
        return ("by count", "by length")
    if kind is MaterialKind.ZIP:
        return ("by length", "by piece", "by count")
    if not kind.is_sheet:
        return ("by length", "by count")
    return (
        ("by area", "by length", "by piece") if kind is MaterialKind.LEATHER else ("by length", "by piece", "by area")
    )


def offer_fields(sold: str, kind: MaterialKind) -> tuple[OfferField, ...]:
    """The fields of one way of selling; what is no sheet has no width."""
    return tuple(field for field in WAYS_SOLD[sold] if kind.is_sheet or field.name != "width_mm")


def sold_how(offer: Offer) -> str:
    """Which of `WAYS_SOLD` an offer is."""
    return _NAMES[type(offer)]


def print_offer(offer: Offer, name: str, workroom: Workroom) -> str:
    """One property of an offer as it stands in its field."""
    value = getattr(offer, name)
    if name == "price":
        return str(offer.price.amount)
    if name == "price_breaks":
        return "; ".join(f"from {step.from_quantity:g}: {step.price.amount}" for step in offer.price_breaks)
    if name == "priced_per_mm":
        printed = print_cloth_length(value, workroom.units)
        return print_length(value, workroom.units).text if printed.rounded else printed.text
    if name.endswith("_mm"):
        return print_length(value, workroom.units, fraction=32).text
    if name == "length_each_m" and value is not None:
        return f"{value:g} m"
    if isinstance(value, date):
        return value.isoformat()
    return "" if value is None else f"{value:g}" if isinstance(value, float | int) else str(value)


def usual_offer(sold: str, workroom: Workroom, today: date) -> Mapping[str, str]:
    """What a new offer's fields start from."""
    inch = workroom.units.value == "inch"
    lengths = {"priced_per_mm": "1 yd", "step_mm": "1/8 yd"} if inch else {"priced_per_mm": "1 m", "step_mm": "10 cm"}
    return {"dated": today.isoformat(), "pack_count": "1", **(lengths if sold == "by length" else {})}


def read_offer(material: Material, texts: Texts, workroom: Workroom) -> Offer:
    """The offer that was typed, without an id. Raises `FaultyInput` with every fault; a missing price is one."""
    sold = texts.get("sold", "")
    if sold not in ways_sold(material.kind):
        raise _refused("sold", sold, "is not how that is sold", ", ".join(ways_sold(material.kind)))
    read: dict[str, Any] = {}
    faults = Faults()
    for field in offer_fields(sold, material.kind):
        with faults:
            read[field.name] = _read(field.name, texts.get(field.name, "").strip(), workroom)
    faults.raise_if_any()
    if sold in ("by length", "by piece"):
        read.setdefault("width_mm", 0.0)
    kinds = {name: kind for kind, name in _NAMES.items()}
    offer: Offer = kinds[sold](id="", material_id=material.id, **read)
    return offer


def _read(name: str, text: str, workroom: Workroom) -> object:
    if name == "seller":
        if not text or len(text) > LONGEST_SELLER or not text.isprintable():
            raise _refused(name, text, "is no name of a seller", f"1 to {LONGEST_SELLER} visible signs")
        return " ".join(text.split())
    if name == "price":
        return money_from(text, workroom.currency, place=name)
    if name == "price_breaks":
        return _read_breaks(text, workroom)
    if name == "dated":
        return _read_day(text)
    if name == "pack_count":
        if not text.isdecimal() or not 1 <= int(text[:9]) <= 100_000:
            raise _refused(name, text, "is not a whole number", "1 to 100000")
        return int(text)
    if name == "length_each_m":
        return _within(name, text, _metres(text), (0.01, 1e6)) if text else None
    if name == "usual_area_m2":
        return _within(name, text, read_number(text, place=name, what="square metres"), (0.01, 100))
    high = 100_000 if name in ("priced_per_mm", "step_mm") else 20_000
    return _within(name, text, read_length_mm(text, place=name, units=workroom.units), (1, high))


def _within(name: str, text: str, number: float, limits: tuple[float, float]) -> float:
    low, high = limits
    if not low <= number <= high:
        unit = " mm" if name.endswith("_mm") else " m" if name.endswith("_m") else ""
        raise _refused(name, text, "is out of range", f"{low:g} to {high:g}{unit}")
    return number


def _metres(text: str) -> float:
    """A length on a spool as its label says it, in m; a bare number is in m."""
    if any(sign.isalpha() for sign in text):
        return read_length_mm(text, place="length_each_m", units=UnitSystem.METRIC) / 1000
    return read_number(text, place="length_each_m", what="metres")


def _read_day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise _refused("dated", text, "is not a day", "a day such as 2026-11-25") from None


def _read_breaks(text: str, workroom: Workroom) -> tuple[PriceBreak, ...]:
    breaks = []
    for part in filter(None, (part.strip() for part in text.split(";"))):
        found = _BREAK.fullmatch(part)
        if not found:
            raise _refused("price_breaks", part, "cannot be read", "such as from 5: 9.50; from 10: 8.80")
        quantity = read_number(found[1], place="price_breaks", what="a quantity")
        price = money_from(found[2], workroom.currency, place="price_breaks")
        breaks.append(PriceBreak(from_quantity=quantity, price=price))
    return tuple(sorted(breaks, key=lambda step: step.from_quantity))


def _refused(place: str, text: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy="Type it again.")])
