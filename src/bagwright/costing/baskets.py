"""One material of a run by itself: what its parts cost from each seller, for all ways of sharing them out.

Exact, in whole cents as at the till. A way of buying the material is a basket: so many steps of each offer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from bagwright.costing.flowing import Shares, count_in_shares
from bagwright.costing.lattice import Floats, Lattice, count_pairs
from bagwright.costing.offer_steps import OfferSteps, TooMany, step_share
from bagwright.costing.plan_money import Bought
from bagwright.costing.shelf import Shelf
from bagwright.costing.till import Till
from bagwright.costing.ways import Way
from bagwright.model.material import Offer
from bagwright.model.run_buying import RunNeed

_MOST_PAIRS = 1_500_000
ASKS_NOTHING = -1
"""Number of all sellers together who ask for no more than prices, and of the stash."""


@dataclass(frozen=True, slots=True)
class Basket:
    """Steps and state held of each offer, in their order; which things of the stash are taken."""

    steps: tuple[int, ...]
    holds: tuple[int, ...]
    things: tuple[tuple[int, int], ...]


class MaterialBaskets:
    """All needs of one material, with the offers for them. Raises `TooMany`.

    `slack_cents`: a plan may cost so much less than is found, where what goes on is counted coarsely.
    """

    def __init__(
        self, needs: Mapping[int, RunNeed], ways: Sequence[tuple[Offer, tuple[Way, ...]]], asked: Mapping[str, int]
    ) -> None:
        """`asked`: number of each seller who asks for more than prices."""
        flowing = any(one.goes_on for one in needs.values())
        if flowing and len(needs) > 1:
            raise TooMany
        counted = _in_shares(ways) if flowing else None
        wanted = (counted.states,) if counted else tuple(count for one in needs.values() for count in one.wanted)
        self.slack_cents = counted.slack_cents if counted else 0.0
        self._pairs = count_pairs(wanted)
        if self._pairs > _MOST_PAIRS:
            raise TooMany
        self.lattice = Lattice(wanted)
        self.offers = [
            OfferSteps(self.lattice, offer, own, (), amounts=counted.amounts(at))
            if counted
            else OfferSteps(self.lattice, offer, own, [_of_all(needs, way.need, way.holds) for way in own])
            for at, (offer, own) in enumerate(ways)
        ]
        self.sellers = [asked.get(one.offer.seller, ASKS_NOTHING) for one in self.offers]
        self.shelf = Shelf(
            self.lattice,
            [
                ((number, place), _of_all(needs, number, thing.holds))
                for number, one in needs.items()
                for place, thing in enumerate(one.stash)
            ],
        )
        self.spent = 0.0
        self._groups = sorted(set(self.sellers) | ({ASKS_NOTHING} if self.shelf else set()))
        self._costs = {group: self.lattice.rests(self._members(group))[0] for group in self._groups}
        self._last: tuple[tuple[tuple[int, float], ...], list[Floats]] = ((), [])
        self._after: dict[tuple[tuple[int, ...], tuple[float, ...]], list[Floats]] = {}
        self._values: dict[tuple[float, ...], float] = {}
        self._baskets: dict[tuple[float, ...], Basket] = {}

    def _members(self, group: int) -> list[Floats]:
        """Cents by state of all offers of one seller; the stash goes with those who ask for nothing."""
        own = [one.least for one, seller in zip(self.offers, self.sellers, strict=True) if seller == group]
        return [*own, self.shelf.cents] if group == ASKS_NOTHING and self.shelf else own

    def value(self, weights: Sequence[float], first: int = ASKS_NOTHING) -> float:
        """Least cost where cents paid to each seller count so much (infinite: nothing is bought there).

        Asked again with another weight of the seller `first` only, it has little to do.
        """
        key = self._key(weights)
        if key not in self._values:
            groups = self._open_groups(weights, first)
            self.spent += 3_000 + self.lattice.size
            rests = self._rests_of(groups, weights)
            self._values[key] = self.lattice.least_whole(self._term(groups[0], weights), rests) if groups else math.inf
        return self._values[key]

    def basket(self, weights: Sequence[float], first: int = ASKS_NOTHING) -> Basket:
        """The basket that the value is of."""
        key = self._key(weights)
        if key not in self._baskets:
            self._baskets[key] = self._basket(weights, first)
        return self._baskets[key]

    def _key(self, weights: Sequence[float]) -> tuple[float, ...]:
        return tuple(weights[group] for group in self._groups if group != ASKS_NOTHING)

    def _open_groups(self, weights: Sequence[float], first: int) -> list[int]:
        found = [group for group in self._groups if math.isfinite(weight_of(group, weights))]
        return sorted(found, key=lambda group: group != first)

    def _term(self, group: int, weights: Sequence[float]) -> Floats:
        return weighed(self._costs[group], weight_of(group, weights))

    def _rests_of(self, groups: Sequence[int], weights: Sequence[float]) -> list[Floats]:
        """Least sums of all groups but the first, from each one on. The last answer is kept."""
        key = tuple((group, weight_of(group, weights)) for group in groups[1:])
        if self._last[0] != key:
            self._last = key, self.lattice.rests([self._term(group, weights) for group in groups[1:]])
            self.spent += self._pairs * max(0, len(groups) - 2)
        return self._last[1]

    def _basket(self, weights: Sequence[float], first: int) -> Basket:
        groups, held = self._open_groups(weights, first), [0] * len(self.offers)
        things: tuple[tuple[int, int], ...] = ()
        terms = [self._term(group, weights) for group in groups]
        shares = self.lattice.share_out(terms, self._rests_of(groups, weights), self.lattice.size - 1)
        for group, share in zip(groups, shares, strict=True):
            members = self._members(group)
            parts = self.lattice.share_out(members, self.lattice.rests(members[1:]), share)
            own = [at for at, seller in enumerate(self.sellers) if seller == group]
            for at, part in zip(own, parts, strict=False):
                held[at] = part
            if group == ASKS_NOTHING and self.shelf:
                things = self.shelf.things(parts[-1])
        steps = tuple(int(one.steps[part]) for one, part in zip(self.offers, held, strict=True))
        return Basket(steps, tuple(held), things)

    def rests_after(self, offers: tuple[int, ...], weights: tuple[float, ...]) -> list[Floats]:
        """After each of these offers, with cents paid there counting so much: the least that the later ones and the
        shelf cost together, by state still wanted."""
        if (offers, weights) not in self._after:
            later = [weighed(self.offers[at].least, weight) for at, weight in zip(offers, weights, strict=True)][1:]
            self._after[offers, weights] = self.lattice.rests([*later, self.shelf.cents])
            self.spent += self._pairs * len(later)
        return self._after[offers, weights]

    def cents_of(self, basket: Basket) -> Iterator[tuple[int, float]]:
        """Number of the seller and cents, of each offer that is bought."""
        for seller, offer, steps in zip(self.sellers, self.offers, basket.steps, strict=True):
            if steps:
                yield seller, offer.till.cents(steps)

    def filled_up(self, basket: Basket, seller: int, cents: float) -> Iterator[tuple[float, int, int]]:
        """For each offer of a seller: cents of at least so many more, the offer, and steps that cost them."""
        for at, (offer, own) in enumerate(zip(self.offers, self.sellers, strict=True)):
            if own == seller:
                paid = offer.till.cents(basket.steps[at])
                steps = offer.till.steps_for(paid + cents, basket.steps[at])
                if steps is not None:
                    yield offer.till.cents(steps) - paid, at, steps

    def bought(self, basket: Basket) -> Iterator[Bought]:
        """The basket as it is told."""
        rest = Fraction(1)
        for one, steps, state in zip(self.offers, basket.steps, basket.holds, strict=True):
            if not steps:
                continue
            taken = () if one.ways[0].flows else tuple(one.taken(state))
            if state and one.ways[0].flows:
                share = min(rest, steps * one.share)
                rest -= share
                taken = ((one.ways[0], share),) if share else ()
            yield Bought(one.offer, one.ways[0].portion, steps, taken)


def weight_of(seller: int, weights: Sequence[float]) -> float:
    """How much a cent paid to the seller counts."""
    return 1.0 if seller == ASKS_NOTHING else weights[seller]


def weighed(cents: Floats, weight: float) -> Floats:
    """What can't be had stays infinite, however little it counts."""
    return cents * weight if weight else np.where(np.isfinite(cents), 0.0, np.inf)


def _of_all(needs: Mapping[int, RunNeed], number: int, holds: tuple[int, ...]) -> tuple[int, ...]:
    """What is held of one need, told among the parts of all needs."""
    each = [holds if other == number else (0,) * len(one.wanted) for other, one in needs.items()]
    return tuple(count for one in each for count in one)


def _in_shares(ways: Sequence[tuple[Offer, tuple[Way, ...]]]) -> Shares:
    return count_in_shares([step_share(own) for _, own in ways], [Till(own[0].portion, offer) for offer, own in ways])
