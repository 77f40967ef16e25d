"""What a workroom costs besides materials and thread: month by month, and as small supplies are used up."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.money import Money


class SharedBy(StrEnum):
    """What the costs of a month are shared by."""

    BAGS = "bags"
    HOURS = "hours"


@dataclass(frozen=True, slots=True)
class MonthlyCost:
    """One thing that is paid whether a bag is made or not: rent, insurance, power."""

    name: str
    a_month: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Overhead:
    """The costs of a month, and how many bags, or hours of work on bags, carry them. 0: she has not said how many."""

    lines: tuple[MonthlyCost, ...] = ()
    shared_by: SharedBy = SharedBy.HOURS
    bags_a_month: float = 0.0
    hours_a_month: float = 0.0

    @property
    def shares(self) -> float:
        """How many bags, or hours, carry a month."""
        return self.bags_a_month if self.shared_by is SharedBy.BAGS else self.hours_a_month


class SupplyKind(StrEnum):
    """Small supplies that most bags use up; those that she has not given are told as not counted."""

    NEEDLE = "needles"
    BLADE = "blades"
    TAPE = "double-sided tape"
    GLUE = "glue"
    MACHINE = "wear of the machine"
    PACKAGING = "packaging"
    LABEL = "labels and tags"
    CARE_LABEL = "care label"
    DELIVERY = "delivery in"
    OTHER = "other"


class LastsFor(StrEnum):
    """What a supply is used up by, in the unit of `SmallSupply.lasts`."""

    SEWN_MM = "mm sewn"
    SEWN_MINUTES = "minutes sewn"
    CUT_MM = "mm cut"
    STUCK_MM = "mm stuck"
    BAGS = "bags"
    RUNS = "runs"


class StuckAt(StrEnum):
    """Seams that are held by tape or glue before they are sewn."""

    ZIPS = "zips"
    BASTED = "basted lines"
    HEMS = "hems"
    HOLES_STAY = "where pin holes stay"


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallSupply:
    """One small supply: what it costs and how long that lasts, in the unit that `lasts_for` names.

    All numbers are hers: how long a needle or a blade lasts is common practice, no source. `stuck_at`: the seams that
    tape or glue goes along, for what lasts for "mm stuck".
    """

    name: str
    price: Money
    lasts: float = 1.0
    lasts_for: LastsFor = LastsFor.BAGS
    kind: SupplyKind = SupplyKind.OTHER
    stuck_at: tuple[StuckAt, ...] = ()


class ScrapsCount(StrEnum):
    """What scraps count for in the cost of a bag: those from the stash, and what is left of what was bought."""

    NOTHING = "nothing"
    SHARE = "share of cost"
    REPLACEMENT = "price of new"
