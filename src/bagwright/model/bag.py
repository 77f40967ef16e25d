"""A bag as the maker keeps it, and the settings of her workroom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from bagwright.model.bands import StripWish
from bagwright.model.material import Layer
from bagwright.model.money import Money
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.running_costs import Overhead, ScrapsCount, SmallSupply
from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.model.timing import LearningModel, TimeStandards
from bagwright.units import UnitSystem


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """One design: a form, its measurements, and what each role is made of.

    `stacks` maps a role (outer, lining, strap...) to its layers from the outside in; bought roles (zip, slider) to one
    layer naming the material. `version` grows by one at every save. `own` holds the pieces of a bag whose form is
    ``own_pieces``: those that she brought herself. `in_rows`: cloths are laid in straight rows for chalk line and
    rotary blade rather than as short as they go. `best_only`: ids of pieces that are cut from the best part of a hide;
    `matched_seams`: ids of seams across which a print goes on; `any_print`: ids of pieces that need no motif in their
    middle. `scraps`: what is asked of scraps pieced under it. `strip_wishes`: how strips are cut.
    """

    id: str
    name: str
    form: str
    measurements_mm: Mapping[str, float]
    stacks: Mapping[str, tuple[Layer, ...]]
    run_count: int = 1
    version: int = 0
    note: str = ""
    own: OwnPattern | None = None
    in_rows: bool = False
    best_only: tuple[str, ...] = ()
    matched_seams: tuple[str, ...] = ()
    any_print: tuple[str, ...] = ()
    strip_wishes: tuple[StripWish, ...] = ()
    scraps: ScrapWishes = field(default_factory=ScrapWishes)


def _default_pay() -> Money:
    return Money(Decimal(18), "USD")


@dataclass(frozen=True, slots=True, kw_only=True)
class Workroom:
    """Settings: units, money, sewing.

    `sewing_speed_spm` is her real average in stitches a minute, stops included. `selling_fee_share` and
    `selling_fee_fixed` are what a sale costs. `overhead_per_hour` spreads rent, wear and the like over working time as
    long as `overhead` has no costs of a month. `small_supplies`: what is used up besides thread.
    `scraps_count` and `scraps_share` (for a share of cost): what scraps count for. `stale_after_days`: prices older
    than that are to be asked for again; a year is common practice, no source.
    `takes_mm`: how thick a seam her machine sews; 6 mm, what many home machines do, is common practice, no source.
    `thickest_needle_nm`: the thickest needle it takes, by metric number; 0: she has not said.
    `learning_rate`: the share to which time falls at every doubling of bags made; 1 is no learning.
    `card_side_mm`: side of the black squares on her stack of marker cards, as she measured it.
    `seam_allowance_mm`, `top_allowance_mm`, `zip_allowance_mm` and `strap_turn_mm` are what a new bag starts with where
    its form asks for them and they fit; None: what is usual for the form.
    """

    units: UnitSystem = UnitSystem.INCH
    fraction: int = 16
    currency: str = "USD"
    hourly_pay: Money = field(default_factory=_default_pay)
    overhead_per_hour: Money = field(default_factory=lambda: Money(Decimal(2), "USD"))
    overhead: Overhead = field(default_factory=Overhead)
    small_supplies: tuple[SmallSupply, ...] = ()
    scraps_count: ScrapsCount = ScrapsCount.SHARE
    scraps_share: Decimal = Decimal(1)
    stale_after_days: int = 365
    selling_fee_share: Decimal = Decimal("0.05")
    selling_fee_fixed: Money = field(default_factory=lambda: Money(Decimal("0.30"), "USD"))
    stitch_length_mm: float = 3.0
    sewing_speed_spm: float = 350.0
    thread_waste_share: float = 0.15
    layout_gap_mm: float = 0.0
    takes_mm: float = 6.0
    thickest_needle_nm: int = 0
    standards: TimeStandards = field(default_factory=TimeStandards)
    learning_rate: float = 1.0
    learning_model: LearningModel = LearningModel.UNIT
    card_side_mm: float = 50.0
    seam_allowance_mm: float | None = None
    top_allowance_mm: float | None = None
    zip_allowance_mm: float | None = None
    strap_turn_mm: float | None = None
    version: int = 0
