"""What to ask for a bag: ways of selling it, and what each price leaves."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from bagwright.model.money import Money


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOfSelling:
    """One way to sell a bag, and what a sale costs her.

    `kept_share`: what the seller keeps of all that the buyer pays - fees of a market, a shop's margin, a shop's part of
    goods sold for her. `kept_fixed`: per sale. `delivery`: what she pays to bring one bag there. `tax_share` (0.2 is
    20 %) comes on top of the price, and is handed on.
    """

    name: str
    kept_share: Decimal
    kept_fixed: Money
    delivery: Money
    tax_share: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class MarketDay:
    """A day at a stall: what it costs whether anything sells or not, and how long it takes."""

    fixed: Money
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """The question. `floor` is what one bag costs without pay, `minutes` what it takes. `margin_share`: what is to be
    left of the price, tax aside, after every cost and her pay. `asked`: the price that the buyer pays, if she has one
    in mind."""

    floor: Money
    minutes: float
    hourly_pay: Money
    margin_share: Decimal
    asked: Money | None
    ways: tuple[WayOfSelling, ...]
    day: MarketDay | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceSplit:
    """Where one price goes. `price` is what the buyer pays; `tax` + `seller` + `delivery` + `floor` + `pay` + `rest` is
    exactly that. `pay` is at her hourly pay; `rest` what is left then, below zero if the price does not reach."""

    price: Money
    tax: Money
    seller: Money
    delivery: Money
    floor: Money
    pay: Money
    rest: Money
    hourly_pay: Money
    """What she earns an hour at this price, whatever she meant to earn."""
    margin_share: Decimal
    """`rest` over the price without tax."""
    markup_share: Decimal
    """`rest` over floor and pay."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCount:
    """Bags to sell on a market day until its cost is back, and until every hour is paid too; None: never."""

    to_even: int | None
    to_pay: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayAnswer:
    """One way of selling: the price that only covers the floor, the one that pays her, the one that leaves the margin
    (None where none can), what the asked price comes to, and the market day at the asked price (or the paid one)."""

    way: WayOfSelling
    at_floor: PriceSplit
    paid: PriceSplit
    at_margin: PriceSplit | None
    asked: PriceSplit | None
    day: DayCount | None
