"""What the money of one bag hangs on, as terms with ranges. New ones are added in `_TERMS`."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from bagwright.costing.offers import unit_price
from bagwright.costing.price_age import age_years
from bagwright.costing.reckoning import exact, exact_mm
from bagwright.model.asking import WayOfSelling
from bagwright.model.cost import Price, Purchase, TimeStep
from bagwright.model.material import Offer, OfferByLength
from bagwright.model.money import Money
from bagwright.model.money_terms import (
    BAGS_A_MONTH,
    BRINGING,
    KEPT_FIXED,
    KEPT_SHARE,
    LEAST_OF_BELL,
    OVERHEAD_HOUR,
    PAY,
    PRICE,
    SOLD,
    TAX,
    Known,
    Spread,
    Term,
    TermUnit,
)
from bagwright.model.source import Reading, SourceKind

PRICE_MOVES_A_YEAR = 0.1
"""Share by which a price may have moved, up or down, for each year of its age. Common practice, no source."""
LENGTH_MOVES = 0.05
"""Share of a layout's length that may be more, or less, on the table. Common practice, no source."""
LASTS_MOVES = 0.3
"""Share by which a needle, a blade or a roll may last longer, or less long. Common practice, no source."""
HIDE_USED = (2 / 3, 3 / 4)
"""Share of a hide that ends up as pieces: leather suppliers' charts state a waste of 25 % to a third."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidLength:
    """Length of a layout, the length that no layout can beat, and what its material loses of it in the wash.

    `step_mm`: what the shop measures it off by, before the wash, `step_said` in words; 0 where it is sold otherwise.
    """

    name: str
    laid_mm: float
    least_mm: float
    shrinkage: Reading | None = None
    step_mm: float = 0.0
    step_said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedDay:
    """A market day shared by the bags sold on it: what it costs, its minutes, and how many are sold."""

    fixed: Money
    minutes: float
    least: float
    likely: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyFacts:
    """What is known of one bag's money. `laid`: by the id of the material. `asked`: None for the price that pays her.

    `overhead_hour`: overhead that one more hour of making takes; the rest is the same for every bag, or shared by the
    `bags_a_month`. `today`: None where the age of prices does not count. `lasting`: names of small supplies that wear.
    `length_steps`: by how many steps of the shop a layout may be off; 0: by the share `length_moves`.
    """

    price: Price
    steps: tuple[TimeStep, ...]
    purchases: tuple[Purchase, ...]
    offers: tuple[Offer, ...]
    laid: Mapping[str, LaidLength]
    hourly_pay: Money
    overhead_hour: Money
    way: WayOfSelling
    asked: Money | None
    today: date | None
    day: SharedDay | None = None
    bags_a_month: float | None = None
    lasting: tuple[str, ...] = ()
    price_moves_a_year: float = PRICE_MOVES_A_YEAR
    length_moves: float = LENGTH_MOVES
    length_steps: int = 0


def terms_of(facts: MoneyFacts) -> tuple[Term, ...]:
    """Every term of a bag; the price in mind is 0 where there is none."""
    return tuple(term for source in _TERMS for term in source(facts))


def by_kind(steps: Sequence[TimeStep]) -> Mapping[str, list[TimeStep]]:
    """Steps taken together as pages take them together."""
    kinds: dict[str, list[TimeStep]] = {}
    for step in steps:
        kinds.setdefault(step.kind or step.name, []).append(step)
    return kinds


def _price_terms(facts: MoneyFacts) -> Iterator[Term]:
    offers = {offer.id: offer for offer in facts.offers}
    for offer_id, purchase in {one.offer_id: one for one in facts.purchases if one.needed}.items():
        offer = offers[offer_id]
        value = _unit_price(facts.purchases, offer)
        years = age_years(offer.dated, facts.today) if facts.today else 0.0
        moves = min(facts.price_moves_a_year * years, 0.95)
        yield Term(
            id=f"price:{offer_id}",
            name=f"Price of {purchase.name} at {purchase.seller}",
            of=purchase.name,
            unit=TermUnit.MONEY,
            value=value,
            low=value * (1 - moves),
            high=value * (1 + moves),
            known=Known.USUAL if value and moves else Known.EXACT,
            says=f"of {offer.dated:%d %B %Y}: {moves:.0%} either way for its age".replace("%", " %") if moves else "",
        )


def _unit_price(purchases: Sequence[Purchase], offer: Offer) -> float:
    """What one unit of the offer costs, price breaks reached by all that is bought of it."""
    priced_per = exact_mm(offer.priced_per_mm) if isinstance(offer, OfferByLength) else Fraction(1)
    bought = sum((exact(one.quantity) for one in purchases if one.offer_id == offer.id), Fraction(0))
    return float(unit_price(offer, bought / priced_per))


def _length_terms(facts: MoneyFacts) -> Iterator[Term]:
    for material_id, laid in facts.laid.items():
        by_mm, told = _may_be_off(facts, laid)
        low, high = min(max(laid.laid_mm - by_mm, laid.least_mm), laid.laid_mm), laid.laid_mm + by_mm
        yield Term(
            id=f"length:{material_id}",
            name=f"Length of {laid.name} cut into",
            of=laid.name,
            unit=TermUnit.MM,
            value=laid.laid_mm,
            low=low,
            high=high,
            known=Known.USUAL if low < high else Known.EXACT,
            says=f"{told} either way, and no less than any layout takes",
        )


def _may_be_off(facts: MoneyFacts, laid: LaidLength) -> tuple[float, str]:
    """By how much a layout may be longer or shorter than it was laid, and in words what of it was bought."""
    if facts.length_steps and laid.step_mm:
        left = 1 - (laid.shrinkage.value if laid.shrinkage else 0.0)
        times = "" if facts.length_steps == 1 else f"{facts.length_steps} times "
        return facts.length_steps * laid.step_mm * left, f"{times}{laid.step_said} as the shop measures it off,"
    return facts.length_moves * laid.laid_mm, f"{facts.length_moves:.0%}".replace("%", " %")


def _wash_terms(facts: MoneyFacts) -> Iterator[Term]:
    for material_id, laid in facts.laid.items():
        reading = laid.shrinkage
        if reading is None:
            continue
        measured = reading.source.kind is SourceKind.MEASURED
        known = Known.YOURS if measured else Known.SOURCE
        yield Term(
            id=f"wash:{material_id}",
            name=f"What {laid.name} loses in the wash",
            of=laid.name,
            unit=TermUnit.SHARE,
            value=reading.value,
            low=reading.low,
            high=reading.high,
            known=known if reading.low < reading.high else Known.EXACT,
            says=f"{reading.source.kind}: {reading.source.said_by}",
        )


def _hide_terms(facts: MoneyFacts) -> Iterator[Term]:
    for purchase in facts.purchases:
        if purchase.quantity_unit == "m2" and purchase.needed:
            yield Term(
                id=f"hide:{purchase.material_id}",
                name=f"Share of {purchase.name} that ends up as pieces",
                of=purchase.name,
                unit=TermUnit.SHARE,
                value=HIDE_USED[1],
                low=HIDE_USED[0],
                high=HIDE_USED[1],
                known=Known.SOURCE,
                says="leather suppliers' charts: a quarter to a third is waste",
            )


def _time_terms(facts: MoneyFacts) -> Iterator[Term]:
    for kind, steps in by_kind(facts.steps).items():
        minutes, doubt = math.fsum(one.minutes for one in steps), math.fsum(one.doubt for one in steps)
        timed = sum(len(one.logged.readings) for one in steps if one.logged)
        yours = "1 reading of yours" if timed == 1 else f"{timed} readings of yours"
        yield Term(
            id=f"minutes:{kind}",
            name=kind,
            of=kind,
            unit=TermUnit.MINUTES,
            value=minutes,
            low=max(minutes - doubt, LEAST_OF_BELL * minutes),
            high=minutes + doubt,
            spread=Spread.BELL,
            known=(Known.YOURS if timed else Known.USUAL) if doubt else Known.EXACT,
            says=f"{yours} and standard times" if timed else "standard times, not timed by you yet",
            together="pace",
        )


def _rate_terms(facts: MoneyFacts) -> Iterator[Term]:
    way, asked = facts.way, facts.asked
    rates = (
        (PAY, "Your pay for an hour", TermUnit.MONEY, facts.hourly_pay.amount),
        (OVERHEAD_HOUR, "Overhead for an hour", TermUnit.MONEY, facts.overhead_hour.amount),
        (KEPT_SHARE, "Share that the seller keeps", TermUnit.SHARE, way.kept_share),
        (KEPT_FIXED, "What the seller keeps besides", TermUnit.MONEY, way.kept_fixed.amount),
        (BRINGING, "Bringing one bag there", TermUnit.MONEY, way.delivery.amount),
        (TAX, "Tax on the price", TermUnit.SHARE, way.tax_share),
        (PRICE, "What the buyer pays", TermUnit.MONEY, asked.amount if asked else 0),
    )
    for term_id, name, unit, given in rates:
        value = float(given)
        yield Term(id=term_id, name=name, unit=unit, value=value, low=value, high=value)


def _month_terms(facts: MoneyFacts) -> Iterator[Term]:
    bags = facts.bags_a_month
    if bags:
        name = "Bags that share the costs of a month"
        yield Term(id=BAGS_A_MONTH, name=name, unit=TermUnit.COUNT, value=bags, low=bags, high=bags)


def _lasting_terms(facts: MoneyFacts) -> Iterator[Term]:
    for name in facts.lasting:
        yield Term(
            id=f"lasts:{name}",
            name=f"How long {name} lasts",
            of=name,
            unit=TermUnit.TIMES,
            value=1.0,
            low=1 - LASTS_MOVES,
            high=1 + LASTS_MOVES,
            known=Known.USUAL,
            says=f"{LASTS_MOVES:.0%} either way".replace("%", " %"),
        )


def _day_terms(facts: MoneyFacts) -> Iterator[Term]:
    day = facts.day
    if day:
        yield Term(
            id=SOLD,
            name="Bags sold on the day",
            unit=TermUnit.COUNT,
            value=day.likely,
            low=day.least,
            high=day.most,
            known=Known.YOURS if day.least < day.most else Known.EXACT,
            says="your guess of a poor day and a very good one",
        )


_TERMS: tuple[Callable[[MoneyFacts], Iterator[Term]], ...] = (
    _price_terms,
    _length_terms,
    _wash_terms,
    _hide_terms,
    _time_terms,
    _rate_terms,
    _month_terms,
    _lasting_terms,
    _day_terms,
)
