"""What to ask for a bag, sold this way or that: prices forwards, her pay backwards, and the market day."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from bagwright.costing.reckoning import exact, exact_money
from bagwright.errors import FaultyInput, Problem
from bagwright.model.asking import Asking, DayCount, MarketDay, PriceSplit, WayAnswer, WayOfSelling
from bagwright.model.money import Money

_SHARE_PLACES = 6


def price_to_keep(wanted: Fraction, way: WayOfSelling, *, margin_share: Fraction = Fraction(0)) -> Fraction | None:
    r"""The price a buyer pays that leaves `wanted` and the margin: :math:`B = (w + f + d)(1 + t) / (1 - s(1 + t) - m)`

    w `wanted`, f fixed fee, d delivery, t tax, s share kept by the seller of all that the buyer pays, m margin of the
    price without tax. From what the buyer pays, B = P (1 + t), the seller takes s B + f, so that P (1 - s (1 + t)) -
    f - d is left, and that has to be w + m P. Money in, money out, exact. None: at no price is that left.

    That fees are taken of the price with its tax is common practice, no source; her contract says.

    >>> from bagwright.model.money import Money
    >>> none = Money(Decimal(0), "USD")
    >>> shop = WayOfSelling(name="shop", kept_share=Decimal("0.5"), kept_fixed=none, delivery=none)
    >>> price_to_keep(Fraction(30), shop)
    Fraction(60, 1)
    """
    taxed = 1 + exact(way.tax_share)
    kept = 1 - exact(way.kept_share) * taxed - margin_share
    if kept <= 0:
        return None
    return (wanted + exact(way.kept_fixed.amount) + exact(way.delivery.amount)) * taxed / kept


def split_price(price: Fraction, asking: Asking, way: WayOfSelling) -> PriceSplit:
    """Where `price`, paid by the buyer, goes. Each part to a millionth of the currency; `rest` is exactly what is left.

    Hourly pay is (price - tax - seller - delivery - floor) / hours.
    """
    net = price / (1 + exact(way.tax_share))
    seller = price * exact(way.kept_share) + exact(way.kept_fixed.amount)
    floor, hours = exact(asking.floor.amount), exact(asking.minutes) / 60
    earned = net - seller - exact(way.delivery.amount) - floor
    pay = exact(asking.hourly_pay.amount) * hours
    currency = asking.floor.currency
    parts = [exact_money(part, currency) for part in (price, price - net, seller, pay)]
    paid, tax, kept, paid_out = parts
    rest = paid - tax - kept - way.delivery - asking.floor - paid_out
    return PriceSplit(
        price=paid,
        tax=tax,
        seller=kept,
        delivery=way.delivery,
        floor=asking.floor,
        pay=paid_out,
        rest=rest,
        hourly_pay=exact_money(earned / hours, currency),
        margin_share=_share(earned - pay, net),
        markup_share=_share(earned - pay, floor + pay),
    )


def ways_to_ask(asking: Asking) -> tuple[WayAnswer, ...]:
    """Every way of selling answered, in the order given. Raises `FaultyInput` with every fault of the question."""
    if problems := list(_faults(asking)):
        raise FaultyInput(problems)
    return tuple(_answer(asking, way) for way in asking.ways)


def bags_to_even(fixed: Fraction, left_a_bag: Fraction) -> int | None:
    r"""Bags to sell until what they leave covers what is spent anyway: :math:`n = F / (P - V)`, up to whole bags.

    F `fixed`, P - V `left_a_bag` (the price less what one more bag costs). Nothing to cover: 0. None: never.

    A cost of 108,000, a price of 50 and 32 spent on each:

    >>> bags_to_even(Fraction(108_000), Fraction(50 - 32))
    6000
    """
    if fixed <= 0:
        return 0
    return math.ceil(fixed / left_a_bag) if left_a_bag > 0 else None


def _answer(asking: Asking, way: WayOfSelling) -> WayAnswer:
    floor = exact(asking.floor.amount)
    pay = exact(asking.hourly_pay.amount) * exact(asking.minutes) / 60
    at_floor, paid = price_to_keep(floor, way), price_to_keep(floor + pay, way)
    if at_floor is None or paid is None:
        raise FaultyInput([_keeps_all(asking.ways.index(way), way)])
    at_margin = price_to_keep(floor + pay, way, margin_share=exact(asking.margin_share))
    asked = None if asking.asked is None else exact(asking.asked.amount)
    return WayAnswer(
        way=way,
        at_floor=split_price(at_floor, asking, way),
        paid=split_price(paid, asking, way),
        at_margin=None if at_margin is None else split_price(at_margin, asking, way),
        asked=None if asked is None else split_price(asked, asking, way),
        day=_day(asking, asking.day, split_price(paid if asked is None else asked, asking, way))
        if asking.day
        else None,
    )


def _day(asking: Asking, day: MarketDay, split: PriceSplit) -> DayCount:
    fixed = exact(day.fixed.amount)
    rest, pay = exact(split.rest.amount), exact(split.pay.amount)
    hours_pay = exact(asking.hourly_pay.amount) * exact(day.minutes) / 60
    return DayCount(to_even=bags_to_even(fixed, rest + pay), to_pay=bags_to_even(fixed + hours_pay, rest))


def _share(part: Fraction, whole: Fraction) -> Decimal:
    share = part / whole if whole else Fraction(0)
    return Decimal(round(share * 10**_SHARE_PLACES)).scaleb(-_SHARE_PLACES)


def _faults(asking: Asking) -> Iterator[Problem]:
    if not (math.isfinite(asking.minutes) and asking.minutes > 0):
        yield _problem("minutes", asking.minutes, "is no working time to pay for", "above 0 min")
    if not 0 <= asking.margin_share < 1:
        yield _problem("margin_share", asking.margin_share, "is no share of a price", "0 to below 1 (0.2 is 20 %)")
    if not asking.ways:
        yield _problem("ways", "", "names no way of selling", "one or more")
    for place, money in _amounts(asking):
        if money.amount < 0:
            yield _problem(place, money.amount, "is below zero", "zero or more")
        if money.currency != asking.floor.currency:
            yield _problem(place, money.currency, "is other money", f"an amount in {asking.floor.currency}")
    if asking.day and not (math.isfinite(asking.day.minutes) and asking.day.minutes >= 0):
        yield _problem("day.minutes", asking.day.minutes, "is no length of a day", "0 min or more")
    for number, way in enumerate(asking.ways):
        if not 0 <= way.tax_share <= 1:
            yield _problem(f"ways[{number}].tax_share", way.tax_share, "is no rate of tax", "0 to 1 (0.2 is 20 %)")
        elif not 0 <= way.kept_share < 1 or exact(way.kept_share) * (1 + exact(way.tax_share)) >= 1:
            yield _keeps_all(number, way)


def _amounts(asking: Asking) -> Iterator[tuple[str, Money]]:
    yield "floor", asking.floor
    yield "hourly_pay", asking.hourly_pay
    if asking.asked is not None:
        yield "asked", asking.asked
    if asking.day is not None:
        yield "day.fixed", asking.day.fixed
    for number, way in enumerate(asking.ways):
        yield f"ways[{number}].kept_fixed", way.kept_fixed
        yield f"ways[{number}].delivery", way.delivery


def _keeps_all(number: int, way: WayOfSelling) -> Problem:
    what = "leaves nothing of a sale, tax counted in" if way.tax_share else "leaves nothing of a sale"
    return _problem(f"ways[{number}].kept_share", way.kept_share, what, "0 to below 1 (0.05 is 5 %)")


def _problem(place: str, value: object, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=str(value), what=what, allowed=allowed, remedy="Correct it.")
