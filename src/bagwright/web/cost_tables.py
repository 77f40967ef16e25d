"""Tables of what to buy, of time and of price."""

from __future__ import annotations

from bagwright.model.cost import Purchase
from bagwright.model.money import told_rest
from bagwright.units import print_minutes
from bagwright.web.pages import Column, Row, Table
from bagwright.web.wording import Wording
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.desk import BagView
from bagwright.workflows.purchase_words import amount_in_words, needed_in_words


def bought_words(purchase: Purchase, say: Wording) -> str:
    """What to ask for at the counter."""
    return amount_in_words(purchase, say.units)


def needed_words(purchase: Purchase, say: Wording) -> str:
    """What of it the bags take."""
    by_length = purchase.quantity_unit == "mm"
    return say.length(purchase.needed) if by_length else needed_in_words(purchase, say.units)


PURCHASE_COLUMNS = (
    Column("What"),
    Column("Where"),
    Column("Needed"),
    Column("Buy"),
    Column("Paid", True),
    Column("Used", True),
    Column("Left", True),
)


def purchase_row(purchase: Purchase, say: Wording) -> Row:
    """One purchase under `PURCHASE_COLUMNS`, its money three ways."""
    return Row(
        (
            purchase.name,
            purchase.seller,
            needed_words(purchase, say),
            bought_words(purchase, say),
            purchase.paid.said(),
            purchase.used.said(),
            told_rest(purchase.paid, purchase.used).said(),
        )
    )


def buying_table(answer: BagAnswer, say: Wording) -> Table | None:
    """Every purchase with its money three ways, and the sums."""
    if not answer.plan:
        return None
    plans = [answer.plan, *([answer.supplies] if answer.supplies else [])]
    rows = [purchase_row(purchase, say) for plan in plans for purchase in plan.purchases]
    rows += [
        Row(("Delivery", seller, "", "", money.said(), money.said(), "")) for seller, money in answer.plan.deliveries
    ]
    paid, used, _ = answer.money_in_all()
    rows.append(Row(("Together", "", "", "", paid.said(), used.said(), told_rest(paid, used).said()), is_sum=True))
    return Table("What to buy", PURCHASE_COLUMNS, tuple(rows))


def time_table(answer: BagAnswer) -> Table:
    """Minutes by kind of work."""
    rows = [Row((name, print_minutes(minutes))) for name, minutes in answer.minutes_by_kind()]
    total = print_minutes(answer.price.minutes) if answer.price else ""
    return Table(
        "Work on one bag", (Column("Work"), Column("Time", True)), (*rows, Row(("Together", total), is_sum=True))
    )


def time_how_table(answer: BagAnswer) -> Table:
    """Every step and how its minutes were reckoned."""
    rows = tuple(Row((step.name, f"{step.minutes:.1f} min", step.reckoned)) for step in answer.steps)
    return Table("Steps", (Column("Step"), Column("Time", True), Column("Reckoned")), rows)


def thread_table(answer: BagAnswer, say: Wording) -> Table:
    """Thread for every seam."""
    rows = tuple(
        Row(
            (
                use.name,
                say.length(use.seam_length_mm),
                say.thickness(round(use.thickness_mm, 2)),
                say.cloth(use.thread_mm),
            )
        )
        for use in answer.threads
    )
    columns = (Column("Seam"), Column("Length", True), Column("Thickness", True), Column("Thread", True))
    return Table("Thread", columns, rows)


def price_table(answer: BagAnswer) -> Table | None:
    """The price of one bag, line by line."""
    price = answer.price
    if not price:
        return None
    rows = [Row((part.name, part.reckoned, part.amount.said())) for part in price.parts]
    rows.append(Row(("Price that pays you", "all of the above", price.paid_price.said()), is_sum=True))
    return Table("Price of one bag", (Column("For"), Column("Reckoned"), Column("Amount", True)), tuple(rows))


def price_notes(view: BagView) -> tuple[str, ...]:
    """What the price means, in sentences."""
    price = view.answer.price
    if not price:
        return ()
    return (
        f"Below {price.floor.said()} the bag costs you money: that is the floor, with nothing for your hours.",
        f"At {price.paid_price.said()} you earn {view.workroom.hourly_pay.said()} an hour after selling fees.",
        "Tax is not in it. Minutes are starting points until you time yourself.",
    )
