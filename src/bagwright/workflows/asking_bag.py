"""What to ask for one bag of hers: fields to type in, and every way of selling answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from bagwright.costing.asking import ways_to_ask
from bagwright.costing.bringing import MOST_BAGS, chances_of_sales, how_many_to_bring
from bagwright.errors import FaultyInput, Problem
from bagwright.model.asking import Asking, MarketDay, PriceSplit, WayAnswer, WayOfSelling
from bagwright.model.bag import Workroom
from bagwright.model.bringing import Bringing, BringingAnswer
from bagwright.model.cost import Price
from bagwright.model.money import Money
from bagwright.units import read_number
from bagwright.workflows.contracts import Faults
from bagwright.workflows.shelf_words import money_from
from bagwright.workflows.workroom_changes import read_percent

Texts = Mapping[str, str]
USUAL: Texts = {
    "margin": "20",
    "asked": "",
    "tax": "0",
    "shop": "50",
    "for_her": "40",
    "delivery": "0",
    "day_cost": "0",
    "day_hours": "",
    "least": "",
    "likely": "",
    "most": "",
    "worth_after": "",
}
"""What stands in the fields at first. That shops double what they pay and that goods sold for the maker leave her about
60 % is common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedBag:
    """The fields as typed, their faults, and the answers if there are none."""

    texts: Texts
    problems: tuple[Problem, ...]
    ways: tuple[WayAnswer, ...]
    bringing: BringingAnswer | None = None
    brought_at: Money | None = None
    """The price at which `bringing` is reckoned."""


def ask_for_bag(price: Price, workroom: Workroom, texts: Texts) -> AskedBag:
    """Every way of selling at the typed terms; a field that is missing is as usual. Never raises for what is typed."""
    given = {name: texts.get(name, usual).strip() or usual for name, usual in USUAL.items()}
    faults = Faults()
    with faults:
        own, *shops = ways_to_ask(_read(price, workroom, given))
    with faults:
        sales = _read_sales(given, price, workroom)
    if faults.problems:
        return AskedBag(texts=given, problems=tuple(_beside_its_field(one) for one in faults.problems), ways=())
    split = own.asked or own.at_margin or own.paid
    # A stall is hers; what shops sell does not pay for it.
    return AskedBag(
        texts=given,
        problems=(),
        ways=(own, *(replace(shop, day=None) for shop in shops)),
        bringing=_how_many(sales, split) if sales else None,
        brought_at=split.price,
    )


@dataclass(frozen=True, slots=True)
class _Sales:
    """Her guess at how many are sold on a day, and what a bag left over is worth."""

    chances: tuple[float, ...]
    worth_after: Money


def _read_sales(texts: Texts, price: Price, workroom: Workroom) -> _Sales | None:
    """None if no count is typed. A bag left over is worth its materials, unless she says otherwise."""
    if not any(texts[name] for name in _COUNTS):
        return None
    faults = Faults()
    counts: list[int] = []
    worth = price.floor
    for name in _COUNTS:
        with faults:
            counts.append(read_count(texts[name], name))
    if texts["worth_after"]:
        with faults:
            worth = money_from(texts["worth_after"], workroom.currency, place="worth_after")
            _refuse_too_much(worth, price)
    faults.raise_if_any()
    return _Sales(chances_of_sales(*counts), worth)


def _how_many(sales: _Sales, split: PriceSplit) -> BringingAnswer:
    cost = split.floor + split.pay
    asked = Bringing(cost=cost, kept=cost + split.rest, worth_after=sales.worth_after, chances=sales.chances)
    return how_many_to_bring(asked)


_COUNTS = ("least", "likely", "most")


def read_count(text: str, place: str) -> int:
    """A number of bags on a market day. Raises `FaultyInput`."""
    if text.isascii() and text.isdecimal() and len(text) <= 4 and int(text) <= MOST_BAGS:
        return int(text)
    allowed = f"a whole number from 0 to {MOST_BAGS}"
    what = "is no number of bags" if text else "is missing"
    raise FaultyInput([Problem(place=place, value=text, what=what, allowed=allowed, remedy="Give all three.")])


def _refuse_too_much(worth: Money, price: Price) -> None:
    most = price.floor + price.pay
    if worth.amount > most.amount:
        what, allowed = "is more than the bag costs you", f"{most.said()} or less"
        problem = Problem(place="worth_after", value=worth.said(), what=what, allowed=allowed, remedy="Correct it.")
        raise FaultyInput([problem])


def _read(price: Price, workroom: Workroom, texts: Texts) -> Asking:
    faults = Faults()
    shares: dict[str, Decimal] = {}
    amounts: dict[str, Money] = {}
    hours = 0.0
    for name in ("margin", "tax", "shop", "for_her"):
        with faults:
            shares[name] = read_percent(texts[name], name, high=_MOST_PERCENT[name])
    for name in ("asked", "delivery", "day_cost"):
        if texts[name]:
            with faults:
                amounts[name] = money_from(texts[name], workroom.currency, place=name)
    if texts["day_hours"]:
        with faults:
            hours = read_number(texts["day_hours"], place="day_hours", what="hours")
    faults.raise_if_any()
    has_day = bool(hours or amounts["day_cost"].amount)
    return Asking(
        floor=price.floor,
        minutes=price.minutes,
        hourly_pay=workroom.hourly_pay,
        margin_share=shares["margin"],
        asked=amounts.get("asked"),
        ways=_ways(workroom, shares, amounts["delivery"]),
        day=MarketDay(fixed=amounts["day_cost"], minutes=60 * hours) if has_day else None,
    )


_MOST_PERCENT = {"margin": 95, "tax": 100, "shop": 95, "for_her": 95}


def _ways(workroom: Workroom, shares: Mapping[str, Decimal], delivery: Money) -> tuple[WayOfSelling, ...]:
    none = Money(Decimal(0), workroom.currency)
    return (
        WayOfSelling(
            name="You sell it yourself",
            kept_share=workroom.selling_fee_share,
            kept_fixed=workroom.selling_fee_fixed,
            delivery=none,
            tax_share=shares["tax"],
        ),
        WayOfSelling(
            name="A shop buys it from you",
            kept_share=shares["shop"] / (1 + shares["tax"]),
            kept_fixed=none,
            delivery=delivery,
            tax_share=shares["tax"],
        ),
        WayOfSelling(
            name="A shop sells it for you",
            kept_share=shares["for_her"] / (1 + shares["tax"]),
            kept_fixed=none,
            delivery=delivery,
            tax_share=shares["tax"],
        ),
    )


def _beside_its_field(problem: Problem) -> Problem:
    """Only the workroom's fees can leave nothing of a sale, and only once tax comes on top."""
    return replace(problem, place="tax") if problem.place.startswith("ways[") else problem
