"""The baskets of one material that a bound leaves open, without those that another one makes needless."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bagwright.costing.baskets import Basket, MaterialBaskets, weight_of
from bagwright.costing.lattice import Floats, Ints
from bagwright.costing.offer_steps import TooMany
from bagwright.costing.shares_off import NOTHING

Bools = npt.NDArray[np.bool_]
_MOST_LOOKS = 2_000_000
_MOST_BEGUN = 20_000


@dataclass(frozen=True, slots=True)
class Room:
    """A plan of interest costs no more than so many cents above the least, weighed and plain."""

    weighed: float
    plain: float


@dataclass(frozen=True, slots=True)
class Counted:
    """Sellers whose goods count; what an order lacks may be reached by buying more, or `is_paid` as if it were."""

    sellers: tuple[int, ...]
    is_paid: bool = False


@dataclass(frozen=True, slots=True)
class OpenBaskets:
    """`is_all`: none is missing. `looks`: how many were looked at, begun ones too."""

    baskets: tuple[Basket, ...]
    is_all: bool
    looks: int


@dataclass(frozen=True, slots=True)
class _Begun:
    """Baskets of the first offers, one in each place: steps and states held by offer, what is still wanted, cents
    weighed and plain, and goods of each seller whose goods count."""

    steps: Ints
    states: Ints
    wanted: Ints
    weighed: Floats
    cents: Floats
    goods: Floats

    def pick(self, which: Ints) -> _Begun:
        """Some of them."""
        return _Begun(
            self.steps[which],
            self.states[which],
            self.wanted[which],
            self.weighed[which],
            self.cents[which],
            self.goods[which],
        )


def open_baskets(material: MaterialBaskets, weights: Sequence[float], room: Room, counted: Counted) -> OpenBaskets:
    """Baskets within the room.

    Left out is what costs no less than another basket with no less goods of any seller who is counted, or with what
    it has less paid for.
    """
    try:
        search = _Search(material, weights, room, counted)
    except TooMany:
        return OpenBaskets((), is_all=False, looks=1_000)
    begun, looks = search.nothing_yet(), 0
    for number in range(len(search.offers)):
        found = search.with_offer(begun, number)
        looks += 1_000 + len(begun.wanted) * len(search.lines[number].steps)
        if found is None:
            return OpenBaskets((), is_all=False, looks=looks)
        begun = found
    kept = begun.pick(_worthwhile(begun.cents, begun.goods, counted))
    return OpenBaskets(tuple(search.told(kept)), is_all=True, looks=looks + 300 * len(begun.cents))


@dataclass(frozen=True, slots=True)
class _Lines:
    """What may be bought of one offer: steps, state held, cents."""

    steps: Ints
    states: Ints
    cents: Floats


class _Search:
    """Baskets grown offer by offer."""

    def __init__(self, material: MaterialBaskets, weights: Sequence[float], room: Room, counted: Counted) -> None:
        self.material, self.counted = material, counted
        plain = [1.0 if math.isfinite(weight) else math.inf for weight in weights]
        self.most = material.value(weights) + room.weighed + NOTHING, material.value(plain) + room.plain + NOTHING
        self.offers = [at for at, own in enumerate(material.sellers) if math.isfinite(weight_of(own, weights))]
        self.weights = [weight_of(material.sellers[at], weights) for at in self.offers]
        self.rests = material.rests_after(tuple(self.offers), tuple(self.weights))
        self.plain_rests = material.rests_after(tuple(self.offers), (1.0,) * len(self.offers))
        self.lines = [self._lines(at) for at in self.offers]

    def _lines(self, at: int) -> _Lines:
        offer = self.material.offers[at]
        steps, states = offer.lines(self.most[1], is_filled_up=self._fills_up(at))
        return _Lines(steps, states, offer.till.cents_of(steps))

    def _fills_up(self, at: int) -> bool:
        """Whether more of an offer may be bought than is held, for what its order lacks."""
        return not self.counted.is_paid and self.material.sellers[at] in self.counted.sellers

    def nothing_yet(self) -> _Begun:
        """One basket with nothing in it."""
        whole, none = np.array([self.material.lattice.size - 1]), np.zeros((1, len(self.material.offers)), np.int64)
        return _Begun(none, none, whole, np.zeros(1), np.zeros(1), np.zeros((1, len(self.counted.sellers))))

    def with_offer(self, begun: _Begun, number: int) -> _Begun | None:
        """Each basket with each sensible purchase of an offer; None if there are too many."""
        lines, at = self.lines[number], self.offers[number]
        if len(lines.steps) * len(begun.wanted) > _MOST_LOOKS:
            return None
        whole, place = np.unique(begun.wanted, return_inverse=True)
        after = np.stack([self.material.lattice.still_wanted(int(one), lines.states) for one in whole])[place]
        less = begun.weighed[:, None] + self.weights[number] * lines.cents
        cents = begun.cents[:, None] + lines.cents
        fits = (less + self.rests[number][after] <= self.most[0]) & (
            cents + self.plain_rests[number][after] <= self.most[1]
        )
        if not self._fills_up(at):
            fits &= _cheapest_whole(after == 0, lines.cents)
        old, line = np.nonzero(fits)
        if len(old) > _MOST_BEGUN:
            return None
        grown = begun.pick(old)
        grown.steps[:, at], grown.states[:, at] = lines.steps[line], begun.wanted[old] - after[old, line]
        if self.material.sellers[at] in self.counted.sellers:
            grown.goods[:, self.counted.sellers.index(self.material.sellers[at])] += lines.cents[line]
        found = _Begun(grown.steps, grown.states, after[old, line], less[old, line], cents[old, line], grown.goods)
        return found.pick(_cheapest_alike(found))

    def told(self, begun: _Begun) -> list[Basket]:
        """As baskets; what is still wanted comes from the shelf."""
        return [
            Basket(tuple(map(int, steps)), tuple(map(int, states)), self.material.shelf.things(int(wanted)))
            for steps, states, wanted in zip(begun.steps, begun.states, begun.wanted, strict=True)
        ]


def _cheapest_whole(is_whole: Bools, cents: Floats) -> Bools:
    """All purchases that leave something wanted, and in each row the cheapest of those that leave nothing."""
    at = np.argmin(np.where(is_whole, cents, np.inf), axis=1)
    found: Bools = ~is_whole
    found[np.arange(len(at)), at] = True
    return found


def _cheapest_alike(begun: _Begun) -> Ints:
    """Of baskets that want and count the same, the cheapest."""
    keys = np.column_stack([begun.wanted, begun.goods, begun.cents])
    order = np.lexsort(keys.T[::-1])
    ordered = keys[order][:, :-1]
    is_first = np.ones(len(order), dtype=bool)
    is_first[1:] = np.any(ordered[1:] != ordered[:-1], axis=1)
    found: Ints = order[is_first]
    return found


def _worthwhile(cents: Floats, goods: Floats, counted: Counted) -> Ints:
    """Those that cost less than any other with no less goods of each seller, or with what it has less paid for."""
    order = np.lexsort((-goods.sum(axis=1), cents))
    kept = np.zeros(0, dtype=np.int64)
    for at in order:
        less = np.maximum(goods[at] - goods[kept], 0.0).sum(axis=1)
        if not np.any(cents[kept] + less <= cents[at] if counted.is_paid else less == 0):
            kept = np.append(kept, at)
    return kept
