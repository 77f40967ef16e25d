"""Where the price of a bag goes, part by part and line by line, in whole cents that add up."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from bagwright.costing.reckoning import exact
from bagwright.errors import BrokenPromise
from bagwright.model.asking import PriceSplit, WayOfSelling
from bagwright.model.cost import PartKind, Price, TimeStep
from bagwright.model.money import Money
from bagwright.model.money_terms import Goes, Spending, SpentLine, SpentPart
from bagwright.units import print_minutes


def cents_that_add_up(amounts: Sequence[Fraction], whole_cents: int) -> tuple[int, ...]:
    """Each amount in cents, up or down by less than one, so that together they are `whole_cents`.

    The largest remainders are rounded up; of equal ones the first. `whole_cents` has to be the sum of the amounts,
    rounded up or down; else `BrokenPromise`.

    >>> cents_that_add_up([Fraction(1, 3)] * 3, 100)
    (34, 33, 33)
    """
    cents = [100 * amount for amount in amounts]
    down = [math.floor(one) for one in cents]
    up = whole_cents - sum(down)
    by_remainder = sorted(range(len(cents)), key=lambda place: (down[place] - cents[place], place))
    raised = set(by_remainder[:up])
    if not abs(sum(cents, Fraction(0)) - whole_cents) < 1 or any(down[place] == cents[place] for place in raised):
        raise BrokenPromise(f"{whole_cents} cents are not the sum of {amounts}")
    return tuple(one + (place in raised) for place, one in enumerate(down))


def where_it_goes(
    price: Price, steps: Sequence[TimeStep], split: PriceSplit, *, way: WayOfSelling, day: DayOfBag | None = None
) -> Spending:
    """What of the price in `split`, sold that way, goes where. `day`: what of a market day a bag carries, taken from
    what is left.

    Parts add up to the price, lines to their part, all in whole cents, each within a cent of the exact amount.
    """
    exact_lines = _exact_lines(price, steps, split, way, day)
    lines = {goes: [one for one in found if abs(one[1]) > _NOTHING] for goes, found in exact_lines.items()}
    kept = {goes: found for goes, found in lines.items() if found}
    sums = [sum((amount for _, amount, _, _ in found), Fraction(0)) for found in kept.values()]
    whole = _cents(split.price)
    parts = zip(kept.items(), cents_that_add_up(sums, whole), strict=True)
    currency = split.price.currency
    return Spending(
        price=_money(whole, currency),
        parts=tuple(_part(goes, found, cents, currency) for (goes, found), cents in parts),
    )


_NOTHING = Fraction(1, 10_000)
"""Below a hundredth of a cent: what rounding to millionths leaves."""
_Exact = tuple[str, Fraction, str, str]
"""Name, amount, how it was reckoned, offer."""
DayOfBag = tuple[Money, Money]
"""What one bag carries of the costs of a market day, and of her pay for its hours."""


def _exact_lines(
    price: Price, steps: Sequence[TimeStep], split: PriceSplit, way: WayOfSelling, day: DayOfBag | None
) -> Mapping[Goes, list[_Exact]]:
    found: dict[Goes, list[_Exact]] = {goes: [] for goes in Goes}
    found[Goes.TAX] = [_line("Tax", split.tax, "on top of the price, handed on")]
    share = f"{(way.kept_share * 100).normalize():f} % of all that the buyer pays"
    found[Goes.FEES] = [
        _line("Share of the price", split.seller - way.kept_fixed, share),
        _line("For each sale", way.kept_fixed, "whatever the price"),
    ]
    found[Goes.BRINGING] = [_line("Bringing it there", split.delivery, "each bag")]
    for part in price.parts:
        if part.kind in _GOES:
            found[_GOES[part.kind]].append((part.name, exact(part.amount.amount), part.reckoned, part.offer_id))
    found[Goes.PAY] = list(_time_lines(steps, split.pay))
    left = exact(split.rest.amount)
    if day:
        fixed, pay = day
        found[Goes.DAY] = [
            _line("The day itself", fixed, "shared by the bags sold"),
            _line("Your hours there", pay, ""),
        ]
        left -= exact(fixed.amount) + exact(pay.amount)
    found[Goes.LEFT] = [("Left over" if left > 0 else "Missing", left, "the price less all of the above", "")]
    return found


_GOES: Mapping[PartKind, Goes] = {
    PartKind.MATERIAL: Goes.MATERIALS,
    PartKind.STASH: Goes.MATERIALS,
    PartKind.SUPPLY: Goes.SUPPLIES,
    PartKind.DELIVERY: Goes.DELIVERY,
    PartKind.OVERHEAD: Goes.OVERHEAD,
}


def _time_lines(steps: Sequence[TimeStep], pay: Money) -> Iterator[_Exact]:
    """Her pay by the minutes of each kind of work."""
    minutes: dict[str, float] = {}
    for step in steps:
        kind = step.kind or step.name
        minutes[kind] = minutes.get(kind, 0.0) + step.minutes
    whole = sum((exact(one) for one in minutes.values()), Fraction(0))
    for kind, spent in minutes.items():
        yield kind, exact(pay.amount) * exact(spent) / whole if whole else Fraction(0), print_minutes(spent), ""


def _part(goes: Goes, found: Sequence[_Exact], cents: int, currency: str) -> SpentPart:
    shares = cents_that_add_up([amount for _, amount, _, _ in found], cents)
    lines = tuple(
        SpentLine(name=name, amount=_money(one, currency), reckoned=reckoned, offer_id=offer_id)
        for (name, _, reckoned, offer_id), one in zip(found, shares, strict=True)
    )
    return SpentPart(goes=goes, amount=_money(cents, currency), lines=lines)


def _line(name: str, amount: Money, reckoned: str) -> _Exact:
    return name, exact(amount.amount), reckoned, ""


def _cents(money: Money) -> int:
    return int(money.for_display().scaleb(2))


def _money(cents: int, currency: str) -> Money:
    return Money(Decimal(cents).scaleb(-2), currency)
