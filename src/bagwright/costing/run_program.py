"""The mixed-integer program behind buying for a run: all needs, all offers, what sellers ask for. Money in cents."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from bagwright.costing._solver import Program
from bagwright.costing.reckoning import exact
from bagwright.costing.ways import Way, takes_nothing
from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece
from bagwright.model.run_buying import RunNeed, SellerTerms

Sum = dict[int, float]
"""Factors by variable."""
_IN_VAIN = 1e-4
_MOST_ROUNDED = 12
"""Offers of one program whose prices the till has to round: each makes the search longer."""
_LEAST_NUDGE = Fraction(1, 100_000)


@dataclass(frozen=True, slots=True)
class Tier:
    """From `first` to `last` steps, each costs `cents`."""

    first: int
    last: int
    cents: Fraction


@dataclass(frozen=True, slots=True)
class OfferVariables:
    """What the program knows of one offer: steps bought in each tier, and times that each way is taken.

    `money` is what the till asks for, in whole cents; `price` the same before rounding.
    """

    offer: Offer
    step: Fraction
    steps: tuple[int, ...]
    ways: tuple[tuple[Way, int], ...]
    money: Sum
    price: Sum
    left: Sum
    size: Sum


@dataclass(slots=True)
class RunProgram:
    """The program, and which variable means what.

    `cost` is what is to be least. `size`, of all that is bought, decides between plans that cost the same; in it, too
    little to outweigh any step: what is used and what is taken from the stash, so that neither is taken in vain.
    `unrounded`: so many offers have prices of a step with parts of a cent, too many to round each as the till does.
    """

    program: Program = field(default_factory=Program)
    offers: list[OfferVariables] = field(default_factory=list)
    stash: list[tuple[int, int, int]] = field(default_factory=list)
    """Need, place in its stash, variable."""
    cost: Sum = field(default_factory=dict)
    size: Sum = field(default_factory=dict)
    unrounded: int = 0

    def aim(self, target: Mapping[int, float]) -> None:
        """Make this sum as small as can be."""
        self.program.costs = [target.get(number, 0.0) for number in range(len(self.program.costs))]


def build_program(
    needs: Sequence[RunNeed],
    ways: Sequence[tuple[Offer, tuple[Way, ...]]],
    terms: Mapping[str, SellerTerms],
    *,
    numbers: Collection[int],
    left_worth: Fraction,
) -> RunProgram:
    """The needs of those `numbers`, and the offers for them, as variables and rows.

    `left_worth`: what leftovers are worth to her, as a share of their price.
    """
    in_parts = sum(any(tier.cents.denominator > 1 for tier in _tiers(offer, own, 1)) for offer, own in ways)
    built = RunProgram(unrounded=in_parts if in_parts > _MOST_ROUNDED else 0)
    for offer, own in ways:
        most = _most_steps(needs, own, offer, terms.get(offer.seller))
        built.offers.append(_add_offer(built, offer, own, needs, most))
    _add_stash(built, needs, numbers, left_worth)
    _cover(built, needs, numbers)
    for one in built.offers:
        # Where leftovers count, their shares of a cent do too: else more would be bought for what rounding leaves off.
        _add(built.cost, one.price if left_worth else one.money)
        _add(built.cost, {variable: -float(left_worth) * factor for variable, factor in one.left.items()})
        _add(built.size, one.size)
    for seller, asked in terms.items():
        _add_seller(built, [one for one in built.offers if one.offer.seller == seller], asked)
    return built


def _add(target: Sum, other: Mapping[int, float]) -> None:
    for variable, factor in other.items():
        target[variable] = target.get(variable, 0.0) + factor


def tiers_of(offer: Offer, step: Fraction, priced_per: Fraction, most: int) -> tuple[Tier, ...]:
    """The prices of an offer by number of steps, up to `most`."""
    starts = {0: offer.price}
    for one in sorted(offer.price_breaks, key=lambda one: one.from_quantity):
        starts[max(0, math.ceil(exact(one.from_quantity) * priced_per / step))] = one.price
    firsts = sorted(starts)
    ends = [*(first - 1 for first in firsts[1:]), most]
    cents = 100 * step / priced_per
    return tuple(Tier(first, end, exact(starts[first].amount) * cents) for first, end in zip(firsts, ends, strict=True))


def size_of_unit(offer: Offer) -> Fraction:
    """Square metres of a sheet, metres of what has no width, or things: of one unit in which the offer is bought."""
    match offer:
        case OfferByLength():
            return exact(offer.width_mm or 1000) / 10**6
        case OfferByPiece():
            return exact(offer.length_mm) * exact(offer.width_mm or 1000) / 10**6
        case OfferByArea():
            return Fraction(1)
        case OfferByCount():
            return offer.pack_count * exact(offer.length_each_m or 1)


def _tiers(offer: Offer, ways: Sequence[Way], most: int) -> tuple[Tier, ...]:
    return tiers_of(offer, ways[0].portion.step, ways[0].portion.priced_per, most)


def _most_steps(needs: Sequence[RunNeed], ways: Sequence[Way], offer: Offer, terms: SellerTerms | None) -> int:
    """More steps than any sane plan buys: enough for every part, for every price break, for free delivery."""
    portion = ways[0].portion
    worst = Fraction(0)
    for number in {way.need for way in ways}:
        own = [way for way in ways if way.need == number]
        for part, count in enumerate(needs[number].wanted):
            worst += count * max((way.takes for way in own if way.holds[part]), default=Fraction(0))
    breaks = [exact(one.from_quantity) * portion.priced_per for one in offer.price_breaks]
    most = max(math.ceil(amount / portion.step) for amount in (worst, *breaks)) + 1
    tiers = _tiers(offer, ways, most)
    least_cents = min((tier.cents for tier in tiers if tier.cents), default=None)
    asked = [money for money in (terms.free_from, terms.least_order) if money] if terms else []
    if least_cents and asked:
        most = max(most, *(math.ceil(100 * exact(money.amount) / least_cents) for money in asked))
    return most


def _add_offer(
    built: RunProgram, offer: Offer, ways: Sequence[Way], needs: Sequence[RunNeed], most: int
) -> OfferVariables:
    program, portion, tiers = built.program, ways[0].portion, _tiers(offer, ways, most)
    steps = tuple(program.variable(high=tier.last) for tier in tiers)
    taken = tuple((way, program.variable(high=_most_times(way, needs), whole=not way.flows)) for way in ways)
    # Rows in mm, things or cm2, so that the solver's tolerance is far below what matters.
    scale = 10_000 if portion.unit == "m2" else max(math.ceil(1 / way.takes) for way in ways if way.takes)
    room = {variable: float(scale * portion.step) for variable in steps}
    program.row(room | {variable: -float(scale * way.takes) for way, variable in taken}, low=0)
    money: Sum = {}
    price = {variable: float(tier.cents) for tier, variable in zip(tiers, steps, strict=True)}
    left = dict(price)
    for tier, variable in zip(tiers, steps, strict=True):
        _add(money, {variable: float(tier.cents)} if built.unrounded else _money_of(program, tier, variable))
    used = {variable: float(scale * way.uses) for way, variable in taken}
    per_unit = [float(tier.cents / portion.step / scale) for tier in tiers]
    if len(tiers) == 1:
        _add(left, {variable: -per_unit[0] * factor for variable, factor in used.items()})
    else:
        _add(left, _in_tiers(program, tiers, steps, used, per_unit, float(scale * portion.step)))
    unit = float(size_of_unit(offer))
    size = dict.fromkeys(steps, unit * float(portion.step))
    size |= {variable: _IN_VAIN * unit * float(way.uses) for way, variable in taken}
    return OfferVariables(offer, portion.step, steps, taken, money, price, left, size)


def _in_tiers(
    program: Program,
    tiers: Sequence[Tier],
    steps: Sequence[int],
    used: Sum,
    per_unit: Sequence[float],
    step: float,
) -> Sum:
    """One tier at most is bought in; what is used is used at its price. The worth of what is used, less than zero."""
    shares: list[int] = []
    choices = [program.variable(high=1) for _ in tiers]
    program.row(dict.fromkeys(choices, 1.0), high=1)
    for tier, variable, choice in zip(tiers, steps, choices, strict=True):
        program.row({variable: 1.0, choice: -float(tier.last)}, high=0)
        program.row({variable: 1.0, choice: -float(tier.first)}, low=0)
        share = program.variable(whole=False)
        program.row({share: 1.0, variable: -step}, high=0)
        shares.append(share)
    program.row(dict.fromkeys(shares, 1.0) | {variable: -factor for variable, factor in used.items()}, low=0, high=0)
    return {share: -unit for share, unit in zip(shares, per_unit, strict=True)}


def _money_of(program: Program, tier: Tier, steps: int) -> Sum:
    """What the till asks for so many steps: whole cents, halves up."""
    if tier.cents.denominator == 1:
        return {steps: float(tier.cents)}
    rounded = program.variable()
    nudge = max(Fraction(1, 4 * tier.cents.denominator), _LEAST_NUDGE)
    program.row({rounded: 1.0, steps: -float(tier.cents)}, low=float(nudge) - 0.5, high=0.5)
    return {rounded: 1.0}


def _most_times(way: Way, needs: Sequence[RunNeed]) -> float:
    if way.flows:
        return 1.0
    pairs = zip(needs[way.need].wanted, way.holds, strict=True)
    return max(math.ceil(count / held) for count, held in pairs if held)


def _add_stash(built: RunProgram, needs: Sequence[RunNeed], numbers: Collection[int], left_worth: Fraction) -> None:
    at: dict[str, list[int]] = {}
    for number in numbers:
        for place, one in enumerate(needs[number].stash):
            worth = float(left_worth * exact(one.worth.amount) * 100)
            variable = built.program.variable(high=1)
            built.stash.append((number, place, variable))
            _add(built.cost, {variable: worth})
            _add(built.size, {variable: _IN_VAIN})
            at.setdefault(one.stash_id, []).append(variable)
    for variables in at.values():
        if len(variables) > 1:
            built.program.row(dict.fromkeys(variables, 1.0), high=1)


def _cover(built: RunProgram, needs: Sequence[RunNeed], numbers: Collection[int]) -> None:
    for number in numbers:
        wanted = needs[number]
        for part, count in enumerate(wanted.wanted):
            holding: Sum = {
                variable: float(way.holds[part])
                for one in built.offers
                for way, variable in one.ways
                if way.need == number and way.holds[part]
            }
            for need, place, variable in built.stash:
                if need == number and (held := wanted.stash[place].holds[part]):
                    holding[variable] = float(held)
            if count and not takes_nothing(wanted):
                built.program.row(holding, low=float(count))


def _add_seller(built: RunProgram, own: Sequence[OfferVariables], terms: SellerTerms) -> None:
    """Delivery, free from some goods on, and the least order."""
    if not own:
        return
    program = built.program
    orders = program.variable(high=1)
    for variable in (variable for one in own for variable in one.steps):
        program.row({variable: 1.0, orders: -program.highs[variable]}, high=0)
    goods: Sum = {}
    for one in own:
        _add(goods, one.money)
    # The till may round every line down by half a cent.
    margin = len(own) / 2 if built.unrounded else 0.0
    delivery = float(100 * exact(terms.delivery.amount))
    _add(built.cost, {orders: delivery})
    if terms.least_order:
        program.row({**goods, orders: -float(100 * exact(terms.least_order.amount)) - margin}, low=0)
    if terms.free_from and delivery:
        free = program.variable(high=1)
        program.row({free: 1.0, orders: -1.0}, high=0)
        program.row({**goods, free: -float(100 * exact(terms.free_from.amount)) - margin}, low=0)
        _add(built.cost, {free: -delivery})
