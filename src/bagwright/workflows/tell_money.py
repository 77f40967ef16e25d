"""`bagwright money`: where a bag's price goes, what matters most in it, and between what its totals lie."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from pydantic import Field

from bagwright.costing.money_inputs import SharedDay
from bagwright.costing.sensitivity import widest_first
from bagwright.errors import FaultyInput, Problem
from bagwright.model.asking import WayOfSelling
from bagwright.model.money_terms import RangedTotal, Spending, Swing, Term, Total
from bagwright.units import UnitSystem
from bagwright.workflows.bag_words import place_in_file
from bagwright.workflows.contracts import Contract, Faults, read_contract
from bagwright.workflows.money_bag import MoneyAsked, MoneyFound, find_money, sold_by_herself
from bagwright.workflows.money_words import (
    GOES_NAMES,
    TOTAL_NAMES,
    money_of,
    range_said,
    swing_said,
)
from bagwright.workflows.price_file import PriceWords, priced_file
from bagwright.workflows.shelf_words import Amount, money_from
from bagwright.workflows.tell_ask import WayWords, way_from

_TOLD_SWINGS = 8
_PLACES = 6
_RANGE = re.compile(r"ranges\[(.*)\]")


class SharedDayWords(Contract):
    """A market day that the bags sold on it share."""

    fixed: Amount = "0"
    minutes: float = Field(default=0, ge=0, le=10_000, description="minutes at the stall and on the way, 0 to 10000")
    least: float = Field(ge=1, le=2000, description="bags sold on a poor day, 1 to 2000")
    likely: float = Field(ge=1, le=2000, description="bags sold most often, 1 to 2000")
    most: float = Field(ge=1, le=2000, description="bags sold on a very good day, 1 to 2000")


class RangeWords(Contract):
    """Her own range for one input."""

    input: str = Field(min_length=1, max_length=300, description="id of an input that the answer tells, 1 to 300 signs")
    low: float = Field(ge=0, le=1e9, description="the lowest it may be, in the unit of the input, 0 to 1000000000")
    high: float = Field(ge=0, le=1e9, description="the highest it may be, 0 to 1000000000")


class MoneyWords(PriceWords):
    """What `bagwright money` reads."""

    asked: Amount | None = Field(default=None, description="a price the buyer pays, or null: the one that pays her")
    way: WayWords | None = Field(default=None, description="a way of selling, or null: by herself")
    day: SharedDayWords | None = Field(default=None, description="a market day, or null")
    ranges: list[RangeWords] = Field(default=[], max_length=200, description="her own ranges: list of up to 200")
    price_moves_a_year: float = Field(
        default=0.1, ge=0, le=1, description="share by which a price moves in a year of its age, 0 to 1"
    )
    length_moves: float = Field(
        default=0.05, ge=0, le=0.5, description="share of a layout's length that may be more or less, 0 to 0.5"
    )
    length_steps: int = Field(
        default=0, ge=0, le=20, description="or by how many steps of the shop, 0 to 20; 0: by that share"
    )


@dataclass(frozen=True, slots=True)
class ToldMoney:
    """The answer, with the prices that are too old at their places in the file."""

    found: MoneyFound
    stale: tuple[Problem, ...]


def money_of_file(text: bytes) -> ToldMoney:
    """The money of the bag that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, MoneyWords)
    file = priced_file(words)
    asked = _asked(words, sold_by_herself(file.workroom))
    try:
        found = find_money(file.answer, file.shelf, file.workroom, asked)
    except FaultyInput as fault:
        raise FaultyInput([_in_file(problem, words) for problem in fault.problems]) from None
    return ToldMoney(found, file.stale_prices)


def _asked(words: MoneyWords, usual: WayOfSelling) -> MoneyAsked:
    currency = words.workroom.currency
    faults = Faults()
    repeated = {one.input for one in words.ranges if [two.input for two in words.ranges].count(one.input) > 1}
    for number, one in enumerate(words.ranges):
        if one.input in repeated:
            what, allowed = "is given more than one range", "each input once"
            place = f"ranges[{number}].input"
            faults.problems.append(
                Problem(place=place, value=one.input, what=what, allowed=allowed, remedy="Keep one of them.")
            )
    day = words.day
    if day and not day.least <= day.likely <= day.most:
        value = f"{day.least:g}, {day.likely:g}, {day.most:g}"
        what, allowed = "are not in order", "least, likely and most in rising order"
        faults.problems.append(
            Problem(place="day.likely", value=value, what=what, allowed=allowed, remedy="Correct them.")
        )
    faults.raise_if_any()
    return MoneyAsked(
        way=way_from(words.way, currency) if words.way else usual,
        today=date.fromisoformat(words.today) if words.today else None,
        asked=None if words.asked is None else money_from(words.asked, currency, place="asked"),
        day=_day(day, currency) if day else None,
        ranges={one.input: (one.low, one.high) for one in words.ranges},
        price_moves_a_year=words.price_moves_a_year,
        length_moves=words.length_moves,
        length_steps=words.length_steps,
    )


