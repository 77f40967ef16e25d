"""`bagwright ask`: what to ask for a bag, sold this way or that, and what each price leaves."""

from __future__ import annotations

from decimal import Decimal

from pydantic import Field

from bagwright.costing.asking import ways_to_ask
from bagwright.costing.overhead import overhead_faults, overhead_of_bag
from bagwright.errors import FaultyInput
from bagwright.model.asking import Asking, DayCount, MarketDay, PriceSplit, WayAnswer, WayOfSelling
from bagwright.model.bag import Workroom
from bagwright.model.money import Money
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.shelf_words import Amount, money_from
from bagwright.workflows.workroom_words import OverheadWords, overhead_from


class WayWords(Contract):
    """One way of selling."""

    name: str = Field(min_length=1, max_length=80, description="what it is called, 1 to 80 characters")
    kept_share: float = Field(default=0, ge=0, lt=1, description="share of all that the buyer pays, 0 to below 1")
    kept_fixed: Amount = "0"
    delivery: Amount = "0"
    tax_share: float = Field(default=0, ge=0, le=1, description="tax on the price, 0 to 1 (0.2 is 20 %)")


class DayWords(Contract):
    """A day at a stall."""

    fixed: Amount = "0"
    minutes: float = Field(default=0, ge=0, le=10_000, description="minutes at the stall and on the way, 0 to 10000")


class AskWords(Contract):
    """What `bagwright ask` reads."""

    currency: str = Field(default="USD", pattern="^[A-Z]{3}$", description="three-letter currency code, such as USD")
    floor: Amount
    minutes: float = Field(ge=0.1, le=100_000, description="minutes of work on one bag, 0.1 to 100000")
    overhead: OverheadWords = Field(default=OverheadWords(), description="costs of a month; one bag's share is added")
    hourly_pay: Amount = "18"
    margin_share: float = Field(default=0.2, ge=0, lt=1, description="share of the price to be left, 0 to below 1")
    asked: Amount | None = Field(default=None, description="a price the buyer pays, or null")
    ways: list[WayWords] = Field(min_length=1, max_length=20, description="list of 1 to 20 ways of selling")
    day: DayWords | None = Field(default=None, description="a day at a stall, or null")


def ask_of_file(text: bytes) -> tuple[WayAnswer, ...]:
    """Every way of selling that JSON `text` names, answered. Raises `FaultyInput` with every fault."""
    return ways_to_ask(_asking(read_contract(text, AskWords)))


def _asking(words: AskWords) -> Asking:
    def money(text: str) -> Money:
        return money_from(text, words.currency, place="")

    return Asking(
        floor=money(words.floor) + _overhead(words),
        minutes=words.minutes,
        hourly_pay=money(words.hourly_pay),
        margin_share=_exact(words.margin_share),
        asked=None if words.asked is None else money(words.asked),
        ways=tuple(way_from(way, words.currency) for way in words.ways),
        day=MarketDay(fixed=money(words.day.fixed), minutes=words.day.minutes) if words.day else None,
    )


def way_from(words: WayWords, currency: str) -> WayOfSelling:
    """The way of selling behind the words."""
    return WayOfSelling(
        name=words.name,
        kept_share=_exact(words.kept_share),
        kept_fixed=money_from(words.kept_fixed, currency, place="kept_fixed"),
        delivery=money_from(words.delivery, currency, place="delivery"),
        tax_share=_exact(words.tax_share),
    )


def _overhead(words: AskWords) -> Money:
    """One bag's share of the costs of a month; nothing without any. Raises `FaultyInput`."""
    room = Workroom(currency=words.currency, overhead=overhead_from(words.overhead, words.currency))
    if problems := list(overhead_faults(room)):
        raise FaultyInput(problems)
    return overhead_of_bag(room, words.minutes).amount if room.overhead.lines else Money(Decimal(0), words.currency)


def _exact(share: float) -> Decimal:
    return Decimal(repr(share))


def ask_as_json(answers: tuple[WayAnswer, ...]) -> dict[str, object]:
    """The answer of `bagwright ask`; money as text to the cent."""
    return {
        "currency": answers[0].paid.price.currency,
        "ways": [
            {
                "name": answer.way.name,
                "at_floor": _split(answer.at_floor),
                "paid": _split(answer.paid),
                "at_margin": _split(answer.at_margin),
                "asked": _split(answer.asked),
                "day": _day(answer.day),
            }
            for answer in answers
        ],
    }


def _split(split: PriceSplit | None) -> dict[str, str] | None:
    if split is None:
        return None
    money = ("price", "tax", "seller", "delivery", "floor", "pay", "rest", "hourly_pay")
    shares = ("margin_share", "markup_share")
    told = {name: str(getattr(split, name).for_display()) for name in money}
    return told | {name: f"{getattr(split, name):f}" for name in shares}


def _day(day: DayCount | None) -> dict[str, int | None] | None:
    return {"to_even": day.to_even, "to_pay": day.to_pay} if day else None


def ask_in_words(answers: tuple[WayAnswer, ...], _units: UnitSystem) -> str:
    """The answer for the maker."""
    return "\n\n".join(
        "\n".join([answer.way.name, *(f"  {line}" for line in way_in_words(answer))]) for answer in answers
    )


def way_in_words(answer: WayAnswer) -> tuple[str, ...]:
    """One way of selling in sentences."""
    lines = [
        f"Below {answer.at_floor.price.said()} each bag costs you money.",
        f"At {answer.paid.price.said()} your hours are paid; {answer.paid.seller.said()} of it goes to market or shop.",
        _margin_words(answer),
    ]
    if answer.asked:
        lines.append(asked_words(answer.asked))
    if answer.day:
        lines.append(day_words(answer.day))
    return tuple(lines)


def _margin_words(answer: WayAnswer) -> str:
    split = answer.at_margin
    if split is None:
        return "No price leaves that margin here: the seller and the margin together take all of it."
    of_price = "of the price without tax" if split.tax.amount else "of the price"
    return (
        f"At {split.price.said()} you keep {split.rest.said()} more, a margin of {percent(split.margin_share)} "
        f"{of_price}, which is a markup of {percent(split.markup_share)} on your cost and pay."
    )


def asked_words(asked: PriceSplit) -> str:
    """What the price she has in mind comes to."""
    if asked.hourly_pay.amount < 0:
        lost = Money(-(asked.rest + asked.pay).amount, asked.price.currency)
        return f"At {asked.price.said()} you lose {lost.said()} on every bag, and work for nothing."
    return f"At {asked.price.said()} you earn {asked.hourly_pay.said()} an hour."


def day_words(day: DayCount) -> str:
    """A market day in a sentence."""
    if day.to_even is None:
        return "At that price no number of bags brings the cost of the day back."
    even = f"The day's cost is back after {_bags(day.to_even)}"
    if day.to_pay is None:
        return f"{even}; your hours at the stall are never paid at that price."
    return f"{even}; your hours at the stall are paid after {_bags(day.to_pay)}."


def _bags(count: int) -> str:
    return "1 bag" if count == 1 else f"{count} bags"


def percent(share: Decimal) -> str:
    """A share as a percentage, to a tenth.

    >>> percent(Decimal("0.107143")), percent(Decimal("0.25"))
    ('10.7 %', '25 %')
    """
    return f"{(share * 100).quantize(Decimal('0.1')).normalize():f} %"
