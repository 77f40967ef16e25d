"""What `bagwright buy` reads: needs with their layouts, offers, what sellers ask for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Annotated

from pydantic import Field

from bagwright.costing._solver import Effort
from bagwright.errors import FaultyInput, Problem
from bagwright.model.cost import Need
from bagwright.model.money import Money
from bagwright.model.run_buying import LaidParts, RunNeed, SellerTerms, StashParts
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.workflows.contracts import Contract
from bagwright.workflows.shelf_words import Amount, Day, Id, Name, OfferWords, money_from

Count = Annotated[int, Field(ge=0, le=100_000)]
LengthMm = Annotated[float, Field(ge=0.1, le=1e7)]
WidthMm = Annotated[float, Field(ge=0, le=20_000)]


class LaidWords(Contract):
    """One layout of a need, or of some of its parts."""

    holds: list[Count] = Field(
        default=[],
        max_length=200,
        description="how many of each part it holds, a list of up to 200 counts from 0 to 100000; empty: all of them",
    )
    length_mm: LengthMm = Field(description="length that it takes in mm, 0.1 to 10000000")
    width_mm: WidthMm = Field(
        default=0, description="full width of the cloth as offered in mm, 0 to 20000; 0 for webbing and the like"
    )


class StashPartsWords(Contract):
    """Something on the shelf that holds parts of a need."""

    id: Id
    name: str = Field(default="", max_length=200, description="what it is, up to 200 characters")
    holds: list[Count] = Field(
        min_length=1, max_length=200, description="how many of each part, a list of 1 to 200 counts from 0 to 100000"
    )
    worth: Amount = "0"


class BuyNeedWords(Contract):
    """What the whole run takes of one material: `laid`, `length_mm` or `count`."""

    material_id: Id
    name: Name
    parts: list[Count] = Field(
        default=[1],
        min_length=1,
        max_length=200,
        description="how many of each part are wanted, a list of 1 to 200 counts from 0 to 100000; a part may be a bag",
    )
    ready: list[Count] = Field(
        default=[],
        max_length=200,
        description="how many of each part were cut before, a list of up to 200 counts from 0 to 100000; empty: none",
    )
    laid: list[LaidWords] = Field(default=[], max_length=2000, description="list of up to 2000 layouts")
    length_mm: LengthMm | None = Field(
        default=None, description="length of all parts, of what has no width, in mm, 0.1 to 10000000, or null"
    )
    count: Count | None = Field(default=None, description="how many things, 0 to 100000, or null")
    ready_made_from_mm: float | None = Field(
        default=None, ge=1, le=20_000, description="for ready-made zips: the least length in mm, 1 to 20000, or null"
    )
    area_mm2: float = Field(default=0, ge=0, le=1e12, description="area of all pieces in mm2, 0 to 1000000000000")
    part_areas_mm2: list[Annotated[float, Field(ge=0, le=1e12)]] = Field(
        default=[],
        max_length=200,
        description="area of one of each part in mm2, a list of up to 200, each 0 to 1000000000000; empty: not known",
    )
    goes_on: bool = Field(default=False, description="true if it may go on from one piece to the next, as thread does")
    stash: list[StashPartsWords] = Field(default=[], max_length=200, description="list of up to 200 things")


class NextBagWords(Contract):
    """The run with one more bag in it."""

    name: Name
    needs: list[BuyNeedWords] = Field(
        min_length=1, max_length=500, description="what the run takes with that bag in it, a list of 1 to 500 needs"
    )


class SellerWords(Contract):
    """What a seller asks besides prices."""

    seller: Name
    delivery: Amount = "0"
    free_from: Amount | None = Field(
        default=None, description='delivery is free from this on, such as "50.00", or null'
    )
    least_order: Amount | None = Field(default=None, description='takes no order below, such as "20.00", or null')


class BuyWords(Contract):
    """What `bagwright buy` reads."""

    needs: list[BuyNeedWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 needs")
    offers: list[OfferWords] = Field(min_length=1, max_length=2000, description="list of 1 to 2000 offers")
    sellers: list[SellerWords] = Field(default=[], max_length=200, description="list of up to 200 sellers")
    next: list[NextBagWords] = Field(
        default=[],
        max_length=20,
        description="bags to make on top, a list of up to 20; each is reckoned anew",
    )
    currency: str = Field(default="USD", pattern="^[A-Z]{3}$", description="three-letter currency code, such as USD")
    left_worth: float = Field(
        default=0, ge=0, le=1, description="what leftovers are worth to you, as a share of their price, 0 to 1"
    )
    oldest: Day | None = Field(default=None, description="no offer from before this day is looked at, or null")
    seconds: float = Field(default=1.6, ge=0.1, le=600, description="seconds of search, 0.1 to 600")

    @property
    def oldest_day(self) -> date | None:
        """The same as a day."""
        return date.fromisoformat(self.oldest) if self.oldest else None

    @property
    def effort(self) -> Effort:
        """How long to look."""
        return Effort(seconds=self.seconds)


def needs_from(needs: Sequence[BuyNeedWords], currency: str, *, place: str = "needs") -> tuple[RunNeed, ...]:
    """The needs behind the words. Raises `FaultyInput` with every fault in them."""
    problems = [problem for number, one in enumerate(needs) for problem in _need_faults(one, f"{place}[{number}]")]
    if problems:
        raise FaultyInput(problems)
    return tuple(_need(one, currency) for one in needs)


def _need(words: BuyNeedWords, currency: str) -> RunNeed:
    ready = words.ready or [0] * len(words.parts)
    parts = tuple(max(wanted - there, 0) for wanted, there in zip(words.parts, ready, strict=True))
    is_count, is_ready = words.count is not None, any(words.parts) and not any(parts)
    laid = tuple(
        LaidParts(holds=tuple(one.holds) or parts, length_mm=one.length_mm, width_mm=one.width_mm)
        for one in words.laid
        if not is_ready
    )
    return RunNeed(
        need=Need(
            material_id=words.material_id,
            name=words.name,
            area_mm2=words.area_mm2,
            length_mm=0.0 if is_ready and words.length_mm else words.length_mm,
            count=words.count,
            each=ReadyMadeFit(least_mm=words.ready_made_from_mm) if words.ready_made_from_mm else None,
        ),
        parts=(1,) if is_count else parts,
        laid=laid,
        stash=tuple(
            StashParts(
                stash_id=one.id,
                name=one.name or one.id,
                holds=tuple(one.holds),
                worth=money_from(one.worth, currency, place="worth"),
            )
            for one in words.stash
            if not is_ready
        ),
        part_areas_mm2=tuple(words.part_areas_mm2),
        goes_on=words.goes_on,
    )


def _need_faults(words: BuyNeedWords, place: str) -> Iterator[Problem]:
    ways = [name for name in ("length_mm", "count") if getattr(words, name) is not None]
    many = 1 if words.count is not None else len(words.parts)
    if len(ways) > 1 or (not ways and not words.laid and not words.area_mm2):
        value = " and ".join(ways)
        yield _problem(place, value, "states no single quantity", "laid, length_mm, count or area_mm2", "Give one.")
    if words.count is not None and (words.laid or words.goes_on or words.ready or words.parts != [1]):
        allowed, remedy = "count by itself", "Leave out laid, parts and ready."
        yield _problem(place, "count", "is not laid and has no parts", allowed, remedy)
    if words.ready_made_from_mm and words.count is None:
        yield _problem(f"{place}.ready_made_from_mm", "", "goes with a count", "null without count", "Give a count.")
    others = words.laid or words.stash or words.ready or words.parts != [1]
    if words.goes_on and (words.length_mm is None or others):
        allowed = "length_mm without parts, layouts and stash"
        yield _problem(f"{place}.goes_on", "true", "goes with a plain length", allowed, "Leave the others out.")
    if words.part_areas_mm2 and len(words.part_areas_mm2) != many:
        allowed = f"{many} areas, one for each part"
        yield _problem(f"{place}.part_areas_mm2", str(len(words.part_areas_mm2)), "areas", allowed, "Give them all.")
    if words.ready and len(words.ready) != many:
        allowed = f"{many} counts, one for each part"
        yield _problem(f"{place}.ready", str(words.ready)[:60], "does not fit the parts", allowed, "Give them all.")
    held = [(f"laid[{number}]", one.holds) for number, one in enumerate(words.laid) if one.holds]
    held += [(f"stash[{number}]", one.holds) for number, one in enumerate(words.stash)]
    for name, holds in held:
        if len(holds) != many or not any(holds):
            spot, allowed = f"{place}.{name}.holds", f"{many} counts, one for each part, not all of them 0"
            yield _problem(spot, str(holds)[:60], "does not fit the parts", allowed, "Correct the list.")


def terms_from(words: BuyWords) -> tuple[SellerTerms, ...]:
    """What sellers ask for. Raises `FaultyInput` for a seller named twice."""
    names = [one.seller for one in words.sellers]
    problems = [
        _problem(f"sellers[{at}].seller", name, "is named twice", "each seller once", "Put both into one entry.")
        for at, name in enumerate(names)
        if name in names[:at]
    ]
    if problems:
        raise FaultyInput(problems)

    def money(text: str | None) -> Money | None:
        return None if text is None else money_from(text, words.currency, place="sellers")

    return tuple(
        SellerTerms(
            seller=one.seller,
            delivery=money_from(one.delivery, words.currency, place="delivery"),
            free_from=money(one.free_from),
            least_order=money(one.least_order),
        )
        for one in words.sellers
    )


def place_in_buying(place: str, words: BuyWords, *, of_next: int | None = None) -> str:
    """The path in the file of a place that names a material or an offer by its id.

    `of_next`: number of the next bag whose needs are meant.
    """
    needs, at = (words.needs, "needs") if of_next is None else (words.next[of_next].needs, f"next[{of_next}].needs")
    lists: Sequence[tuple[str, str, list[str]]] = (
        ("materials", at, [one.material_id for one in needs]),
        ("offers", "offers", [one.id for one in words.offers]),
        ("sellers", "sellers", [one.seller for one in words.sellers]),
    )
    for told, name, ids in lists:
        for number, key in enumerate(ids):
            if place.startswith(f"{told}[{key}]"):
                rest = place.removeprefix(f"{told}[{key}]")
                return f"{name}[{number}]" + (rest if told == name else "")
    return place


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)
