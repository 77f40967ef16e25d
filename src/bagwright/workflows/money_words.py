"""A bag's money in sentences: how sure its totals are, and what each input does to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from bagwright.costing.sensitivity import widest_first
from bagwright.model.money import Money
from bagwright.model.money_terms import (
    KEPT_SHARE,
    PAY,
    RATES,
    SOLD,
    BagMoney,
    Goes,
    RangedTotal,
    Swing,
    Term,
    TermUnit,
    Total,
)
from bagwright.units import UnitSystem, print_length, print_minutes

TOTAL_NAMES: Mapping[Total, str] = {
    Total.MATERIALS: "Materials",
    Total.SUPPLIES: "Small supplies",
    Total.MINUTES: "Time",
    Total.COST: "Cost, no pay in it",
    Total.PAID_PRICE: "Price that pays you",
    Total.HOUR: "Your hour earns",
}
GOES_NAMES: Mapping[Goes, str] = {
    Goes.TAX: "Tax",
    Goes.FEES: "Market or shop",
    Goes.BRINGING: "Bringing it there",
    Goes.MATERIALS: "Materials",
    Goes.SUPPLIES: "Small supplies",
    Goes.DELIVERY: "Delivery to you",
    Goes.OVERHEAD: "Overhead",
    Goes.DAY: "The market day",
    Goes.PAY: "Your time",
    Goes.LEFT: "Left over",
}
_WHOLE_FROM = Decimal(20)
_WORK: Mapping[str, str] = {
    "Set up the machine": "setting up the machine",
    "Cut out": "cutting out",
    "Fuse": "fusing",
    "Sew": "sewing",
    "By hand": "the work by hand",
    "Finish": "finishing",
    "Fit the bought parts": "fitting the bought parts",
    "Piece": "piecing",
}


def money_of(amount: float, currency: str) -> Money:
    """A reckoned amount to the cent."""
    return Money(Decimal(repr(float(amount))).quantize(Decimal("0.01"), ROUND_HALF_UP), currency)


def total_said(total: Total, amount: float, currency: str) -> str:
    """One value of a total: minutes as time, all else as money.

    >>> total_said(Total.MINUTES, 104.8, "USD"), total_said(Total.COST, 24.371, "EUR")
    ('1 h 45 min', '€24.37')
    """
    return print_minutes(amount) if total is Total.MINUTES else money_of(amount, currency).said()


def range_said(one: RangedTotal, currency: str) -> str:
    """A total with its range, in whole money where it is large.

    >>> range_said(RangedTotal(total=Total.COST, value=41.2, low=38.4, high=44.3), "USD")
    '$38 to $44, most likely $41'
    >>> range_said(RangedTotal(total=Total.COST, value=4.1, low=4.1, high=4.1), "USD")
    '$4.10, taken as exact'
    """
    value, low, high = (_rounded(one, amount, currency) for amount in (one.value, one.low, one.high))
    if one.low == one.high:
        return f"{value}, taken as exact"
    if low == high:
        return f"{value}, hardly more or less"
    middle = "most likely" if one.low <= one.value <= one.high else "as reckoned"
    return f"{low} to {high}, {middle} {value}"


def _rounded(one: RangedTotal, amount: float, currency: str) -> str:
    if one.total is Total.MINUTES:
        return print_minutes(amount)
    money = money_of(amount, currency)
    if abs(Decimal(one.high)) >= _WHOLE_FROM and one.high - one.low >= 2:
        return Money(money.amount.quantize(Decimal(1), ROUND_HALF_UP), currency).said().replace(".00", "", 1)
    return money.said()


def term_said(term: Term, amount: float, currency: str, units: UnitSystem) -> str:
    """A value of an input in its unit.

    >>> tax = Term(id="tax", name="Tax", unit=TermUnit.SHARE, value=0.085, low=0, high=0.1)
    >>> term_said(tax, 0.085, "USD", UnitSystem.INCH)
    '8.5 %'
    """
    match term.unit:
        case TermUnit.MONEY:
            return money_of(amount, currency).said()
        case TermUnit.MINUTES:
            return _minutes(amount)
        case TermUnit.MM:
            return print_length(amount, units).text
        case TermUnit.SHARE:
            return f"{100 * amount:.1f}".removesuffix(".0") + " %"
        case TermUnit.COUNT:
            return f"{amount:g}"
        case TermUnit.TIMES:
            return f"{amount:g} times as long"


def _minutes(minutes: float) -> str:
    return print_minutes(minutes) if abs(minutes) >= 10 else f"{minutes:.1f}".removesuffix(".0") + " min"


def swing_said(swing: Swing, total: Total, money: BagMoney, units: UnitSystem) -> str:
    """What the worse end of an input does to a total; where neither end is worse, what the better one does.

    "If sewing takes 20 min more, your hour earns $2.10 less."
    """
    worse = min if total is Total.HOUR else max
    moved = worse(swing.at_low[total], swing.at_high[total])
    if moved == 0 or (moved > 0) == (total is Total.HOUR):
        moved = max((swing.at_low[total], swing.at_high[total]), key=abs)
    at = swing.term.low if moved == swing.at_low[total] else swing.term.high
    return f"If {_if_said(swing.term, at, money.currency, units)}, {moved_said(total, moved, money.currency)}."


def moved_said(total: Total, moved: float, currency: str) -> str:
    """How far a total moves.

    >>> moved_said(Total.HOUR, -2.1, "USD"), moved_said(Total.PAID_PRICE, 3.0, "USD")
    ('your hour earns $2.10 less', 'the price that pays you is $3.00 more')
    """
    how = total_said(total, abs(moved), currency)
    return f"{_MOVED[total]} {how} {'more' if moved >= 0 else 'less'}"


_MOVED: Mapping[Total, str] = {
    Total.MATERIALS: "materials cost",
    Total.SUPPLIES: "small supplies cost",
    Total.MINUTES: "the bag takes",
    Total.COST: "the bag costs you",
    Total.PAID_PRICE: "the price that pays you is",
    Total.HOUR: "your hour earns",
}


def _if_said(term: Term, at: float, currency: str, units: UnitSystem) -> str:
    """The input at that end, after "if"."""

    def said(amount: float) -> str:
        return term_said(term, amount, currency, units)

    group = term.id if term.id in RATES else term.id.partition(":")[0]
    more = "more" if at >= term.value else "less"
    apart, there, now = said(abs(at - term.value)), said(at), said(term.value)
    told: Mapping[str, str] = {
        "minutes": f"{_WORK.get(term.of, term.of.lower())} takes {apart} {more}",
        "price": f"{term.of} costs {there} and not {now}" if term.of else f"the buyer pays {apart} {more}",
        "length": f"you cut into {apart} {more} of {term.of}",
        "wash": f"{term.of} loses {there} in the wash and not {now}",
        "hide": f"{there} of {term.of} ends up as pieces and not {now}",
        "lasts": f"{term.of} lasts {there}",
        PAY: f"you pay yourself {there} an hour and not {now}",
        SOLD: f"you sell {there} on the day and not {now}",
        KEPT_SHARE: f"the seller keeps {there} and not {now}",
    }
    return told.get(group, "") or f"{_named(term)} is {there} and not {now}"


def _named(term: Term) -> str:
    """The name of an input within a sentence."""
    name = term.name[:1].lower() + term.name[1:]
    return f"the {name}" if term.name.partition(" ")[0] in _ARTICLED else name


_ARTICLED = frozenset({"Price", "Length", "Share", "Overhead", "Tax", "Bags"})


def slope_said(swing: Swing, total: Total, currency: str, units: UnitSystem) -> str:
    """What one unit more of the input does to a total, such as "−$0.11 a minute"."""
    size, of = _UNITS[swing.term.unit]
    if swing.term.unit is TermUnit.MM and units is UnitSystem.INCH:
        size, of = 25.4, "an inch"
    moved = size * swing.slopes[total]
    sign = "+" if moved > 0 else ""
    return f"{sign}{total_said(total, moved, currency)} {of}"


_UNITS: Mapping[TermUnit, tuple[float, str]] = {
    TermUnit.MONEY: (1.0, "for 1 more"),
    TermUnit.MINUTES: (1.0, "a minute"),
    TermUnit.MM: (10.0, "a centimetre"),
    TermUnit.SHARE: (0.01, "for 1 % more"),
    TermUnit.COUNT: (1.0, "a bag"),
    TermUnit.TIMES: (0.1, "for a tenth more"),
}


def term_range_said(term: Term, currency: str, units: UnitSystem) -> str:
    """Between what an input lies.

    >>> tax = Term(id="tax", name="Tax", unit=TermUnit.SHARE, value=0.085, low=0, high=0.1)
    >>> term_range_said(tax, "USD", UnitSystem.INCH)
    '0 % to 10 %'
    """
    low, high = (term_said(term, amount, currency, units) for amount in (term.low, term.high))
    return low if low == high else f"{low} to {high}"


def swings_of(swings: Sequence[Swing], total: Total) -> tuple[Swing, ...]:
    """Those that move that total by half a cent or more, widest first."""
    return tuple(one for one in widest_first(swings, total) if one.width(total) >= _SMALLEST)


_SMALLEST = 0.005
