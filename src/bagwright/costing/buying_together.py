"""What to buy for a whole run at once, so that goods and delivery together cost least."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from bagwright.costing._solver import Effort, Program, Solved, solve
from bagwright.costing.buying import no_offer
from bagwright.costing.by_seller import least_by_seller
from bagwright.costing.check_plan import plan_faults
from bagwright.costing.offers import DoesNotSuit, offer_problems
from bagwright.costing.plan_money import Bought, Found, cost_cents, plan_of
from bagwright.costing.run_program import OfferVariables, RunProgram, build_program
from bagwright.costing.seller_terms import stale_offer, terms_problems
from bagwright.costing.ways import Way, check_run_need, takes_nothing, ways_of
from bagwright.errors import BrokenPromise, FaultyInput, NoAnswer, Problem
from bagwright.model.material import Offer
from bagwright.model.money import Money
from bagwright.model.run_buying import RunNeed, RunPlan, SellerTerms
from bagwright.units import UnitSystem

_CLOSE_ENOUGH = 1e-6
_NOTHING_CENTS = Fraction(1, 20)
"""Less than this is the solver's own noise."""
_FLOW_PARTS = 10**9
_LEAST_SECONDS = 0.6
_FIRST_SHARE = 0.8


def buy_together(
    needs: Sequence[RunNeed],
    offers: Sequence[Offer],
    terms: Sequence[SellerTerms] = (),
    *,
    currency: str,
    left_worth: float = 0.0,
    oldest: date | None = None,
    effort: Effort | None = None,
    units: UnitSystem = UnitSystem.INCH,
) -> RunPlan:
    """The purchases that meet every need and cost least; of those that cost the same, the ones that buy less, so
    that less is left over.

    What costs least is: goods, in whole cents line by line as at the till, and delivery. With `left_worth` (0 to 1),
    less that share of the price of what is left over, plus that share of the worth of what is taken from the stash, all
    before the till rounds. Needs share an offer, so that its price breaks count all that is bought of it; a need is
    split over offers where its layouts allow it. How each kind of offer is reckoned: `quote_offer`; how a need is
    split: `ways_of`.

    `oldest`: offers dated before it are not looked at. `units` are those of sentences. The numbers of needs in
    `RunPlan.taken` are places in `needs`.

    Raises `FaultyInput` with every fault found: no offer, none that suits, a price in other money or too old;
    `NoAnswer` if what sellers ask for cannot be met, or nothing was found within `effort`.
    """
    own = [offer for offer in offers if offer.material_id in {one.need.material_id for one in needs}]
    stale = tuple((offer, stale_offer(offer, oldest)) for offer in own if oldest and offer.dated < oldest)
    fresh = [offer for offer in own if not oldest or offer.dated >= oldest]
    faults = [*_faults(needs, fresh, terms, currency)]
    ways = [] if faults else _all_ways(needs, fresh, units)
    faults += [] if faults else _unmet(needs, ways, [*fresh, *(offer for offer, _ in stale)], stale, units)
    if faults:
        raise FaultyInput(dict.fromkeys(faults))
    asked = {one.seller: one for one in terms}
    worth = Fraction(left_worth).limit_denominator(1000)
    found, gap = _found_in_groups(needs, ways, asked, worth, effort or Effort())
    gap_money = Money(Decimal(math.ceil(gap)).scaleb(-2), currency)
    plan = replace(plan_of(found, needs, asked, currency), gap=gap_money, left_out=tuple(told for _, told in stale))
    if wrong := plan_faults(plan, needs, fresh, terms):
        raise BrokenPromise(f"a plan failed its check: {wrong}")
    return plan


def _faults(
    needs: Sequence[RunNeed], offers: Sequence[Offer], terms: Sequence[SellerTerms], currency: str
) -> Iterator[Problem]:
    for one in needs:
        check_run_need(one)
    for offer in offers:
        yield from offer_problems(offer, currency)
    for asked in terms:
        yield from terms_problems(asked, currency)


def _all_ways(
    needs: Sequence[RunNeed], offers: Sequence[Offer], units: UnitSystem
) -> list[tuple[Offer, tuple[Way, ...]]]:
    """Each offer that suits, with all ways of meeting needs from it."""
    found: list[tuple[Offer, tuple[Way, ...]]] = []
    for offer in offers:
        own: list[Way] = []
        for number, one in enumerate(needs):
            if one.need.material_id == offer.material_id and not takes_nothing(one):
                ways = ways_of(number, one, offer, units)
                own += () if isinstance(ways, DoesNotSuit) else ways
        if own:
            found.append((offer, tuple(own)))
    return found


