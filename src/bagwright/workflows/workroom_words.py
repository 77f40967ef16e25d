"""The settings of the workroom as JSON: words in, values out."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from pydantic import Field

from bagwright.costing.overhead import overhead_faults
from bagwright.costing.used_up import small_supply_faults
from bagwright.errors import FaultyInput
from bagwright.model.bag import Workroom
from bagwright.model.running_costs import (
    LastsFor,
    MonthlyCost,
    Overhead,
    ScrapsCount,
    SharedBy,
    SmallSupply,
    StuckAt,
    SupplyKind,
)
from bagwright.model.timing import LearningModel
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract
from bagwright.workflows.shelf_words import Amount, Name, money_from
from bagwright.workflows.time_words import StandardWords, standards_from


class MonthlyCostWords(Contract):
    """One cost of a month."""

    name: Name
    a_month: Amount


class OverheadWords(Contract):
    """The costs of a month, and what they are shared by."""

    lines: list[MonthlyCostWords] = Field(default=[], max_length=40, description="list of up to 40 costs of a month")
    shared_by: SharedBy = Field(default=SharedBy.HOURS, description="one of: " + ", ".join(SharedBy))
    bags_a_month: float = Field(default=0, ge=0, le=1e5, description="bags made in a month, 0 to 100000")
    hours_a_month: float = Field(default=0, ge=0, le=1e4, description="hours of work on bags in a month, 0 to 10000")


class SmallSupplyWords(Contract):
    """One small supply."""

    kind: SupplyKind = Field(default=SupplyKind.OTHER, description="one of: " + ", ".join(SupplyKind))
    name: Name
    price: Amount
    lasts: float = Field(default=1, gt=0, le=1e10, description="how long it lasts, above 0 to 10000000000")
    lasts_for: LastsFor = Field(default=LastsFor.BAGS, description="one of: " + ", ".join(LastsFor))
    stuck_at: list[StuckAt] = Field(default=[], max_length=4, description="up to 4 of: " + ", ".join(StuckAt))


class WorkroomWords(Contract):
    """Settings of the workroom; what is left out keeps its usual value."""

    units: UnitSystem = Field(default=UnitSystem.INCH, description="inch or metric")
    fraction: int = Field(default=16, ge=1, le=64, description="inches are printed to 1/this, 1 to 64")
    currency: str = Field(default="USD", pattern="^[A-Z]{3}$", description="three-letter currency code, such as USD")
    hourly_pay: Amount = "18"
    overhead_per_hour: Amount = "2"
    overhead: OverheadWords = Field(default=OverheadWords(), description="costs of a month; with any, no rate an hour")
    small_supplies: list[SmallSupplyWords] = Field(
        default=[], max_length=60, description="what is used up besides thread: list of up to 60"
    )
    scraps_count: ScrapsCount = Field(
        default=ScrapsCount.SHARE, description="what scraps count for, one of: " + ", ".join(ScrapsCount)
    )
    scraps_share: float = Field(default=1, ge=0, le=1, description="share of their cost that scraps count for, 0 to 1")
    stale_after_days: int = Field(
        default=365, ge=1, le=36_500, description="days after which a price is to be asked for again, 1 to 36500"
    )
    selling_fee_share: float = Field(default=0.05, ge=0, le=0.95, description="share of a sale lost to fees, 0 to 0.95")
    selling_fee_fixed: Amount = "0.30"
    stitch_length_mm: float = Field(default=3.0, ge=0.5, le=10, description="stitch length in mm, 0.5 to 10")
    sewing_speed_spm: float = Field(default=350, ge=10, le=6000, description="stitches a minute, 10 to 6000")
    thread_waste_share: float = Field(default=0.15, ge=0, le=1, description="share of thread wasted, 0 to 1")
    layout_gap_mm: float = Field(default=0, ge=0, le=100, description="gap between pieces in mm, 0 to 100")
    takes_mm: float = Field(default=6, ge=0.5, le=50, description="most that her machine sews through in mm, 0.5 to 50")
    thickest_needle_nm: int = Field(
        default=0,
        ge=0,
        le=250,
        description="thickest needle that her machine takes, metric number, 0 to 250 (0: not known)",
    )
    seam_allowance_mm: float | None = Field(
        default=None, ge=4, le=20, description="seam allowance of a bag that gives none, 4 to 20 mm, or null"
    )
    top_allowance_mm: float | None = Field(
        default=None, ge=6, le=40, description="top allowance of a bag that gives none, 6 to 40 mm, or null"
    )
    zip_allowance_mm: float | None = Field(
        default=None, ge=4, le=12, description="zip allowance of a bag that gives none, 4 to 12 mm, or null"
    )
    strap_turn_mm: float | None = Field(
        default=None, ge=15, le=60, description="turned strap end of a bag that gives none, 15 to 60 mm, or null"
    )
    standards: StandardWords = Field(default=StandardWords(), description="standard times, as usual where left out")
    learning_rate: float = Field(
        default=1, ge=0.7, le=1, description="share to which time falls when twice as many are made, 0.7 to 1 (1: none)"
    )
    learning_model: LearningModel = Field(
        default=LearningModel.UNIT, description='what falls to that share: "unit" or "cumulative average"'
    )


_OWN_WAY = {"selling_fee_share", "scraps_share", "standards", "overhead", "small_supplies"}


def workroom_from(words: WorkroomWords) -> Workroom:
    """The settings behind the words. Raises `FaultyInput` for costs that nothing is known to share."""
    amounts = {
        name: money_from(getattr(words, name), words.currency, place=name)
        for name in ("hourly_pay", "overhead_per_hour", "selling_fee_fixed")
    }
    plain = words.model_dump(exclude={*_OWN_WAY, *amounts})
    workroom = Workroom(
        **{**plain, **amounts},
        overhead=overhead_from(words.overhead, words.currency),
        small_supplies=tuple(_small_supply(one, words.currency) for one in words.small_supplies),
        scraps_share=Decimal(repr(words.scraps_share)),
        selling_fee_share=Decimal(repr(words.selling_fee_share)),
        standards=standards_from(words.standards),
    )
    if problems := [*overhead_faults(workroom), *small_supply_faults(workroom)]:
        raise FaultyInput(replace(one, place=f"workroom.{one.place}") for one in problems)
    return workroom


def overhead_from(words: OverheadWords, currency: str) -> Overhead:
    """The costs of a month behind the words."""
    return Overhead(
        lines=tuple(MonthlyCost(one.name, money_from(one.a_month, currency, place="")) for one in words.lines),
        shared_by=words.shared_by,
        bags_a_month=words.bags_a_month,
        hours_a_month=words.hours_a_month,
    )


def _small_supply(words: SmallSupplyWords, currency: str) -> SmallSupply:
    return SmallSupply(
        kind=words.kind,
        name=words.name,
        price=money_from(words.price, currency, place=""),
        lasts=words.lasts,
        lasts_for=words.lasts_for,
        stuck_at=tuple(words.stuck_at),
    )
