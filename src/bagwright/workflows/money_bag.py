"""Where the money of one bag goes, what matters most in it, and how sure its totals are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from bagwright.costing.asking import price_to_keep, split_price, ways_to_ask
from bagwright.costing.money_inputs import LENGTH_MOVES, PRICE_MOVES_A_YEAR, LaidLength, MoneyFacts, SharedDay
from bagwright.costing.money_lines import money_of_bag, with_ranges
from bagwright.costing.money_ranges import ranged_totals
from bagwright.costing.overhead import overhead_an_hour
from bagwright.costing.reckoning import exact, exact_money
from bagwright.costing.sensitivity import sensitivity
from bagwright.costing.where_it_goes import where_it_goes
from bagwright.cutting.requests import least_length_mm
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.asking import Asking, PriceSplit, WayOfSelling
from bagwright.model.bag import Workroom
from bagwright.model.cost import Price, Purchase
from bagwright.model.material import OfferByLength
from bagwright.model.money import Money
from bagwright.model.money_terms import (
    KEPT_SHARE,
    TAX,
    BagMoney,
    RangedTotal,
    Spending,
    Swing,
    TermUnit,
    Total,
)
from bagwright.model.running_costs import LastsFor, SharedBy
from bagwright.units import print_cloth_length
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stale_prices import stale_prices

Ranges = Mapping[str, tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyAsked:
    """How the bag is sold and what she is unsure of. `asked`: None for the price that pays her. `today`: None where the
    age of prices does not count."""

    way: WayOfSelling
    today: date | None = None
    asked: Money | None = None
    day: SharedDay | None = None
    ranges: Ranges = field(default_factory=dict)
    price_moves_a_year: float = PRICE_MOVES_A_YEAR
    length_moves: float = LENGTH_MOVES
    length_steps: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyFound:
    """The answer. `stale`: prices that are too old, or of the future; they are reckoned with as they are."""

    asked: MoneyAsked
    money: BagMoney
    price: Price
    split: PriceSplit
    spending: Spending
    totals: tuple[RangedTotal, ...]
    swings: tuple[Swing, ...]
    stale: tuple[Problem, ...]

    def total(self, total: Total) -> RangedTotal:
        """That one."""
        return next(one for one in self.totals if one.total is total)


def sold_by_herself(workroom: Workroom) -> WayOfSelling:
    """With the fees of the workroom, no tax, and nothing to bring it there."""
    return WayOfSelling(
        name="You sell it yourself",
        kept_share=workroom.selling_fee_share,
        kept_fixed=workroom.selling_fee_fixed,
        delivery=Money(Decimal(0), workroom.currency),
    )


def find_money(answer: BagAnswer, shelf: Shelf, workroom: Workroom, asked: MoneyAsked) -> MoneyFound:
    """The money of a bag that has a price. Raises `FaultyInput` for a way of selling that leaves nothing, ranges of
    unknown inputs, and ranges that leave out where the input stands."""
    price = answer.price
    if price is None:
        raise BrokenPromise("only a bag with a price is asked for its money")
    split = _split(price, workroom, asked)
    money = money_of_bag(_facts(answer, shelf, workroom, asked))
    if problems := list(_range_problems(money, asked.ranges)):
        raise FaultyInput(problems)
    money = with_ranges(money, asked.ranges)
    today = asked.today
    return MoneyFound(
        asked=asked,
        money=money,
        price=price,
        split=split,
        spending=where_it_goes(price, answer.steps, split, way=asked.way, day=_day_of_bag(asked.day, workroom)),
        totals=ranged_totals(money),
        swings=sensitivity(money),
        stale=stale_prices(answer, shelf, workroom, today=today) if today else (),
    )


def _split(price: Price, workroom: Workroom, asked: MoneyAsked) -> PriceSplit:
    """Of the price in mind, or of the one that pays her; what a bag carries of a market day is paid by it too."""
    asking = Asking(
        floor=price.floor,
        minutes=price.minutes,
        hourly_pay=workroom.hourly_pay,
        margin_share=Decimal(0),
        asked=asked.asked,
        ways=(asked.way,),
    )
    (answer,) = ways_to_ask(asking)
    if answer.asked:
        return answer.asked
    if asked.day is None:
        return answer.paid
    wanted = price.floor + price.pay
    for share in _day_of_bag(asked.day, workroom) or ():
        wanted = wanted + share
    paid = price_to_keep(exact(wanted.amount), asked.way)
    if paid is None:
        raise BrokenPromise("a way of selling that answers has a price that pays")
    return split_price(paid, asking, asked.way)


def _day_of_bag(day: SharedDay | None, workroom: Workroom) -> tuple[Money, Money] | None:
    """What one bag carries of the day's costs and of her pay for its hours."""
    if day is None:
        return None
    hours = exact(day.minutes) / 60
    whole = (exact(day.fixed.amount), exact(workroom.hourly_pay.amount) * hours)
    fixed, pay = (exact_money(one / Fraction(day.likely), workroom.currency) for one in whole)
    return fixed, pay


