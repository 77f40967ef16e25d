"""The money of one bag: terms with ranges, and lines of money and minutes that follow them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from bagwright.costing.money_inputs import MoneyFacts, by_kind, terms_of
from bagwright.costing.money_totals import totals_at
from bagwright.errors import BrokenPromise
from bagwright.model.cost import PartKind, PricePart, Purchase
from bagwright.model.money_terms import (
    BAGS_A_MONTH,
    PRICE,
    SOLD,
    BagMoney,
    Effect,
    Known,
    MoneyLine,
    Spread,
    Term,
    Total,
    WorkLine,
    Works,
)

_A_CENT = 0.01


def money_of_bag(facts: MoneyFacts) -> BagMoney:
    """Terms and lines of a bag. At their values they come to the cost and price that `price_bag` reckons.

    Lines take the share of each purchase that goes into the bag: that the shop sells in whole steps is not reckoned
    anew for other lengths.
    """
    terms = terms_of(facts)
    ids = frozenset(term.id for term in terms)
    money = BagMoney(
        currency=facts.price.floor.currency, terms=terms, lines=tuple(_lines(facts, ids)), work=tuple(_work(facts, ids))
    )
    asked = facts.asked
    if asked is None:
        paid = float(totals_at(money, {}, 1)[Total.PAID_PRICE][0])
        terms = tuple(replace(one, value=paid, low=paid, high=paid) if one.id == PRICE else one for one in terms)
        money = replace(money, terms=terms)
    _check(money, facts)
    return money


def with_ranges(money: BagMoney, ranges: Mapping[str, tuple[float, float]]) -> BagMoney:
    """The same with her own ranges for some of its terms, by their ids. `BrokenPromise` for one that leaves the value
    out."""
    terms = tuple(_ranged(one, *ranges[one.id]) if one.id in ranges else one for one in money.terms)
    return replace(money, terms=terms)


def _ranged(term: Term, low: float, high: float) -> Term:
    says = "the range that you gave"
    return replace(term, low=low, high=high, spread=Spread.PEAKED, known=Known.YOURS, says=says, together="")


def _lines(facts: MoneyFacts, ids: frozenset[str]) -> Iterator[MoneyLine]:
    """Every line of the price but those that go by the hour and what the seller keeps; the share of the day."""
    hourly = float(facts.overhead_hour.amount) * facts.price.minutes / 60
    for part in facts.price.parts:
        if part.kind in (PartKind.PAY, PartKind.FEES):
            continue
        amount = float(part.amount.amount) - (hourly if part.kind is PartKind.OVERHEAD else 0.0)
        effects = tuple(effect for effect in _effects(part, facts.purchases) if effect.term_id in ids)
        yield MoneyLine(kind=part.kind, name=part.name, amount=amount, effects=effects if amount else ())
    if facts.day and facts.day.fixed.amount:
        share = float(facts.day.fixed.amount) / facts.day.likely
        effects = (Effect(SOLD, Works.SHARED),)
        yield MoneyLine(kind=PartKind.DAY, name="Share of the market day", amount=share, effects=effects)


def _effects(part: PricePart, purchases: Sequence[Purchase]) -> Iterator[Effect]:
    """What a line of a price follows, of all terms that there may be."""
    if part.kind is PartKind.OVERHEAD:
        yield Effect(BAGS_A_MONTH, Works.SHARED)
    elif part.kind is PartKind.SUPPLY and not part.offer_id:
        yield Effect(f"lasts:{part.name}", Works.SHARED)
    for purchase in purchases:
        if part.offer_id and (purchase.offer_id, purchase.name) == (part.offer_id, part.name):
            yield Effect(f"price:{purchase.offer_id}")
            if purchase.quantity_unit == "m2":
                yield Effect(f"hide:{purchase.material_id}", Works.SHARED)
            else:
                yield Effect(f"length:{purchase.material_id}")
                yield Effect(f"wash:{purchase.material_id}", Works.LOST)
            return


def _work(facts: MoneyFacts, ids: frozenset[str]) -> Iterator[WorkLine]:
    for kind, steps in by_kind(facts.steps).items():
        minutes = math.fsum(one.minutes for one in steps)
        yield WorkLine(name=kind, minutes=minutes, effects=(Effect(f"minutes:{kind}"),) if minutes else ())
    if facts.day and facts.day.minutes:
        share = facts.day.minutes / facts.day.likely
        yield WorkLine(name="At the stall", minutes=share, effects=(Effect(SOLD, Works.SHARED),), is_making=False)


def _check(money: BagMoney, facts: MoneyFacts) -> None:
    """That nothing of the price was left out and nothing counted twice."""
    day = sum(line.amount for line in money.lines if line.kind is PartKind.DAY)
    cost = float(totals_at(money, {}, 1)[Total.COST][0]) - day
    if abs(cost - float(facts.price.floor.amount)) > _A_CENT:
        raise BrokenPromise(f"the lines come to {cost}, the price's floor is {facts.price.floor.amount}")
