"""What the money of a bag hangs on: inputs with their ranges, the lines that follow from them, and the totals."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from bagwright.errors import BrokenPromise
from bagwright.model.cost import PartKind
from bagwright.model.money import Money


class TermUnit(StrEnum):
    """What a term is told in. TIMES: as a multiple of what it is now."""

    MONEY = "money"
    MINUTES = "minutes"
    MM = "mm"
    SHARE = "share"
    COUNT = "count"
    TIMES = "times"


LEAST_OF_BELL = 0.1


class Spread(StrEnum):
    """How likely the values within a range are taken to be.

    PEAKED: a triangle from low to high with its top at the value. BELL: normal about the value, its middle 90 % up to
    the high end, and never below `LEAST_OF_BELL` of the value: no work takes no time.
    """

    PEAKED = "peaked"
    BELL = "bell"


class Known(StrEnum):
    """Whose word a range is."""

    YOURS = "yours"
    SOURCE = "from a source"
    USUAL = "common practice, no source"
    EXACT = "taken as exact"


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One input of the reckoning, in its `unit` (money in the currency of the bag), and how far it may be off.

    `of`: the material, work or supply that it is of, if any. `says`: why this range. Terms with the same `together` are
    off to the same side by the same chance.
    """

    id: str
    name: str
    unit: TermUnit
    value: float
    low: float
    high: float
    spread: Spread = Spread.PEAKED
    known: Known = Known.EXACT
    of: str = ""
    says: str = ""
    together: str = ""

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.low, self.high))) or not self.low <= self.value <= self.high:
            raise BrokenPromise(f"a term needs low <= value <= high, got {self.low}, {self.value}, {self.high}")

    @property
    def is_exact(self) -> bool:
        """Whether it has no range."""
        return self.low == self.high


class Works(StrEnum):
    """How a line follows a term x that was v when it was reckoned: x / v, v / x, or (1 - v) / (1 - x) of it."""

    TIMES = "grows with it"
    SHARED = "is shared by it"
    LOST = "makes up for the share that is lost"


@dataclass(frozen=True, slots=True)
class Effect:
    """One term that a line follows."""

    term_id: str
    works: Works = Works.TIMES


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyLine:
    """Money that one bag takes whatever its hours are; `amount` with every term at its value."""

    kind: PartKind
    name: str
    amount: float
    effects: tuple[Effect, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkLine:
    """Minutes that one bag takes. Overhead by the hour counts only where it is made (`is_making`)."""

    name: str
    minutes: float
    effects: tuple[Effect, ...] = ()
    is_making: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class BagMoney:
    """The reckoning of one bag sold in one way. Seven terms are always there: `RATES`."""

    currency: str
    terms: tuple[Term, ...]
    lines: tuple[MoneyLine, ...]
    work: tuple[WorkLine, ...]

    def term(self, term_id: str) -> Term:
        """The term of that id."""
        return next(one for one in self.terms if one.id == term_id)


PAY, OVERHEAD_HOUR, KEPT_SHARE, KEPT_FIXED, BRINGING, TAX, PRICE = RATES = (
    "pay",
    "overhead_hour",
    "kept_share",
    "kept_fixed",
    "bringing",
    "tax",
    "price",
)
"""Her pay and the overhead for an hour; what the seller keeps; bringing one bag there; tax; what the buyer pays."""
SOLD, BAGS_A_MONTH = "sold", "bags_a_month"
"""The bags that share a market day, and those that share the costs of a month, where any do."""


class Total(StrEnum):
    """What is reckoned from the terms. The hour's pay is what the price leaves for each hour."""

    MATERIALS = "materials"
    SUPPLIES = "supplies"
    MINUTES = "minutes"
    COST = "cost"
    PAID_PRICE = "paid_price"
    HOUR = "hour"


@dataclass(frozen=True, slots=True, kw_only=True)
class RangedTotal:
    """A total with every input at its value, and between what it lies in nine cases of ten."""

    total: Total
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """What one term does by itself. `at_low`, `at_high`: how far each total moves with the term at that end.

    `slopes`: change of each total for one unit more of the term, where it stands now.
    """

    term: Term
    at_low: Mapping[Total, float]
    at_high: Mapping[Total, float]
    slopes: Mapping[Total, float]

    def width(self, total: Total) -> float:
        """How far the total moves between the ends, its place now counted in."""
        ends = (self.at_low[total], self.at_high[total], 0.0)
        return max(ends) - min(ends)


class Goes(StrEnum):
    """Where the price of a bag goes, in the order in which it is taken off."""

    TAX = "tax"
    FEES = "fees"
    BRINGING = "bringing"
    MATERIALS = "materials"
    SUPPLIES = "supplies"
    DELIVERY = "delivery"
    OVERHEAD = "overhead"
    DAY = "day"
    PAY = "pay"
    LEFT = "left"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpentLine:
    """One line of a part, in whole cents."""

    name: str
    amount: Money
    reckoned: str
    offer_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpentPart:
    """One part of a price, in whole cents; its lines add up to it."""

    goes: Goes
    amount: Money
    lines: tuple[SpentLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spending:
    """A price in whole cents and its parts, which add up to it. LEFT is below zero where the price does not reach."""

    price: Money
    parts: tuple[SpentPart, ...]