def _facts(answer: BagAnswer, shelf: Shelf, workroom: Workroom, asked: MoneyAsked) -> MoneyFacts:
    if answer.price is None:
        raise BrokenPromise("only a bag with a price is asked for its money")
    overhead = workroom.overhead
    by_bags = overhead.lines and overhead.shared_by is SharedBy.BAGS
    return MoneyFacts(
        price=answer.price,
        steps=answer.steps,
        purchases=_purchases(answer),
        offers=shelf.offers,
        laid=_laid(answer, shelf, workroom),
        hourly_pay=workroom.hourly_pay,
        overhead_hour=overhead_an_hour(workroom),
        way=asked.way,
        asked=asked.asked,
        today=asked.today,
        day=asked.day,
        bags_a_month=overhead.shares if by_bags else None,
        lasting=tuple(dict.fromkeys(one.name for one in workroom.small_supplies if one.lasts_for in _WORN)),
        price_moves_a_year=asked.price_moves_a_year,
        length_moves=asked.length_moves,
        length_steps=asked.length_steps,
    )


_WORN = frozenset({LastsFor.SEWN_MM, LastsFor.SEWN_MINUTES, LastsFor.CUT_MM, LastsFor.STUCK_MM})


def _purchases(answer: BagAnswer) -> tuple[Purchase, ...]:
    plans = [plan for plan in (answer.plan, answer.supplies) if plan]
    return tuple(purchase for plan in plans for purchase in plan.purchases)


def _laid(answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> dict[str, LaidLength]:
    """Layouts of what is bought by its length; hides are bought by their area."""
    offers = {offer.id: offer for offer in shelf.offers}
    taken = {one.material_id: offers[one.offer_id] for one in _purchases(answer) if one.needed}
    steps = {material_id: one.step_mm for material_id, one in taken.items() if isinstance(one, OfferByLength)}
    by_area = {purchase.material_id for purchase in _purchases(answer) if purchase.quantity_unit == "m2"}
    return {
        sheet.material.id: LaidLength(
            name=sheet.material.name,
            laid_mm=sheet.layout.length_mm,
            least_mm=least_length_mm(sheet.request),
            shrinkage=sheet.material.shrinkage_share,
            step_mm=steps.get(sheet.material.id, 0.0),
            step_said=print_cloth_length(steps.get(sheet.material.id, 0.0), workroom.units).text,
        )
        for sheet in answer.chosen_layouts()
        if sheet.material.id not in by_area
    }


def _range_problems(money: BagMoney, ranges: Ranges) -> Iterator[Problem]:
    """What is wrong with her ranges, each at `ranges[id]`."""
    terms = {term.id: term for term in money.terms}
    for term_id, (low, high) in ranges.items():
        place, given = f"ranges[{term_id}]", f"{low:g} to {high:g}"
        term = terms.get(term_id)
        if term is None:
            yield _problem(place, term_id, "is no input of this bag", "one of: " + ", ".join(terms))
        elif low > high:
            yield _problem(place, given, "is not in order", "the lower end first")
        elif not low <= term.value <= high:
            yield _problem(place, given, "leaves out where it stands", f"a range about {term.value:g}")
        elif low <= 0 and term.unit in (TermUnit.COUNT, TermUnit.TIMES, TermUnit.MINUTES) and term.value:
            yield _problem(place, given, "begins at nothing", "a range above 0")
        elif high >= 1 and term.unit is TermUnit.SHARE and term_id != TAX:
            yield _problem(place, given, "leaves nothing", "a range below 1 (0.05 is 5 %)")
    kept, tax = (max(terms[one].value, ranges.get(one, (0.0, 0.0))[1]) for one in (KEPT_SHARE, TAX))
    if kept * (1 + tax) >= 1:
        place = f"ranges[{KEPT_SHARE if KEPT_SHARE in ranges else TAX}]"
        yield _problem(place, f"{kept:g}", "leaves nothing of a sale, tax counted in", "shares that leave something")


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Correct the range.")


def sure_price(answer: BagAnswer, shelf: Shelf, workroom: Workroom, *, today: date) -> RangedTotal | None:
    """Between what the price that pays her lies if she sells it herself; None if the bag has no price yet."""
    if answer.price is None:
        return None
    facts = _facts(answer, shelf, workroom, MoneyAsked(way=sold_by_herself(workroom), today=today))
    return next(one for one in ranged_totals(money_of_bag(facts)) if one.total is Total.PAID_PRICE)
