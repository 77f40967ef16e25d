"""`bagwright bring`: how many bags to bring where nobody knows how many will be sold."""

from __future__ import annotations

from pydantic import Field

from bagwright.costing.bringing import MOST_BAGS, chances_of_sales, how_many_to_bring
from bagwright.model.bringing import Bringing, BringingAnswer, Brought
from bagwright.model.money import Money
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.shelf_words import Amount, money_from

_COUNT = f"whole number of bags, 0 to {MOST_BAGS}"
_TOLD_AROUND = 2
"""So many counts on either side of the best are told with it."""


class BringWords(Contract):
    """What `bagwright bring` reads."""

    currency: str = Field(default="USD", pattern="^[A-Z]{3}$", description="three-letter currency code, such as USD")
    cost: Amount
    kept: Amount
    worth_after: Amount = "0"
    least: int = Field(ge=0, le=MOST_BAGS, description=_COUNT)
    likely: int = Field(ge=0, le=MOST_BAGS, description=_COUNT)
    most: int = Field(ge=0, le=MOST_BAGS, description=_COUNT)


def bring_of_file(text: bytes) -> BringingAnswer:
    """The best count for the guess in JSON `text`. Raises `FaultyInput` with every fault."""
    words = read_contract(text, BringWords)
    chances = chances_of_sales(words.least, words.likely, words.most)

    def money(amount: str) -> Money:
        return money_from(amount, words.currency, place="")

    return how_many_to_bring(
        Bringing(cost=money(words.cost), kept=money(words.kept), worth_after=money(words.worth_after), chances=chances)
    )


def bring_as_json(answer: BringingAnswer) -> dict[str, object]:
    """The answer of `bagwright bring`; money as text to the cent."""
    return {
        "currency": answer.best.gain.currency,
        "count": answer.best.count,
        "wanted_share": None if answer.wanted_share is None else round(answer.wanted_share, 6),
        "counts": [_as_json(one) for one in answer.counts],
    }


def _as_json(one: Brought) -> dict[str, object]:
    return {
        "count": one.count,
        "sold": round(one.sold, 6),
        "left": round(one.left, 6),
        "gain": str(one.gain.for_display()),
        "sold_out_share": round(one.sold_out_share, 6),
    }


def bring_in_words(answer: BringingAnswer, _units: UnitSystem) -> str:
    """The answer for the maker."""
    around = (f"  {said_count(one.count)}: {one.gain.said()} on the average" for one in counts_around(answer))
    return "\n".join([*bring_sentences(answer), "", *around])


def counts_around(answer: BringingAnswer) -> tuple[Brought, ...]:
    """The best count and its neighbours."""
    at = answer.best.count
    return answer.counts[max(0, at - _TOLD_AROUND) : at + _TOLD_AROUND + 1]


def bring_sentences(answer: BringingAnswer) -> tuple[str, ...]:
    """How many to bring, and what that comes to."""
    best = answer.best
    if not best.count:
        return ("Bring none: what is left of a sale does not pay for the bag and the risk.",)
    return (
        f"Bring {said_count(best.count)}: that gains most, {best.gain.said()} on the average of many such days, above "
        "the cost of all you bring.",
        f"All are sold on about {_tenths(best.sold_out_share)} such days; {best.left:.1f} come home on the average.",
    )


def said_count(count: int) -> str:
    """So many bags."""
    return "1 bag" if count == 1 else f"{count} bags"


def _tenths(share: float) -> str:
    tenths = round(10 * share)
    return {0: "none of ten", 10: "all of ten"}.get(tenths, f"{tenths} of ten")
