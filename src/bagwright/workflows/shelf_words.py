"""Materials and offers as JSON: words in, values out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from bagwright.errors import FaultyInput, Problem
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
from bagwright.model.money import Money
from bagwright.workflows.contracts import (
    Contract,
    HeatC,
    LostShare,
    MassGsm,
    Measured,
    OverhangMm,
    ThicknessMm,
    reading,
    within,
)
from bagwright.workflows.shelf import Shelf

Id = Annotated[str, Field(min_length=1, max_length=80, description="a short id, 1 to 80 characters, each once")]
Name = Annotated[str, Field(min_length=1, max_length=200, description="a name, 1 to 200 characters")]


def money_from(text: str, currency: str, *, place: str) -> Money:
    """An amount that is zero or more. Raises `FaultyInput`.

    >>> money_from("12.50", "EUR", place="price")
    Money(amount=Decimal('12.50'), currency='EUR')
    """
    given = text.strip()
    if not _AMOUNT.fullmatch(given) or _THOUSANDS.fullmatch(given):
        unsure = "may mean thousands or decimals" if _THOUSANDS.fullmatch(given) else ""
        what = unsure or ("is not an amount of money" if given else "is empty")
        allowed = "an amount such as 12.50, decimals after a point, below 1,000,000,000"
        problem = Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy="Type the amount.")
        raise FaultyInput([problem])
    return Money(Decimal(given.replace(",", ".")), currency)


_AMOUNT = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,6})?")
"""Plain digits only: an exponent, a sign or NaN is no price, and 1e-99999999 would take hours to reckon with."""
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def _an_amount(text: str) -> str:
    money_from(text, "", place="")
    return text


def _a_day(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        what, allowed, remedy = "is not a day", "a day such as 2026-11-25", "Write it as YYYY-MM-DD."
        raise FaultyInput([Problem(place="", value=text[:40], what=what, allowed=allowed, remedy=remedy)]) from None
    return text


Amount = Annotated[
    str,
    AfterValidator(_an_amount),
    Field(max_length=20, description='an amount of money as text of up to 20 characters, 0 or more, such as "12.50"'),
]
Day = Annotated[
    str, AfterValidator(_a_day), Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$", description="a day as YYYY-MM-DD")
]


class MaterialWords(Contract):
    """One material. What is not known is left out."""

    id: Id
    name: Name
    kind: MaterialKind = Field(description="one of: " + ", ".join(MaterialKind))
    fibres: str = Field(default="", max_length=200, description="what it is made of, up to 200 characters")
    fusible_sides: int = Field(default=0, ge=0, le=2, description="how many sides carry glue: 0, 1 or 2")
    directional: bool = Field(default=False, description="true if nap or print has a right way up")
    holes_stay: bool = Field(default=False, description="true if pin and needle holes stay")
    half_drop: bool = Field(default=False, description="true if every other row of its print lies half a repeat on")
    laid_double: bool = Field(default=False, description="true if it is cut from two layers, selvedge on selvedge")
    mass_gsm: MassGsm | None = Field(default=None, description="weight of a sheet in g/m2, 1 to 20000")
    thickness_mm: ThicknessMm | None = Field(default=None, description="thickness in mm, 0.01 to 50")
    overhang_mm: OverhangMm | None = Field(default=None, description="overhang lengthwise in mm, 1 to 2000")
    crosswise_overhang_mm: OverhangMm | None = Field(default=None, description="overhang crosswise in mm, 1 to 2000")
    overhang_angle_deg: float = Field(default=41.5, ge=5, le=80, description="slope of the ruler test, 5 to 80 degrees")
    selvedge_mm: Annotated[Measured, within(0, 200)] | None = Field(
        default=None, description="lost along each side in mm, 0 to 200"
    )
    shrinkage_share: LostShare | None = Field(
        default=None, description="share of the length lost in the wash, 0 to 0.5"
    )
    crosswise_shrinkage_share: LostShare | None = Field(
        default=None, description="share of the width lost in the wash, 0 to 0.5"
    )
    repeat_along_mm: Annotated[Measured, within(0, 3_000)] | None = Field(
        default=None, description="from motif to motif along it in mm, 0 to 3000"
    )
    repeat_across_mm: Annotated[Measured, within(0, 3_000)] | None = Field(
        default=None, description="from motif to motif across it in mm, 0 to 3000"
    )
    motif_in_mm: Annotated[Measured, within(0, 3_000)] | None = Field(
        default=None, description="from its edge to the middle of the first motif in mm, 0 to 3000"
    )
    highest_iron_c: HeatC | None = Field(default=None, description="heat it bears in degrees C, 0 to 300")
    glue_needs_c: HeatC | None = Field(default=None, description="heat its glue needs in degrees C, 0 to 300")
    mass_gpm: Annotated[Measured, within(0.001, 5_000)] | None = Field(
        default=None, description="weight of a metre in g, 0.001 to 5000"
    )
    mass_each_g: Annotated[Measured, within(0.001, 5_000)] | None = Field(
        default=None, description="weight of one in g, 0.001 to 5000"
    )
    note: str = Field(default="", max_length=2000, description="a note, up to 2000 characters")


READINGS = tuple(name for name, field in MaterialWords.model_fields.items() if field.default is None)
"""What may be unknown is a reading, and only that."""


class PriceBreakWords(Contract):
    """A lower price from some quantity on."""

    from_quantity: float = Field(
        ge=0.01,
        le=1e6,
        description="from how many lengths of priced_per_mm, pieces, m2 or packs on, 0.01 to 1000000",
    )
    price: Amount


class _OfferWords(Contract):
    id: Id
    material_id: Id
    seller: Name
    price: Amount
    dated: Day
    price_breaks: list[PriceBreakWords] = Field(default=[], max_length=20, description="list of up to 20 price breaks")


class OfferByLengthWords(_OfferWords):
    """Off a bolt or reel."""

    sold: Literal["by length"] = Field(description='"by length", "by piece", "by area" or "by count"')
    width_mm: float = Field(
        ge=0, le=20_000, description="full width in mm, 0 to 20000; 0 for webbing, zip chain and thread"
    )
    priced_per_mm: float = Field(ge=1, le=100_000, description="length that the price buys, in mm, 1 to 100000")
    step_mm: float = Field(ge=1, le=100_000, description="smallest step of length in mm, 1 to 100000")


class OfferByPieceWords(_OfferWords):
    """Cut pieces of one size, ready-made zips."""

    sold: Literal["by piece"] = Field(description='"by length", "by piece", "by area" or "by count"')
    width_mm: float = Field(ge=0, le=20_000, description="width of a piece in mm, 0 to 20000; 0 for ready-made zips")
    length_mm: float = Field(ge=1, le=20_000, description="length of a piece in mm, 1 to 20000")


class OfferByAreaWords(_OfferWords):
    """Hides."""

    sold: Literal["by area"] = Field(description='"by length", "by piece", "by area" or "by count"')
    usual_area_m2: float = Field(ge=0.01, le=100, description="area of one hide in m2, 0.01 to 100")
    usual_width_mm: float = Field(ge=1, le=20_000, description="width one can count on in mm, 1 to 20000")


class OfferByCountWords(_OfferWords):
    """Hardware and spools."""

    sold: Literal["by count"] = Field(description='"by length", "by piece", "by area" or "by count"')
    pack_count: int = Field(ge=1, le=100_000, description="how many in a pack, a whole number from 1 to 100000")
    length_each_m: float | None = Field(
        default=None, ge=0.01, le=1e6, description="metres on a spool or in a ready-made zip, 0.01 to 1000000"
    )


OfferWords = Annotated[
    OfferByLengthWords | OfferByPieceWords | OfferByAreaWords | OfferByCountWords, Field(discriminator="sold")
]


def shelf_from(
    materials: Sequence[MaterialWords], offers: Sequence[OfferWords], currency: str, *, place: str = ""
) -> Shelf:
    """The shelf behind the words. Raises `FaultyInput` for every id used twice and every offer of no material."""
    problems = [
        *repeats([material.id for material in materials], f"{place}materials"),
        *repeats([offer.id for offer in offers], f"{place}offers"),
        *_of_no_material(offers, {material.id for material in materials}, f"{place}offers"),
    ]
    if problems:
        raise FaultyInput(problems)
    return Shelf.of(map(material_from, materials), (offer_from(offer, currency) for offer in offers))


def repeats(ids: Sequence[str], place: str) -> Iterator[Problem]:
    """Ids used twice."""
    for number, name in enumerate(ids):
        if name in ids[:number]:
            yield Problem(
                place=f"{place}[{number}].id",
                value=name,
                what="is used twice",
                allowed="each id once",
                remedy="Rename it.",
            )


def material_from(words: MaterialWords) -> Material:
    """The material behind the words."""
    given = {name: getattr(words, name) for name in READINGS}
    readings = {name: None if value is None else reading(value) for name, value in given.items()}
    return Material(**{**words.model_dump(exclude=set(READINGS)), **readings})


def _of_no_material(offers: Sequence[OfferWords], known_ids: set[str], place: str) -> Iterator[Problem]:
    for number, offer in enumerate(offers):
        if offer.material_id not in known_ids:
            yield Problem(
                place=f"{place}[{number}].material_id",
                value=offer.material_id,
                what="names no material",
                allowed="the id of a material in this file",
                remedy="Correct it, or add the material.",
            )


def offer_from(words: OfferWords, currency: str) -> Offer:
    """The offer behind the words."""
    breaks = tuple(
        PriceBreak(from_quantity=step.from_quantity, price=money_from(step.price, currency, place="price_breaks"))
        for step in words.price_breaks
    )
    own = words.model_dump(exclude={"sold", "price", "dated", "price_breaks"})
    price = money_from(words.price, currency, place="price")
    return _OFFERS[words.sold](**own, price=price, dated=date.fromisoformat(words.dated), price_breaks=breaks)


_OFFERS: dict[str, type[OfferByLength] | type[OfferByPiece] | type[OfferByArea] | type[OfferByCount]] = {
    "by length": OfferByLength,
    "by piece": OfferByPiece,
    "by area": OfferByArea,
    "by count": OfferByCount,
}