def _day(day: SharedDayWords, currency: str) -> SharedDay:
    fixed = money_from(day.fixed, currency, place="day.fixed")
    return SharedDay(fixed=fixed, minutes=day.minutes, least=day.least, likely=day.likely, most=day.most)


def _in_file(problem: Problem, words: MoneyWords) -> Problem:
    """The problem at its place in the file."""
    place = place_in_file(problem.place, words, offers=words.offers).replace("ways[0]", "way")
    if ranged := _RANGE.fullmatch(place):
        number = next(n for n, one in enumerate(words.ranges) if one.input == ranged[1])
        place = f"ranges[{number}]"
    return replace(problem, place=place)


def money_as_json(told: ToldMoney) -> dict[str, object]:
    """The answer of `bagwright money`; money as text to the cent."""
    found = told.found
    currency = found.money.currency
    return {
        "currency": currency,
        "way": found.asked.way.name,
        "price": str(found.spending.price.amount),
        "is_asked": found.asked.asked is not None,
        "parts": _parts(found.spending),
        "totals": {one.total.value: _range(one, currency) for one in found.totals},
        "inputs": [_input(term) for term in found.money.terms if not term.is_exact],
        "exact": [
            {"id": term.id, "name": term.name, "unit": term.unit, "value": round(term.value, _PLACES)}
            for term in found.money.terms
            if term.is_exact
        ],
        "stale_prices": [problem.sentence() for problem in told.stale],
        "swings": [_swing(swing, found) for swing in _told(found.swings)],
    }


def _parts(spending: Spending) -> list[dict[str, object]]:
    return [
        {
            "goes": part.goes,
            "name": GOES_NAMES[part.goes],
            "amount": str(part.amount.amount),
            "lines": [
                {"name": line.name, "amount": str(line.amount.amount), "reckoned": line.reckoned} for line in part.lines
            ],
        }
        for part in spending.parts
    ]


def _range(one: RangedTotal, currency: str) -> dict[str, object]:
    if one.total is Total.MINUTES:
        return {"value": one.value, "low": one.low, "high": one.high}
    return {name: _cents(getattr(one, name), currency) for name in ("value", "low", "high")}


def _input(term: Term) -> dict[str, object]:
    return {
        "id": term.id,
        "name": term.name,
        "unit": term.unit,
        **{name: round(getattr(term, name), _PLACES) for name in ("value", "low", "high")},
        "spread": term.spread,
        "known": term.known,
        "says": term.says,
    }


def _told(swings: Sequence[Swing]) -> tuple[Swing, ...]:
    """The widest for the hour's pay first, then those that only move other totals."""
    first = widest_first(swings, Total.HOUR)
    return (*first, *(one for one in widest_first(swings, Total.PAID_PRICE) if one not in first))


_OF_SWING = (Total.COST, Total.PAID_PRICE, Total.HOUR)


def _swing(swing: Swing, found: MoneyFound) -> dict[str, object]:
    currency = found.money.currency
    ends = {"at_low": swing.at_low, "at_high": swing.at_high}
    return {
        "input": swing.term.id,
        "says": swing_said(swing, _moved_by(swing), found.money, UnitSystem.METRIC),
        **{name: {one.value: _cents(moved[one], currency) for one in _OF_SWING} for name, moved in ends.items()},
        "per_unit": {one.value: swing.slopes[one] for one in _OF_SWING},
    }


def _moved_by(swing: Swing) -> Total:
    return Total.HOUR if swing.width(Total.HOUR) > 0 else Total.PAID_PRICE


def _cents(amount: float, currency: str) -> str:
    return str(money_of(amount, currency).amount)


def money_in_words(told: ToldMoney, units: UnitSystem) -> str:
    """The answer for the maker."""
    found, currency = told.found, told.found.money.currency
    parts = [f"  {GOES_NAMES[part.goes]}: {part.amount.said()}" for part in found.spending.parts]
    totals = [f"  {TOTAL_NAMES[one.total]}: {range_said(one, currency)}" for one in found.totals]
    swings = [
        f"  {swing_said(swing, _moved_by(swing), found.money, units)}" for swing in _told(found.swings)[:_TOLD_SWINGS]
    ]
    return "\n".join(
        [
            f"Of {found.spending.price.said()} that the buyer pays:",
            *parts,
            "In nine cases of ten:",
            *totals,
            "What matters most:" if swings else "Every input is taken as exact.",
            *swings,
            *(problem.sentence() for problem in told.stale),
        ]
    )
