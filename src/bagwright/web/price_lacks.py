"""Old prices in words, each with the way to the place where the new one is typed."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from bagwright.errors import Problem
from bagwright.web.lacks import Lack
from bagwright.workflows.shelf import Shelf


def price_lacks(problems: Iterable[Problem], shelf: Shelf) -> tuple[Lack, ...]:
    """Problems at `offers[id].dated`, with a link to the material that is sold."""
    materials = {f"offers[{offer.id}].dated": offer.material_id for offer in shelf.offers}
    return tuple(_lack(one, materials[one.place]) for one in problems)


def _lack(problem: Problem, material_id: str) -> Lack:
    href = f"/materials/{quote(material_id)}#offers-title"
    return Lack(problem.words(with_allowed=False), href, "Type the new price")
