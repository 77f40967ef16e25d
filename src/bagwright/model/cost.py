"""What to buy, how long it takes, what it costs, what to ask."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.money import Money
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.model.timing import LoggedTime


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """How much of one material the whole run takes.

    Exactly one of these is set: `lengths_mm_by_width` (sheets: width as offered, selvedges still on, and the length of
    the layout made for it), `length_mm` (webbing, zip chain, thread) or `count` (hardware). `area_mm2` is the area of
    the pieces themselves. `each`: which lengths do, where so many ready-made ones are needed (zips).
    """

    material_id: str
    name: str
    lengths_mm_by_width: tuple[tuple[float, float], ...] = ()
    area_mm2: float = 0.0
    length_mm: float | None = None
    count: int | None = None
    each: ReadyMadeFit | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One offer taken: `quantity` in `quantity_unit` (mm of length, pieces, m2, packs), and the money three ways.

    A pack holds `pack_count`, each of them `holds_m` of what is used by length; `goes_on`: from one to the next, as
    thread does.

    `paid` at the counter; `used` is the share of it that goes into these bags; `left` stays on the shelf.
    `needed` is the quantity needed before rounding up to what the shop sells; `length_each_mm` the length of each
    where it is bought ready made.
    """

    material_id: str
    name: str
    offer_id: str
    seller: str
    quantity_unit: str
    needed: float
    quantity: float
    width_mm: float
    paid: Money
    used: Money
    left: Money
    length_each_mm: float | None = None
    pack_count: int = 1
    holds_m: float | None = None
    goes_on: bool = False


class PartKind(StrEnum):
    """What a line of a price is for."""

    MATERIAL = "material"
    STASH = "from the stash"
    SUPPLY = "small supply"
    DELIVERY = "delivery"
    OVERHEAD = "overhead"
    PAY = "pay"
    FEES = "fees"
    DAY = "market day"


@dataclass(frozen=True, slots=True, kw_only=True)
class PricePart:
    """One line of the price of one bag, with how it was made. `offer_id`: of the purchase that it is a share of."""

    name: str
    amount: Money
    reckoned: str
    kind: PartKind = PartKind.SUPPLY
    offer_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyingPlan:
    """All purchases for a run, with totals. `deliveries`: what sellers charge for them, in `paid` and in `used`.

    `from_stash`: name and worth of what was cut from the stash instead; it is not paid and in none of the totals.
    `used_up`: what one bag takes of small supplies that are at hand; likewise.
    """

    purchases: tuple[Purchase, ...]
    paid: Money
    used: Money
    left: Money
    deliveries: tuple[tuple[str, Money], ...] = ()
    from_stash: tuple[tuple[str, Money], ...] = ()
    used_up: tuple[PricePart, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadUse:
    """Thread for one seam of one bag."""

    seam_id: str
    name: str
    seam_length_mm: float
    thickness_mm: float
    thread_mm: float


@dataclass(frozen=True, slots=True)
class TimePart:
    """Some minutes of a step, and what they are for; below zero where they are saved."""

    says: str
    minutes: float


class _Ranged:
    """Minutes with how far they may be off."""

    __slots__ = ()
    minutes: float
    doubt: float

    @property
    def low_minutes(self) -> float:
        """Least that it takes, with 90 % certainty."""
        return max(self.minutes - self.doubt, 0.0)

    @property
    def high_minutes(self) -> float:
        """Most that it takes, with 90 % certainty."""
        return self.minutes + self.doubt


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeStep(_Ranged):
    """One step of work on one bag. Its `parts`, where it has any, add up to its `minutes`.

    `id` and `number` (0 outside the order of work) as in the order of work; `kind`: what steps are taken together by.
    The time is within `doubt` of `minutes` with 90 % certainty. `logged`: what her readings make of it before rest.
    """

    name: str
    minutes: float
    reckoned: str
    id: str = ""
    number: int = 0
    kind: str = ""
    doubt: float = 0.0
    parts: tuple[TimePart, ...] = ()
    logged: LoggedTime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BagTime(_Ranged):
    """Working time of one bag of a run, on average, with its range, and what her pay for it (and the run) comes to.

    `doubt`: as if all steps were off to the same side. `each`: minutes of every bag of the run, the first one first.
    """

    steps: tuple[TimeStep, ...]
    minutes: float
    doubt: float
    pay: Money
    pay_low: Money
    pay_high: Money
    each: tuple[float, ...]
    run_pay: Money
    made_before: int = 0

    @property
    def next_number(self) -> int:
        """Which one the next bag is."""
        return self.made_before + 1

    @property
    def run_minutes(self) -> float:
        """All bags of the run together."""
        return self.minutes * len(self.each)

    @property
    def run_low_minutes(self) -> float:
        """Least that the run takes."""
        return self.low_minutes * len(self.each)

    @property
    def run_high_minutes(self) -> float:
        """Most that the run takes."""
        return self.high_minutes * len(self.each)


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """Price of one bag.

    `floor`: materials used, small supplies and overhead, no pay. `paid_price`: the floor plus pay, grossed up so
    that the selling fees are covered. `parts` add up to `paid_price`. `not_counted`: small supplies that most bags use
    up and of which no number is given, so that nothing of them is in the price.
    """

    materials: Money
    supplies: Money
    overhead: Money
    pay: Money
    fees: Money
    floor: Money
    paid_price: Money
    minutes: float
    parts: tuple[PricePart, ...]
    not_counted: tuple[str, ...] = ()
