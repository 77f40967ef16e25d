"""A price as it was reckoned one day, kept as it is; and two of them compared."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bagwright.model.money import Money


@dataclass(frozen=True, slots=True)
class QuotePart:
    """One line of the price, and how it was made."""

    name: str
    amount: Money
    reckoned: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """The price of one bag of a run as it was reckoned on a day. `parts` add up to `paid_price`.

    `number` counts the quotes of a bag from 1; `bag_version` is the one it was reckoned from; `assumed` are settings
    and choices it rests on, in words: what, and how.
    """

    id: str
    bag_id: str
    bag_name: str
    bag_version: int
    number: int
    dated: date
    run_count: int
    parts: tuple[QuotePart, ...]
    floor: Money
    paid_price: Money
    minutes: float
    assumed: tuple[tuple[str, str], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class PartChange:
    """One line in both; an amount is None where that quote has no such line."""

    name: str
    before: Money | None
    after: Money | None
    more: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteChange:
    """What changed from one quote to another. `parts` add up to `more`; `assumed`: what, before, after where unlike."""

    parts: tuple[PartChange, ...]
    more: Money
    floor_more: Money
    minutes_more: float
    assumed: tuple[tuple[str, str, str], ...]
