"""What the price of a bag does not count, and which of its prices are old."""

from __future__ import annotations

from datetime import date
from urllib.parse import quote

from bagwright.errors import Problem
from bagwright.web.counting_pages import CountingView
from bagwright.web.lacks import Lack
from bagwright.workflows.desk import BagView
from bagwright.workflows.scraps_said import scraps_said
from bagwright.workflows.stale_prices import stale_prices


def counting_view(view: BagView) -> CountingView:
    """Nothing to say of a bag without a price."""
    price = view.answer.price
    if price is None:
        return CountingView()
    stale = stale_prices(view.answer, view.shelf, view.workroom, today=date.today())
    materials = {f"offers[{offer.id}].dated": offer.material_id for offer in view.shelf.offers}
    return CountingView(
        not_counted=f"Not counted: {', '.join(price.not_counted)}." if price.not_counted else "",
        scraps=scraps_said(view.workroom),
        stale=tuple(_lack(problem, materials[problem.place]) for problem in stale),
    )


def _lack(problem: Problem, material_id: str) -> Lack:
    href = f"/materials/{quote(material_id)}#offers-title"
    return Lack(problem.words(with_allowed=False), href, "Type the new price")
