"""How sure a bag's price is, in one sentence for its page."""

from __future__ import annotations

from datetime import date

from bagwright.workflows.desk import BagView
from bagwright.workflows.money_bag import sure_price
from bagwright.workflows.money_words import range_said


def sure_price_said(view: BagView, *, today: date) -> str:
    """The price that pays her with its range; empty if the bag has no price yet."""
    found = sure_price(view.answer, view.shelf, view.workroom, today=today)
    return f"The price that pays you: {range_said(found, view.workroom.currency)}." if found else ""