def _unmet(
    needs: Sequence[RunNeed],
    ways: Sequence[tuple[Offer, tuple[Way, ...]]],
    offers: Sequence[Offer],
    stale: Sequence[tuple[Offer, Problem]],
    units: UnitSystem,
) -> Iterator[Problem]:
    """Needs of which some part is on no offer and not in the stash."""
    for number, one in enumerate(needs):
        held = [way.holds for _, own in ways for way in own if way.need == number] + [s.holds for s in one.stash]
        met = all(any(holds[part] for holds in held) for part, count in enumerate(one.wanted) if count)
        if met or takes_nothing(one):
            continue
        old = [told for offer, told in stale if offer.material_id == one.need.material_id]
        own = [offer for offer in offers if offer.material_id == one.need.material_id]
        tried = [(offer, ways_of(number, one, offer, units)) for offer in own if not old]
        reasons = [f"{offer.seller} {ways.reason}" for offer, ways in tried if isinstance(ways, DoesNotSuit)]
        yield from old or [no_offer(one.need, reasons)]


def _found_in_groups(
    needs: Sequence[RunNeed],
    ways: Sequence[tuple[Offer, tuple[Way, ...]]],
    asked: Mapping[str, SellerTerms],
    worth: Fraction,
    effort: Effort,
) -> tuple[Found, Fraction]:
    bought: list[Bought] = []
    stash: list[tuple[int, int]] = []
    gap_cents = Fraction(0)
    for numbers in _groups(needs, ways, asked):
        own_ways = [(offer, own) for offer, own in ways if own[0].need in numbers]
        share = sum(len(own) for _, own in own_ways) / max(1, sum(len(own) for _, own in ways))
        each = replace(effort, seconds=max(_LEAST_SECONDS, share * effort.seconds))
        built = build_program(needs, own_ways, asked, numbers=numbers, left_worth=worth)
        short = replace(each, seconds=(1 - _FIRST_SHARE) * each.seconds) if worth else each
        known = least_by_seller(needs, own_ways, asked, numbers=numbers, effort=short)
        if known and worth:  # a good plan where leftovers count too, but no bound
            known = known[0], Fraction(0)
        found, own_gap = _least(built, needs, asked, worth, each, known)
        bought += found.bought
        stash += found.stash
        gap_cents += own_gap
    return Found(tuple(bought), tuple(stash)), gap_cents


def _groups(
    needs: Sequence[RunNeed], ways: Sequence[tuple[Offer, tuple[Way, ...]]], asked: Mapping[str, SellerTerms]
) -> list[list[int]]:
    """Needs that are bought independently of all others: of other materials, of sellers who ask for nothing, and with
    nothing of the stash that would do for others too."""
    groups: dict[str, str] = {}

    def root(key: str) -> str:
        while groups.setdefault(key, key) != key:
            key = groups[key]
        return key

    for offer, _ in ways:
        if offer.seller in asked:
            groups[root(f"material {offer.material_id}")] = root(f"seller {offer.seller}")
    for one in needs:
        for thing in one.stash:
            groups[root(f"material {one.need.material_id}")] = root(f"stash {thing.stash_id}")
    found: dict[str, list[int]] = {}
    for number, one in enumerate(needs):
        if not takes_nothing(one):
            found.setdefault(root(f"material {one.need.material_id}"), []).append(number)
    return list(found.values())


