"""From which sellers to order: a search over who is left out, paid for delivery, or reached freely, with exact bounds.

Once that is settled for every seller, materials are independent of each other but for the goods that free delivery and
least orders ask for. These are priced in: what is bought of such a seller counts less than its price, and the least
that the materials then cost bounds from below what any plan costs. What is left between that bound and the best plan
is closed by looking at every choice among the few baskets that the bound leaves open.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.costing.baskets import ASKS_NOTHING, Basket, MaterialBaskets
from bagwright.costing.closing import close
from bagwright.costing.order_terms import Asked, OrderKind
from bagwright.costing.shares_off import NOTHING, Priced, best_shares

_FIRST_ROOM, _LEAST_ROOM, _MOST_ROOM = 50.0, 10.0, 2_000.0
"""By so many cents more above the bound are baskets looked for."""
_ROOM_GROWS = 1.7
_MUCH_WORK, _MUCH_MORE = 7e5, 1.3


@dataclass(frozen=True, slots=True)
class Plan:
    """A basket of each material; what it costs, and a bound below which no plan costs, both in cents."""

    baskets: tuple[Basket, ...]
    cents: float
    bound: float


Kinds = tuple[OrderKind, ...]


@dataclass(frozen=True, slots=True)
class _Settled:
    """Kinds of order of all sellers, the shares of prices taken off that bound best, what goods have to reach."""

    kinds: Kinds
    shares: tuple[float, ...]
    goods_for: tuple[float, ...]


class SellerSearch:
    """One search. `work`: how many pairs of states to look at, at most."""

    def __init__(self, materials: Sequence[MaterialBaskets], asked: Sequence[Asked], work: float) -> None:
        self.materials, self.asked, self.work = materials, asked, work
        self.best: Plan | None = None
        self.waiting: list[tuple[float, int, int, Kinds | _Settled]] = []
        self._count = 0

    def run(self) -> Plan | None:
        """The plan that costs least; its bound tells how much less one could cost. None if there is no plan."""
        bound = math.inf
        self._push((), 0.0)
        while self.waiting:
            below, _, _, one = heapq.heappop(self.waiting)
            if below >= self._cutoff():
                break
            if not self._has_work():
                bound = min(bound, below)
                break
            if isinstance(one, _Settled):
                bound = min(bound, self._closed(one, below))
            elif len(one) < len(self.asked):
                for kind in self.asked[len(one)].kinds():
                    self._push((*one, kind), below)
            else:
                bound = min(bound, self._settled(one))
        if self.best is None:
            return None
        return replace(self.best, bound=min(bound, self.best.cents))

    def _cutoff(self) -> float:
        """Bounds from here on are of no use: costs are whole cents."""
        return self.best.cents - 1 + NOTHING if self.best else math.inf

    def _push(self, kinds: Kinds, below: float) -> None:
        """Sellers still open are taken to deliver freely; what comes of that is tried."""
        still_open = (OrderKind.FREE,) * (len(self.asked) - len(kinds))
        weights = self._weights((*kinds, *still_open), [0.0] * len(self.asked))
        below = max(below, self._total(weights) + self._paid(kinds))
        if below < self._cutoff():
            self._try([one.basket(weights) for one in self.materials])
            self._wait(below, kinds)

    def _wait(self, below: float, one: Kinds | _Settled) -> None:
        self._count += 1
        settled = len(self.asked) + 1 if isinstance(one, _Settled) else len(one)
        heapq.heappush(self.waiting, (below, settled, self._count, one))

    def _paid(self, kinds: Kinds) -> float:
        return sum(one.delivery for one, way in zip(self.asked, kinds, strict=False) if way is OrderKind.PAID)

    def _total(self, weights: Sequence[float], first: int = ASKS_NOTHING) -> float:
        return math.fsum(one.value(weights, first) for one in self.materials)

    def _settled(self, kinds: Kinds) -> float:
        """Where every seller's kind of order is settled: try what comes of it; a bound for all plans of that kind,
        infinite if they are yet to be closed."""
        goods_for = tuple(one.goods_for(kind) for one, kind in zip(self.asked, kinds, strict=True))

        def price(shares: Sequence[float], changed: int) -> Priced:
            return self._priced(kinds, goods_for, shares, changed)

        shares, found = best_shares(goods_for, price, self._cutoff)
        if found.bound >= self._cutoff():
            return found.bound
        if not any(shares) and all(have >= least for have, least in zip(found.goods, goods_for, strict=True)):
            return found.bound
        self._wait(found.bound, _Settled(kinds, tuple(shares), goods_for))
        return math.inf

    def _weights(self, kinds: Kinds, shares: Sequence[float]) -> list[float]:
        left_out = OrderKind.LEFT_OUT
        return [math.inf if kind is left_out else 1 - share for kind, share in zip(kinds, shares, strict=True)]

    def _priced(self, kinds: Kinds, goods_for: Sequence[float], shares: Sequence[float], changed: int) -> Priced:
        """The bound with such shares of prices taken off, and goods by seller where it is reached."""
        weights = self._weights(kinds, shares)
        bound = self._total(weights, changed) + self._paid(kinds)
        if not math.isfinite(bound):
            return Priced(math.inf, [0.0] * len(self.asked))
        bound += sum(share * least for share, least in zip(shares, goods_for, strict=True))
        return Priced(bound, self._try([one.basket(weights, changed) for one in self.materials]))

    def _try(self, baskets: Sequence[Basket]) -> list[float]:
        """Keep the plan if it is the best, as it is or with some orders filled up; goods by seller."""
        goods, ordered = self._tried(baskets)
        for seller, asked in enumerate(self.asked):
            lack = asked.lack(goods[seller]) if ordered[seller] else 0.0
            if lack:
                baskets = self._filled_up(baskets, seller, lack)
        self._tried(baskets)
        return goods

    def _tried(self, baskets: Sequence[Basket]) -> tuple[list[float], list[bool]]:
        """Keep the plan if it is the best; goods by seller, and whether there is an order."""
        goods, ordered, cents = self._goods(baskets)
        orders = zip(self.asked, goods, ordered, strict=True)
        cents += sum(one.cents(have, is_ordered=is_ordered) for one, have, is_ordered in orders)
        if cents < (self.best.cents if self.best else math.inf) - NOTHING:
            self.best = Plan(tuple(baskets), cents, -math.inf)
        return goods, ordered

    def _goods(self, baskets: Sequence[Basket]) -> tuple[list[float], list[bool], float]:
        """Goods by seller, whether there is an order, and all goods together."""
        goods, ordered, cents = [0.0] * len(self.asked), [False] * len(self.asked), 0.0
        for one, basket in zip(self.materials, baskets, strict=True):
            for seller, paid in one.cents_of(basket):
                cents += paid
                if seller != ASKS_NOTHING:
                    goods[seller] += paid
                    ordered[seller] = True
        return goods, ordered, cents

    def _filled_up(self, baskets: Sequence[Basket], seller: int, lack: float) -> Sequence[Basket]:
        """The cheapest offer of a seller of which more is bought, so that the order has what it lacks."""
        options = [
            (cents, at, offer, steps)
            for at, one in enumerate(self.materials)
            for cents, offer, steps in one.filled_up(baskets[at], seller, lack)
        ]
        if not options:
            return baskets
        _, at, offer, steps = min(options)
        each = [*baskets[at].steps[:offer], steps, *baskets[at].steps[offer + 1 :]]
        return [*baskets[:at], replace(baskets[at], steps=tuple(each)), *baskets[at + 1 :]]

    def _closed(self, one: _Settled, bound: float) -> float:
        """The bound once baskets are looked at: first as if orders could be filled up to the cent, which is soon done,
        then as they are sold."""
        for is_paid in (True, False):
            if bound < self._cutoff():
                bound = self._looked(one, bound, is_paid=is_paid)
        return bound

    def _looked(self, one: _Settled, bound: float, *, is_paid: bool) -> float:
        """Look among the baskets that the bound leaves open, the likeliest first; the bound that comes of it."""
        shares, paid, known = one.shares, self._paid(one.kinds), bound
        more, before = _FIRST_ROOM, 0.0
        while self._has_work():
            limit = min(self._cutoff(), bound + more)
            found = close(
                self.materials, self._weights(one.kinds, shares), one.goods_for, limit - paid, is_paid=is_paid
            )
            self.work -= found.work
            if found.baskets:
                self._try(found.baskets)
                return max(bound, found.cents + paid)
            if not found.is_sure:
                if not _LEAST_ROOM < more < math.inf:
                    break
                more /= 3
                continue
            if limit == self._cutoff():
                return self.best.cents if self.best else math.inf
            bound, more, before = limit, self._more_room(more, found.work, before), found.work
            better = self._priced(one.kinds, one.goods_for, found.shares, ASKS_NOTHING).bound if found.shares else 0.0
            shares, known = (found.shares, better) if better > known else (shares, known)
        return bound

    def _more_room(self, more: float, work: float, before: float) -> float:
        """How much further to look next: less where that took much work and more than before, for it grows fast."""
        if work > max(_MUCH_WORK, _MUCH_MORE * before):
            return max(_LEAST_ROOM, more / 3)
        return more * _ROOM_GROWS if more < _MOST_ROOM else math.inf

    def _has_work(self) -> bool:
        return sum(material.spent for material in self.materials) <= self.work
