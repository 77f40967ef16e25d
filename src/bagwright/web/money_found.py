"""What was found of a bag's money, in words, tables and pictures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from markupsafe import Markup

from bagwright.model.money_terms import Known, SpentPart, Swing, Total
from bagwright.web.money_pages import FoundMoney, KnownView, SpentView, TotalLink
from bagwright.web.pages import Column, Row, Table
from bagwright.workflows.desk import BagView
from bagwright.workflows.money_bag import MoneyFound
from bagwright.workflows.money_pictures import spending_picture, swings_picture
from bagwright.workflows.money_words import (
    GOES_NAMES,
    TOTAL_NAMES,
    range_said,
    slope_said,
    swing_said,
    swings_of,
    term_range_said,
    term_said,
    total_said,
)

MEASURES: Mapping[str, Total] = {one.value: one for one in (Total.HOUR, Total.PAID_PRICE, Total.COST)}
"""Totals that what matters most can be told for, by their names in the address."""
_LINK_NAMES = {Total.HOUR: "What your hour earns", Total.PAID_PRICE: "The price that pays you", Total.COST: "The cost"}
_SAID = 3
_KNOWN_NAMES = {
    Known.YOURS: "Your own: readings, measures and ranges that you gave",
    Known.SOURCE: "From a source, not from you",
    Known.USUAL: "Common practice, no source",
}
_BEST_CASE = (
    "Materials as reckoned are the best case: hardly any layout can be shorter, so that on the table they come to more."
)
_METHOD = (
    "A range holds nine cases of ten. Every input is drawn from its own range some 33,000 times, likeliest where it "
    "stands now, and the bag is reckoned with each draw.",
    "Inputs are off independently of one another, but all work is quick or slow together. What feeds several totals, "
    "such as minutes or pay, moves them together.",
    "Of what you buy, the share that goes into the bag counts; that shops sell in whole steps is not reckoned anew.",
)


def found_money(found: MoneyFound, view: BagView, chosen: str, address: str) -> FoundMoney:
    """Everything that was found. `chosen`: the total that what matters is told for; `address`: of the page."""
    total, money = MEASURES[chosen], found.money
    swings = swings_of(found.swings, total)
    now = found.total(total)
    return FoundMoney(
        lead=_lead(found),
        strip=Markup(spending_picture(found.spending, view.shelf)),
        parts=tuple(map(_part, found.spending.parts)),
        sure=tuple(_sure(found)),
        totals=_totals(found),
        links=tuple(
            TotalLink(_LINK_NAMES[one], f"{address}&of={name}#matters", one is total) for name, one in MEASURES.items()
        ),
        bars=Markup(swings_picture(swings, total, now=now.value, currency=money.currency)),
        swings_said=tuple(swing_said(one, total, money, view.workroom.units) for one in swings[:_SAID]),
        swings=_swings(swings, total, found, view) if swings else None,
        known=tuple(_known(found, view)),
        exact=", ".join(
            f"{term.name[:1].lower()}{term.name[1:]} {term_said(term, term.value, money.currency, view.workroom.units)}"
            for term in money.terms
            if term.is_exact
        ),
        method=(*_METHOD, *_not_counted(found)),
    )


def _sure(found: MoneyFound) -> Iterator[str]:
    for one in MEASURES.values():
        yield f"{TOTAL_NAMES[one]}: {range_said(found.total(one), found.money.currency)}."
    materials = found.total(Total.MATERIALS)
    if materials.value < materials.low:
        yield _BEST_CASE


def _lead(found: MoneyFound) -> str:
    asked, price, hour = found.asked, found.spending.price.said(), found.total(Total.HOUR)
    sold = f"{asked.way.name}. Of {price} that the buyer pays"
    earned = total_said(Total.HOUR, hour.value, found.money.currency)
    return f"{sold}, this is where the money goes. Your hour earns {earned}."


def _part(part: SpentPart) -> SpentView:
    rows = tuple(Row((line.name, line.reckoned, line.amount.said())) for line in part.lines)
    name, amount = GOES_NAMES[part.goes], part.amount.said()
    together = Row(("Together", "", amount), is_sum=True)
    columns = (Column("For"), Column("Reckoned"), Column("Amount", True))
    return SpentView(name, amount, Table(f"{name}, line by line", columns, (*rows, together)))


def _totals(found: MoneyFound) -> Table:
    currency = found.money.currency
    rows = tuple(
        Row((TOTAL_NAMES[one.total], *(total_said(one.total, end, currency) for end in (one.low, one.value, one.high))))
        for one in found.totals
    )
    columns = (Column("One bag"), Column("From", True), Column("As reckoned", True), Column("To", True))
    return Table("In nine cases of ten", columns, rows)


def _swings(swings: tuple[Swing, ...], total: Total, found: MoneyFound, view: BagView) -> Table:
    currency, units = found.money.currency, view.workroom.units
    rows = tuple(
        Row(
            (
                one.term.name,
                term_range_said(one.term, currency, units),
                total_said(total, one.at_low[total], currency),
                total_said(total, one.at_high[total], currency),
                slope_said(one, total, currency, units),
            )
        )
        for one in swings
    )
    columns = (
        Column("Input"),
        Column("From, to"),
        Column("At the low end", True),
        Column("At the high end", True),
        Column("One more does", True),
    )
    return Table(f"{TOTAL_NAMES[total]}: what each input moves it by", columns, rows)


def _known(found: MoneyFound, view: BagView) -> Iterator[KnownView]:
    currency, units = found.money.currency, view.workroom.units
    for known, name in _KNOWN_NAMES.items():
        terms = [term for term in found.money.terms if term.known is known and not term.is_exact]
        lines = tuple(f"{one.name}: {term_range_said(one, currency, units)} ({one.says})." for one in terms)
        if lines:
            yield KnownView(name, lines)


def _not_counted(found: MoneyFound) -> Iterator[str]:
    if found.price.not_counted:
        yield f"Not in it, because no number is given: {', '.join(found.price.not_counted)}."