def _least(
    built: RunProgram,
    needs: Sequence[RunNeed],
    asked: Mapping[str, SellerTerms],
    worth: Fraction,
    effort: Effort,
    known: tuple[Found, Fraction] | None,
) -> tuple[Found, Fraction]:
    """The plan that costs least, then buys least; and by how many cents a better one could cost less at most."""

    def cost_of(plan: Found) -> Fraction:
        return cost_cents(plan, needs, asked, worth)

    built.aim(built.cost)
    best, bound = _cheapest(built, cost_of, effort, known)
    cost = cost_of(best)
    built.program.row(built.cost, high=float(cost) + float(_NOTHING_CENTS) / 10 + built.unrounded / 2)
    built.aim(built.size)
    try:
        rest = replace(effort, seconds=(1 - _FIRST_SHARE) * effort.seconds)
        second = _found(built, _solved(built.program, rest))
        best = second if cost_of(second) <= cost + _NOTHING_CENTS / 10 else best
    except NoAnswer:  # the time was over: the first plan stands
        pass
    gap = max(Fraction(0), cost_of(best) - max(bound, Fraction(0)))  # nothing costs less than nothing
    # Without leftovers in it, the cost is whole cents: less than one of them is nothing.
    return best, Fraction(0) if gap < (_NOTHING_CENTS if worth or built.unrounded else Fraction(99, 100)) else gap


def _cheapest(
    built: RunProgram,
    cost_of: Callable[[Found], Fraction],
    effort: Effort,
    known: tuple[Found, Fraction] | None,
) -> tuple[Found, Fraction]:
    """The plan that costs least and a bound in cents; what is known already is looked at again if it is not proven."""
    if known and cost_of(known[0]) - known[1] < 1:
        return known
    share = 1 - _FIRST_SHARE if known and known[1] else _FIRST_SHARE
    try:
        solved = _solved(built.program, replace(effort, seconds=share * effort.seconds))
    except NoAnswer:
        if known:
            return known
        raise
    found, bound = _found(built, solved), _bound_cents(solved.bound) - Fraction(built.unrounded, 2)
    if not known:
        return found, bound
    return min(known[0], found, key=cost_of), max(known[1], bound)


def _solved(program: Program, effort: Effort) -> Solved:
    try:
        solved = solve(program, effort, close_enough=_CLOSE_ENOUGH)
    except TimeoutError:
        raise NoAnswer(_nothing("was not found in the time given", "Give it more time.")) from None
    if solved is None:
        raise NoAnswer(_nothing("does not exist: what the sellers ask for cannot be met", _LOOK_AT_TERMS))
    return solved


_LOOK_AT_TERMS = "Look at the least orders of the sellers, or add an offer of another one."


def _nothing(what: str, remedy: str) -> Problem:
    return Problem(place="needs", value="", what=f"a plan {what}", allowed="needs that can be bought", remedy=remedy)


def _bound_cents(bound: float) -> Fraction:
    return Fraction(bound) if math.isfinite(bound) else Fraction(0)


def _found(built: RunProgram, solved: Solved) -> Found:
    """The solver's answer in exact numbers; steps are worked out again from what is taken."""
    values = solved.values
    times = {
        variable: Fraction(math.floor(max(0.0, values[variable]) * _FLOW_PARTS), _FLOW_PARTS)
        if way.flows
        else Fraction(round(values[variable]))
        for one in built.offers
        for way, variable in one.ways
    }
    _fill_up(built.offers, times, values)
    bought = [_bought(one, times, values) for one in built.offers]
    stash = [(need, place) for need, place, variable in built.stash if round(values[variable])]
    return Found(tuple(one for one in bought if one.steps), tuple(stash))


def _fill_up(offers: Sequence[OfferVariables], times: dict[int, Fraction], values: Sequence[float]) -> None:
    """What rounding took from a need that flows goes where most room is left for it."""
    flowing: dict[int, list[tuple[Fraction, int]]] = {}
    for one in offers:
        room = one.step * round(sum(values[variable] for variable in one.steps))
        room -= sum((times[variable] * way.takes for way, variable in one.ways), Fraction(0))
        for way, variable in one.ways:
            if way.flows:
                flowing.setdefault(way.need, []).append((room / way.takes, variable))
    for rooms in flowing.values():
        _, variable = max(rooms)
        times[variable] += 1 - sum((times[other] for _, other in rooms), Fraction(0))


def _bought(one: OfferVariables, times: Mapping[int, Fraction], values: Sequence[float]) -> Bought:
    taken = tuple((way, times[variable]) for way, variable in one.ways if times[variable])
    hair = Fraction(len(one.ways), _FLOW_PARTS) if any(way.flows for way, _ in taken) else Fraction(0)
    least = math.ceil(sum((count * way.takes for way, count in taken), Fraction(0)) / one.step * (1 - hair))
    steps = max(least, round(sum(values[variable] for variable in one.steps)))
    return Bought(one.offer, one.ways[0][0].portion, steps, taken)
