"""What the price of a bag does not count, and which of its prices are old."""

from __future__ import annotations

from datetime import date

from bagwright.web.counting_pages import CountingView
from bagwright.web.price_lacks import price_lacks
from bagwright.workflows.desk import BagView
from bagwright.workflows.scraps_said import scraps_said
from bagwright.workflows.stale_prices import stale_prices


def counting_view(view: BagView) -> CountingView:
    """Nothing to say of a bag without a price."""
    price = view.answer.price
    if price is None:
        return CountingView()
    stale = stale_prices(view.answer, view.shelf, view.workroom, today=date.today())
    return CountingView(
        not_counted=f"Not counted: {', '.join(price.not_counted)}." if price.not_counted else "",
        scraps=scraps_said(view.workroom),
        stale=price_lacks(stale, view.shelf),
    )
