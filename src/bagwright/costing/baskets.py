"""One material of a run by itself: what its parts cost from each seller, for all ways of sharing them out.

Exact, in whole cents as at the till. A way of buying the material is a basket: so many steps of each offer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from bagwright.costing.lattice import Floats, Ints, Lattice, count_pairs
from bagwright.costing.offers import cost_of_steps
from bagwright.costing.plan_money import Bought
from bagwright.costing.reckoning import exact
from bagwright.costing.ways import Way
from bagwright.errors import BagwrightError
from bagwright.model.material import Offer
from bagwright.model.run_buying import RunNeed

MOST_PAIRS = 1_500_000
MOST_STEPS = 5_000
_THING_CENTS = 1e-6
"""What taking one thing from the stash counts, so that none is taken in vain."""


class TooMany(BagwrightError):
    """A material has more states than can be looked at one by one."""


class Source:
    """An offer: fewest steps that hold each state (-1: none do), the best number of steps for each, and their cents.

    `share`: of a need that goes on from piece to piece, what one step holds.
    """

    def __init__(self, lattice: Lattice, offer: Offer, ways: tuple[Way, ...], holds: Sequence[tuple[int, ...]]) -> None:
        self.offer, self.ways, self.share = offer, ways, ways[0].portion.step / ways[0].takes
        self._lattice, self._holds = lattice, holds
        takes = [Fraction(1) if way.flows else way.takes / way.portion.step for way in ways]
        self._below = math.lcm(*(one.denominator for one in takes))
        self._takes = [int(one * self._below) for one in takes]
        self._amounts = _least_amounts(lattice, self._takes, holds)
        self.fewest = np.array([-1 if n is None else -(-n // self._below) for n in self._amounts], dtype=np.int64)
        portion = ways[0].portion
        breaks = [exact(one.from_quantity) * portion.priced_per / portion.step for one in offer.price_breaks]
        self.enough = max([int(self.fewest.max()), *map(math.ceil, breaks)])
        if self.enough > MOST_STEPS:
            raise TooMany
        self._cents = np.zeros(1)
        cents = self.cents_up_to(self.enough)
        best = np.arange(self.enough + 1)
        for count in range(self.enough - 1, 0, -1):
            best[count] = best[count + 1] if cents[best[count + 1]] < cents[count] else count
        is_held = self.fewest >= 0
        self.steps: Ints = np.where(is_held, best[self.fewest], 0)
        self.least: Floats = np.where(is_held, cents[self.steps], np.inf)

    def cents_up_to(self, steps: int) -> Floats:
        """What so many steps cost, and all fewer: whole cents, as at the till."""
        known = len(self._cents)
        if steps >= known:
            portion = self.ways[0].portion
            prices = (100 * cost_of_steps(portion, self.offer, count) for count in range(known, steps + 1))
            more = [float(math.floor(price + Fraction(1, 2))) for price in prices]
            self._cents = np.concatenate([self._cents, np.array(more)])
        return self._cents[: steps + 1]

    def steps_for(self, cents: float, start: int) -> int | None:
        """The fewest steps from `start` on that cost so much; None if that takes too many."""
        most = start
        while most <= MOST_STEPS:
            most = 2 * most + 8
            reached = np.flatnonzero(self.cents_up_to(most)[start:] >= cents)
            if len(reached):
                return start + int(reached[0])
        return None

    def lines(self, most_cents: float, *, is_filled_up: bool) -> tuple[Ints, Ints]:
        """Numbers of steps up to `most_cents`, each with every state that it holds and that no larger one does.

        Unless more than needed `is_filled_up`, only the best numbers of steps.
        """
        if is_filled_up:
            most = self.steps_for(most_cents + 1, self.enough) or self.enough
            counts = np.flatnonzero(self.cents_up_to(most) <= most_cents)
        else:
            counts = np.unique(self.steps[self.least <= most_cents])
        found = [(np.full(len(held), count), held) for count in counts for held in [self._largest(int(count))]]
        if not found:
            return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        return np.concatenate([one for one, _ in found]), np.concatenate([held for _, held in found])

    def _largest(self, steps: int) -> Ints:
        """States that so many steps hold, without those that lie below another."""
        is_held = (self.fewest >= 0) & (self.fewest <= steps)
        for part, stride in enumerate(self._lattice.strides):
            grows = self._lattice.held[part] < self._lattice.wanted[part]
            above = np.zeros_like(is_held)
            more = np.flatnonzero(grows)
            above[more] = ((self.fewest >= 0) & (self.fewest <= steps))[more + stride]
            is_held &= ~above
        return np.flatnonzero(is_held)

    def taken(self, state: int) -> Iterator[tuple[Way, Fraction]]:
        """How often each way is taken to hold a state."""
        befores = [self._lattice.without(one).tolist() for one in self._holds]
        times = [0] * len(befores)
        while state:
            at = next(at for at, before in enumerate(befores) if self._leads(before[state], state, at))
            times[at] += 1
            state = befores[at][state]
        yield from ((way, Fraction(count)) for way, count in zip(self.ways, times, strict=True) if count)

    def _leads(self, before: int, state: int, way: int) -> bool:
        amount = self._amounts[before]
        return before != state and amount is not None and amount + self._takes[way] == self._amounts[state]


@dataclass(frozen=True, slots=True)
class Basket:
    """Steps and state held of each source, in their order; which things of the stash are taken."""

    steps: tuple[int, ...]
    holds: tuple[int, ...]
    things: tuple[tuple[int, int], ...]


class Material:
    """All needs of one material, with the offers for them. Raises `TooMany`."""

    def __init__(
        self, needs: Mapping[int, RunNeed], ways: Sequence[tuple[Offer, tuple[Way, ...]]], asked: Mapping[str, int]
    ) -> None:
        """`asked`: number of each seller who asks for more than prices."""
        self.needs = needs
        self._flows = any(one.goes_on for one in needs.values())
        if self._flows and len(needs) > 1:
            raise TooMany
        shares = [own[0].portion.step / own[0].takes for _, own in ways] if self._flows else [Fraction(1)]
        unit = _common_part(shares)
        wanted = (math.ceil(1 / unit),) if self._flows else tuple(n for one in needs.values() for n in one.wanted)
        if count_pairs(wanted) > MOST_PAIRS:
            raise TooMany
        self.lattice, self._pairs = Lattice(wanted), count_pairs(wanted)
        self.all_held = self.lattice.size - 1
        self.sources = [
            Source(
                self.lattice,
                offer,
                own,
                [(int(own[0].portion.step / own[0].takes / unit),)] if self._flows else self._holds(own),
            )
            for offer, own in ways
        ]
        self.sellers = [asked.get(one.offer.seller, -1) for one in self.sources]
        self.spent = 0.0
        self.stash, self._thing_counts = self._on_the_shelf()
        self.groups = sorted(set(self.sellers) | ({-1} if self.stash else set()))
        self.costs = {group: self._of_group(group) for group in self.groups}
        self._values: dict[tuple[float, ...], float] = {}
        self._baskets: dict[tuple[float, ...], Basket] = {}

    def _holds(self, own: Sequence[Way]) -> list[tuple[int, ...]]:
        """What each way holds of all parts of all needs."""
        none = {number: (0,) * len(one.wanted) for number, one in self.needs.items()}
        return [tuple(n for number in self.needs for n in ({**none, way.need: way.holds})[number]) for way in own]

    def _on_the_shelf(self) -> tuple[list[tuple[tuple[int, int], tuple[int, ...]]], list[Floats]]:
        """Things of the stash with what they hold; and how few of the first so many hold each state."""
        none = {number: (0,) * len(one.wanted) for number, one in self.needs.items()}
        things = [
            ((number, place), tuple(n for other in self.needs for n in ({**none, number: thing.holds})[other]))
            for number, one in self.needs.items()
            for place, thing in enumerate(one.stash)
        ]
        counts = [np.full(self.lattice.size, np.inf)]
        counts[0][0] = 0.0
        for _, holds in things:
            counts.append(np.minimum(counts[-1], counts[-1][self.lattice.without(holds)] + 1))
        return things, counts

    def _members(self, group: int) -> list[Floats]:
        """Cents by state of all sources of one seller; the stash goes with those who ask for nothing."""
        own = [one.least for one, seller in zip(self.sources, self.sellers, strict=True) if seller == group]
        return [*own, _THING_CENTS * self._thing_counts[-1]] if group < 0 and self.stash else own

    def _of_group(self, group: int) -> Floats:
        *others, last = self._members(group)
        for one in reversed(others):
            last = self.lattice.least_sums(one, last)
        return last

    def shelf(self) -> Floats:
        """What each state counts if the stash holds it."""
        return _THING_CENTS * self._thing_counts[-1] if self.stash else self._thing_counts[0]

    def still_wanted(self, state: int, held: Ints) -> Ints:
        """What of a state is still wanted once one of these is held."""
        rest = np.maximum(self.lattice.held[:, state, None] - self.lattice.held[:, held], 0)
        found: Ints = self.lattice.strides @ rest
        return found

    def filled_up(self, baskets_steps: Sequence[int], seller: int, cents: float) -> Iterator[tuple[float, int, int]]:
        """For each source of a seller: cents of at least so many more, source, and steps that cost them."""
        for at, (source, own) in enumerate(zip(self.sources, self.sellers, strict=True)):
            if own == seller:
                paid = float(source.cents_up_to(baskets_steps[at])[-1])
                steps = source.steps_for(paid + cents, baskets_steps[at])
                if steps is not None:
                    yield float(source.cents_up_to(steps)[-1]) - paid, at, steps

    def value(self, weights: Sequence[float]) -> float:
        """Least cost where cents paid to each seller count so much (infinite: nothing is bought there)."""
        key = self._key(weights)
        if key not in self._values:
            terms = self._terms(weights)
            self.spent += 3_000 + self._pairs * max(0, len(terms) - 2) + self.lattice.size
            self._values[key] = self.suffixes(terms)[0][self.all_held] if terms else math.inf
        return self._values[key]

    def _terms(self, weights: Sequence[float]) -> list[Floats]:
        open_groups = [group for group in self.groups if group < 0 or math.isfinite(weights[group])]
        return [weighed(self.costs[group], 1.0 if group < 0 else weights[group]) for group in open_groups]

    def suffixes(self, terms: Sequence[Floats]) -> list[Floats]:
        """Least sums of the last terms, from all of them to the last alone; of all, only the last state is told."""
        found = [terms[-1]]
        for number in range(len(terms) - 2, -1, -1):
            if number:
                found.insert(0, self.lattice.least_sums(terms[number], found[0]))
                continue
            whole = np.full(self.lattice.size, np.inf)
            whole[-1] = np.min(terms[0] + found[0][::-1])
            found.insert(0, whole)
        return found

    def basket(self, weights: Sequence[float]) -> Basket:
        """The basket that the value is of."""
        key = self._key(weights)
        if key not in self._baskets:
            self._baskets[key] = self._basket(weights)
        return self._baskets[key]

    def _key(self, weights: Sequence[float]) -> tuple[float, ...]:
        return tuple(weights[group] for group in self.groups if group >= 0)

    def _basket(self, weights: Sequence[float]) -> Basket:
        open_groups = [group for group in self.groups if group < 0 or math.isfinite(weights[group])]
        terms = self._terms(weights)
        held = [0] * len(self.sources)
        things: tuple[tuple[int, int], ...] = ()
        for group, own in zip(open_groups, self._shared_out(terms, self.all_held), strict=True):
            members = [at for at, seller in enumerate(self.sellers) if seller == group]
            parts = self._shared_out(self._members(group), own)
            for at, part in zip(members, parts, strict=False):
                held[at] = part
            if group < 0 and self.stash:
                things = self.things(parts[-1])
        steps = tuple(int(one.steps[part]) for one, part in zip(self.sources, held, strict=True))
        return Basket(steps, tuple(held), things)

    def _shared_out(self, terms: Sequence[Floats], state: int) -> list[int]:
        found: list[int] = []
        rests = [terms[-1]] if len(terms) > 1 else []
        for one in reversed(terms[1:-1]):
            rests.insert(0, self.lattice.least_sums(one, rests[0]))
        for one, rest in zip(terms[:-1], rests, strict=True):
            found.append(self.lattice.split(one, rest, state))
            state -= found[-1]
        return [*found, state]

    def things(self, state: int) -> tuple[tuple[int, int], ...]:
        """Which things of the stash hold a state, as few as can be."""
        found = []
        for number in range(len(self.stash) - 1, -1, -1):
            if self._thing_counts[number + 1][state] < self._thing_counts[number][state]:
                (name, holds) = self.stash[number]
                found.append(name)
                state = int(self.lattice.without(holds)[state])
        return tuple(found)

    def cents_of(self, basket: Basket) -> Iterator[tuple[int, float]]:
        """Number of the seller (-1: one who asks for nothing) and cents, of each source that is bought."""
        for seller, source, steps in zip(self.sellers, self.sources, basket.steps, strict=True):
            if steps:
                yield seller, float(source.cents_up_to(steps)[steps])

    def bought(self, basket: Basket) -> Iterator[Bought]:
        """The basket as it is told."""
        rest = Fraction(1)
        for source, steps, state in zip(self.sources, basket.steps, basket.holds, strict=True):
            if not steps:
                continue
            taken: tuple[tuple[Way, Fraction], ...]
            if self._flows:
                share = min(rest, steps * source.share) if state else Fraction(0)
                rest -= share
                taken = ((source.ways[0], share),) if share else ()
            else:
                taken = tuple(source.taken(state))
            yield Bought(source.offer, source.ways[0].portion, steps, taken)


def weighed(cents: Floats, weight: float) -> Floats:
    """What can't be had stays infinite, however little it counts."""
    found: Floats = np.where(np.isfinite(cents), cents, 0.0) * weight
    return np.where(np.isfinite(cents), found, np.inf)


def _common_part(shares: Sequence[Fraction] | Iterator[Fraction]) -> Fraction:
    """The largest share of which all are whole multiples."""
    each = list(shares)
    below = math.lcm(*(one.denominator for one in each))
    return Fraction(math.gcd(*(int(one * below) for one in each)), below)


def _least_amounts(lattice: Lattice, takes: Sequence[int], holds: Sequence[tuple[int, ...]]) -> list[int | None]:
    """The least that the ways together take to hold each state; None where they can't."""
    found: list[int | None] = [0] + [None] * (lattice.size - 1)
    befores = [lattice.without(one).tolist() for one in holds]
    for state in range(1, lattice.size):
        sums = (
            (amount, take)
            for amount, take, before in (
                (found[before[state]], take, before) for take, before in zip(takes, befores, strict=True)
            )
            if amount is not None and before[state] != state
        )
        found[state] = min((amount + take for amount, take in sums), default=None)
    return found
