"""Materials and offers as JSON, in the fields that `bagwright price` reads."""

from __future__ import annotations

from dataclasses import fields
from enum import Enum

from bagwright.model.material import Material, Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.source import Reading
from bagwright.workflows.shelf_words import MaterialWords

Json = dict[str, object]
_SOLD = {
    OfferByLength: "by length",
    OfferByPiece: "by piece",
    OfferByArea: "by area",
    OfferByCount: "by count",
}


def material_as_words(material: Material) -> Json:
    """The material; what is not known, or as usual, is left out."""
    words = MaterialWords.model_fields
    given = {name: getattr(material, name) for name in words}
    return {name: _plain(value) for name, value in given.items() if value != words[name].default}


def reading_as_words(reading: Reading) -> Json:
    """A number with its range and source."""
    source = {"kind": reading.source.kind.value, "said_by": reading.source.said_by}
    return {"value": reading.value, "low": reading.low, "high": reading.high, "source": source}


def offer_as_words(offer: Offer) -> Json:
    """The offer, its price without the currency."""
    plain = {one.name: getattr(offer, one.name) for one in fields(offer)}
    breaks = [{"from_quantity": step.from_quantity, "price": f"{step.price.amount:f}"} for step in offer.price_breaks]
    return {
        "sold": _SOLD[type(offer)],
        **plain,
        "price": f"{offer.price.amount:f}",
        "dated": offer.dated.isoformat(),
        "price_breaks": breaks,
    }


def _plain(value: object) -> object:
    if isinstance(value, Reading):
        return reading_as_words(value)
    return value.value if isinstance(value, Enum) else value
