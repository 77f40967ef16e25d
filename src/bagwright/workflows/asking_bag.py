"""What to ask for one bag of hers: fields to type in, and every way of selling answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from bagwright.costing.asking import ways_to_ask
from bagwright.errors import FaultyInput, Problem
from bagwright.model.asking import Asking, MarketDay, WayAnswer, WayOfSelling
from bagwright.model.bag import Workroom
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
}
"""What stands in the fields at first. That shops double what they pay and that goods sold for the maker leave her about
60 % is common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedBag:
    """The fields as typed, their faults, and the answers if there are none."""

    texts: Texts
    problems: tuple[Problem, ...]
    ways: tuple[WayAnswer, ...]


def ask_for_bag(price: Price, workroom: Workroom, texts: Texts) -> AskedBag:
    """Every way of selling at the typed terms; a field that is missing is as usual. Never raises for what is typed."""
    given = {name: texts.get(name, usual).strip() or usual for name, usual in USUAL.items()}
    try:
        own, *shops = ways_to_ask(_read(price, workroom, given))
        # A stall is hers; what shops sell does not pay for it.
        return AskedBag(texts=given, problems=(), ways=(own, *(replace(shop, day=None) for shop in shops)))
    except FaultyInput as fault:
        return AskedBag(texts=given, problems=tuple(_beside_its_field(one) for one in fault.problems), ways=())


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
