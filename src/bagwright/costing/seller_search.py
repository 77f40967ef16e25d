"""From which sellers to order: a search over who is left out, paid for delivery, or reached freely, with exact bounds.

Once that is settled for every seller, materials are independent of each other but for the goods that free delivery and
least orders ask for. These are priced in (Lagrange multipliers, as in M. L. Fisher, Management Science 27 (1981),
named from memory): what is bought of such a seller counts less than its price, and the least that the materials then
cost bounds from below what any plan costs. What is left between that bound and the best plan is closed by a small
program over the few baskets that the bound leaves open.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from bagwright.costing._solver import Effort
from bagwright.costing.baskets import Basket, Material
from bagwright.costing.closing import close

NOTHING = 1e-3
"""Cents: less than that is rounding."""
_ROUNDS = 4
_STEPS = 12
_BENT = 1e-6
_ROOMS = (50.0, 200.0, 800.0, math.inf)
"""Cents above the bound in which baskets are looked for first."""


class Way(Enum):
    """What an order of a seller is."""

    LEFT_OUT = "left out"
    PAID = "paid"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Asked:
    """What one seller asks, in cents; infinite `free_from`: delivery is never free."""

    delivery: float
    free_from: float
    least_order: float

    def cents(self, goods: float, *, is_ordered: bool) -> float:
        """Delivery of an order; infinite if none so small is taken."""
        if not is_ordered:
            return 0.0
        if goods < self.least_order:
            return math.inf
        return 0.0 if goods >= self.free_from else self.delivery

    def lack(self, goods: float) -> float:
        """Goods that an order lacks: for being taken, or for free delivery where they cost less than that."""
        if goods < self.least_order:
            return self.least_order - goods
        return max(0.0, self.free_from - goods) if self.free_from - goods < self.delivery else 0.0

    def ways(self) -> tuple[Way, ...]:
        """What an order can be."""
        free = (Way.FREE,) if self.delivery and math.isfinite(self.free_from) else ()
        return (Way.LEFT_OUT, Way.PAID, *free)

    def goods_for(self, way: Way) -> float:
        """Goods that it takes."""
        if way is Way.LEFT_OUT:
            return 0.0
        return max(self.least_order, self.free_from if way is Way.FREE else 0.0)


@dataclass(frozen=True, slots=True)
class Plan:
    """A basket of each material; what it costs, and a bound below which no plan costs, both in cents."""

    baskets: tuple[Basket, ...]
    cents: float
    bound: float


Ways = tuple[Way, ...]


@dataclass(frozen=True, slots=True)
class _Settled:
    """Ways of all sellers, the shares of prices taken off that bound best, and the bound without any."""

    ways: Ways
    shares: tuple[float, ...]
    goods_for: tuple[float, ...]
    plain: float


class SellerSearch:
    """One search. `work`: how many pairs of states to look at, at most."""

    def __init__(self, materials: Sequence[Material], asked: Sequence[Asked], effort: Effort, work: float) -> None:
        self.materials, self.asked, self.effort, self.work = materials, asked, effort, work
        self.best: Plan | None = None
        self.waiting: list[tuple[float, int, int, Ways | _Settled]] = []
        self._count = 0

    def run(self) -> Plan | None:
        """The plan that costs least; its bound tells how much less one could cost. None if there is no plan."""
        bound = math.inf
        self._push((), 0.0)
        while self.waiting:
            below, _, _, one = heapq.heappop(self.waiting)
            if below >= self._cutoff():
                break
            if sum(material.spent for material in self.materials) > self.work:
                bound = min(bound, below)
                break
            if isinstance(one, _Settled):
                bound = min(bound, self._closed(one, below))
            elif len(one) < len(self.asked):
                for way in self.asked[len(one)].ways():
                    self._push((*one, way), below)
            else:
                bound = min(bound, self._settled(one))
        if self.best is None:
            return None
        return replace(self.best, bound=min(bound, self.best.cents))

    def _cutoff(self) -> float:
        """Bounds from here on are of no use: costs are whole cents."""
        return self.best.cents - 1 + NOTHING if self.best else math.inf

    def _push(self, ways: Ways, below: float) -> None:
        """Sellers still open are taken to deliver freely; what comes of that is tried."""
        weights = [math.inf if way is Way.LEFT_OUT else 1.0 for way in ways] + [1.0] * (len(self.asked) - len(ways))
        below = max(below, self._total(weights) + self._paid(ways))
        if below < self._cutoff():
            self._try([one.basket(weights) for one in self.materials])
            self._wait(below, ways)

    def _wait(self, below: float, one: Ways | _Settled) -> None:
        self._count += 1
        settled = len(self.asked) + 1 if isinstance(one, _Settled) else len(one)
        heapq.heappush(self.waiting, (below, settled, self._count, one))

    def _paid(self, ways: Ways) -> float:
        return sum(one.delivery for one, way in zip(self.asked, ways, strict=False) if way is Way.PAID)

    def _total(self, weights: Sequence[float]) -> float:
        return math.fsum(one.value(weights) for one in self.materials)

    def _settled(self, ways: Ways) -> float:
        """Where every seller's way is settled: try what comes of it; a bound for all plans of that kind, infinite if
        they are yet to be closed."""
        goods_for = [one.goods_for(way) for one, way in zip(self.asked, ways, strict=True)]
        shares = [0.0] * len(self.asked)
        bound, goods = self._priced(ways, shares, goods_for)
        plain = bound
        for _ in range(_ROUNDS):
            if bound >= self._cutoff():
                return bound
            before = bound
            for at, least in enumerate(goods_for):
                if least and (goods[at] < least or shares[at]):
                    bound, goods = self._along(ways, shares, goods_for, at)
            if bound - before < _BENT * abs(bound) + NOTHING:
                break
        if bound >= self._cutoff():
            return bound
        if all(have >= least for have, least in zip(goods, goods_for, strict=True)) and not any(shares):
            return bound
        self._wait(bound, _Settled(ways, tuple(shares), tuple(goods_for), plain))
        return math.inf

    def _weights(self, ways: Ways, shares: Sequence[float]) -> list[float]:
        return [math.inf if way is Way.LEFT_OUT else 1 - share for way, share in zip(ways, shares, strict=True)]

    def _priced(self, ways: Ways, shares: Sequence[float], goods_for: Sequence[float]) -> tuple[float, list[float]]:
        """The bound with so large a share of the price taken off, and goods by seller where it is reached."""
        weights = self._weights(ways, shares)
        bound = self._total(weights) + self._paid(ways)
        if not math.isfinite(bound):
            return math.inf, [0.0] * len(self.asked)
        bound += sum(share * least for share, least in zip(shares, goods_for, strict=True))
        goods = self._try([one.basket(weights) for one in self.materials])
        return bound, goods

    def _try(self, baskets: Sequence[Basket]) -> list[float]:
        """Keep the plan if it is the best, as it is or with some orders filled up; goods by seller."""
        goods, ordered, cents = self._goods(baskets)
        own = sum(
            one.cents(have, is_ordered=is_ordered)
            for one, have, is_ordered in zip(self.asked, goods, ordered, strict=True)
        )
        self._keep(baskets, cents + own)
        for seller, asked in enumerate(self.asked):
            lack = asked.lack(goods[seller]) if ordered[seller] else 0.0
            if lack:
                baskets = self._filled_up(baskets, seller, lack)
        filled, ordered, cents = self._goods(baskets)
        own = sum(
            one.cents(have, is_ordered=is_ordered)
            for one, have, is_ordered in zip(self.asked, filled, ordered, strict=True)
        )
        self._keep(baskets, cents + own)
        return goods

    def _goods(self, baskets: Sequence[Basket]) -> tuple[list[float], list[bool], float]:
        """Goods by seller, whether there is an order, and all goods together."""
        goods, ordered, cents = [0.0] * len(self.asked), [False] * len(self.asked), 0.0
        for one, basket in zip(self.materials, baskets, strict=True):
            for seller, paid in one.cents_of(basket):
                cents += paid
                if seller >= 0:
                    goods[seller] += paid
                    ordered[seller] = True
        return goods, ordered, cents

    def _keep(self, baskets: Sequence[Basket], cents: float) -> None:
        if cents < (self.best.cents if self.best else math.inf) - NOTHING:
            self.best = Plan(tuple(baskets), cents, -math.inf)

    def _filled_up(self, baskets: Sequence[Basket], seller: int, lack: float) -> Sequence[Basket]:
        """The cheapest offer of a seller of which more is bought, so that the order has what it lacks."""
        options = [
            (cents, at, source, steps)
            for at, one in enumerate(self.materials)
            for cents, source, steps in one.filled_up(baskets[at].steps, seller, lack)
        ]
        if not options:
            return baskets
        _, at, source, steps = min(options)
        each = [*baskets[at].steps[:source], steps, *baskets[at].steps[source + 1 :]]
        return [*baskets[:at], replace(baskets[at], steps=tuple(each)), *baskets[at + 1 :]]

    def _along(self, ways: Ways, shares: list[float], goods_for: Sequence[float], at: int) -> tuple[float, list[float]]:
        """The highest bound over the share taken off at one seller, by where the lines of two plans cross."""

        def priced(share: float) -> tuple[float, list[float], float]:
            shares[at] = share
            bound, goods = self._priced(ways, shares, goods_for)
            return bound, goods, goods_for[at] - goods[at]

        low, high = 0.0, 1.0
        low_bound, low_goods, low_rise = priced(low)
        if low_rise <= 0:
            return low_bound, low_goods
        high_bound, high_goods, high_rise = priced(high)
        if high_rise >= 0:
            return high_bound, high_goods
        best = max((low_bound, low, low_goods), (high_bound, high, high_goods), key=lambda one: one[0])
        for _ in range(_STEPS):
            share = (high_bound - low_bound + low_rise * low - high_rise * high) / (low_rise - high_rise)
            crossing = low_bound + low_rise * (share - low)
            bound, goods, rise = priced(share)
            best = max(best, (bound, share, goods), key=lambda one: one[0])
            if bound >= crossing - NOTHING or not rise:
                break
            if rise > 0:
                low, low_bound, low_rise = share, bound, rise
            else:
                high, high_bound, high_rise = share, bound, rise
        shares[at] = best[1]
        return best[0], best[2]

    def _closed(self, one: _Settled, bound: float) -> float:
        """Solve for the baskets that the bound leaves open, the likeliest first; the bound that comes of it."""
        weights, paid = self._weights(one.ways, one.shares), self._paid(one.ways)
        for most in _ROOMS:
            room = self._cutoff() - bound
            if room <= 0:
                return bound
            rooms = (min(room, most), self._cutoff() - one.plain)
            found = close(self.materials, weights, one.goods_for, rooms, self.effort)
            self.work -= found.work
            if found.baskets:
                self._try(found.baskets)
            if room <= most or found.bound == -math.inf:
                return max(bound, found.bound + paid)
        return bound
