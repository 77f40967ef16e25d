"""What to ask for a bag: the fields, and every way of selling in words and figures."""

from __future__ import annotations

from decimal import Decimal
from urllib.parse import quote, urlencode

from bagwright.model.asking import PriceSplit, WayAnswer
from bagwright.model.bringing import BringingAnswer
from bagwright.model.money import Money
from bagwright.web.asking_pages import AskingPage, BringingView, WayView
from bagwright.web.counting_view import counting_view
from bagwright.web.frame import frame
from bagwright.web.lacks import lacks_of
from bagwright.web.pages import Column, Field, Row, Table
from bagwright.workflows.asking_bag import AskedBag, ask_for_bag
from bagwright.workflows.desk import BagView
from bagwright.workflows.tell_ask import asked_words, percent, way_in_words
from bagwright.workflows.tell_bring import bring_sentences, counts_around, said_count

_GROUPS = (
    (
        "The price",
        (
            ("asked", "A price you have in mind", "What the buyer pays, tax in it. Leave it empty if you have none."),
            ("margin", "Margin you want, in %", "Share of the price left after every cost and your pay."),
            ("tax", "Sales tax, in %", "Comes on top of the price, and is handed on. 0 if you charge none."),
        ),
    ),
    (
        "Through a shop",
        (
            ("shop", "Buys from you: keeps, in %", "Share of its shelf price, tax aside. 50 is doubling."),
            ("for_her", "Sells for you: keeps, in %", "As your agreement says."),
            ("delivery", "Bringing one bag there", "Postage and packing for each bag."),
        ),
    ),
    (
        "A market day",
        (
            ("day_cost", "What the day costs you", "Stall, travel, food. 0 if there is none."),
            ("day_hours", "Hours there and on the way", "Leave it empty if they need not be paid."),
        ),
    ),
    (
        "How many to bring",
        (
            ("least", "On a poor day you sell", "Bags like this one. Fill in all three, or none."),
            ("likely", "Most often you sell", "Your best guess."),
            ("most", "On a very good day you sell", "No more than this."),
            ("worth_after", "A bag left over is worth", "Empty: its materials, so that only your hours are at risk."),
        ),
    ),
)
_LIMITS = (
    "Fees are taken of all that the buyer pays, tax in it: look in your contract whether that is so. Shops that double "
    "what they pay, and shops that keep 40 % of what they sell for you, are common practice, no source.",
    "How many to bring takes it that days get rarer evenly on both sides of your best guess. Gain is what sales leave "
    "above the materials and your pay of every bag you bring; the cost of the day is not in it.",
    "Which tax you charge, and when, is a matter of where you live: ask the tax office or an adviser there.",
)


def asking_page(view: BagView, texts: dict[str, str]) -> AskingPage:
    """The page of one bag that has a price, at the typed terms."""
    answer, bag = view.answer, view.answer.bag
    price = answer.price
    asked = ask_for_bag(price, view.workroom, texts) if price else None
    return AskingPage(
        frame=frame(f"{bag.name}: what to ask", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        lead=(
            f"One bag costs you {price.floor.said()} and {price.pay.said()} of your time, at "
            f"{view.workroom.hourly_pay.said()} an hour."
            if price
            else ""
        ),
        groups=tuple((name, tuple(_field(asked, *field) for field in fields)) for name, fields in _GROUPS)
        if asked
        else (),
        ways=tuple(_way(way) for way in asked.ways) if asked else (),
        bringing=_bringing(asked.bringing, asked.brought_at) if asked and asked.bringing and asked.brought_at else None,
        money=f"/bags/{quote(bag.id)}/money?{urlencode(asked.texts)}" if asked else "",
        problems=lacks_of(answer.problems, bag.id),
        limits=_LIMITS,
        counting=counting_view(view),
    )


def _field(asked: AskedBag, name: str, label: str, hint: str) -> Field:
    problem = " ".join(one.words() for one in asked.problems if one.place == name)
    return Field(id=name, name=name, label=label, value=asked.texts[name], hint=hint, problem=problem)


def _way(answer: WayAnswer) -> WayView:
    sentences = way_in_words(answer)
    headline = asked_words(answer.asked) if answer.asked else ""
    return WayView(
        name=answer.way.name,
        asked=headline,
        sentences=tuple(line for line in sentences if line != headline),
        splits=_splits(answer),
    )


def _bringing(answer: BringingAnswer, price: Money) -> BringingView:
    rows = [
        Row(
            (said_count(one.count), one.gain.said(), f"{one.sold:.1f}", f"{one.left:.1f}"),
            is_sum=one.count == answer.best.count,
        )
        for one in counts_around(answer)
    ]
    columns = (Column("Bring"), Column("Gain", True), Column("Sold", True), Column("Home again", True))
    return BringingView(
        lead=f"Each sold by yourself at {price.said()}.",
        sentences=bring_sentences(answer),
        counts=Table("On the average of many such days", columns, tuple(rows), of="how many to bring"),
    )


def _splits(answer: WayAnswer) -> Table:
    prices = {
        "At cost": answer.at_floor,
        "Pays you": answer.paid,
        "With margin": answer.at_margin,
        "In mind": answer.asked,
    }
    splits = {name: split for name, split in prices.items() if split}
    rows = [
        Row((label, *(_cell(split, part) for split in splits.values())), is_sum=part == "price")
        for part, label in _PARTS.items()
    ]
    columns = (Column("Where it goes"), *(Column(name, True) for name in splits))
    return Table("Price, part by part", columns, tuple(rows), of=answer.way.name)


_PARTS = {
    "price": "The buyer pays",
    "tax": "Tax",
    "seller": "Market or shop",
    "delivery": "Bringing it there",
    "floor": "Materials, supplies, overhead",
    "pay": "Your pay",
    "rest": "Left over",
    "hourly_pay": "You earn an hour",
    "margin_share": "Margin",
}


def _cell(split: PriceSplit, part: str) -> str:
    value: Decimal | Money = getattr(split, part)
    if isinstance(value, Money):
        return value.said()
    return percent(value) if value >= 0 else "none"
