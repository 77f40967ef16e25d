"""Stock first, as far as that saves money: what is cut from it need not be bought."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from bagwright.cutting._budget import Budget
from bagwright.cutting.check_stock import check_stock
from bagwright.cutting.container import Bench
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.print_groups import joined_ids
from bagwright.cutting.stock import lay_on_stock
from bagwright.errors import BrokenPromise, FaultyInput
from bagwright.model.layout import Layout, LayRequest, LaySettings
from bagwright.model.money import Money, total
from bagwright.model.stock import ClothPrice, StockLayout, StockPiece, StockPlan, StockRequest

_STOCK_SHARE = 0.5
"""Share of the time of a try for the stock; the rest is for what is laid on new cloth."""
_CHOOSING_SHARE = 0.5
"""Share of all time after which no further choice is tried; the rest goes to the best of them."""
_STEP_SLACK = 1e-9
_MOST_KINDS = 8


@dataclass(frozen=True, slots=True)
class _Try:
    """One choice of stock and of kinds that may lie on it: where they lie, the rest on cloth, and what both cost."""

    offered: tuple[StockPiece, ...]
    kinds: frozenset[str]
    stock: StockLayout
    cloth: Layout | None
    bought_mm: float
    costs: Money


def lay_stock_first(
    request: StockRequest,
    cloth: ClothPrice,
    *,
    settings: LaySettings,
    should_stop: Callable[[], bool] | None = None,
    on_fault: Callable[[str], object] | None = None,
) -> StockPlan:
    """The cheapest choice found of stock to cut and cloth to buy for the rest.

    Cutting into a stock piece costs its whole worth. All pieces are tried on all of the stock first; then each kind of
    piece alone and all but each, for two long straps on a remnant may save more cloth than a panel that is larger; then
    stock is left alone piece by piece, the dearest first, as long as that costs nothing. All of that takes first
    answers; the seconds that they leave go to searching on from the best choice. Raises `FaultyInput` for a faulty
    request, and if a piece fits neither the stock nor the cloth. `on_fault` hears as in `lay_pieces`.

    >>> from decimal import Decimal
    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.layout import LayPiece
    >>> tab = LayPiece(id="tab", region=Region.rectangle((0, 0), (500, 1000)), count=2)
    >>> scrap = StockPiece(id="scrap", region=Region.rectangle((0, 0), (520, 1010)), worth=Money(Decimal(2), "EUR"))
    >>> price = ClothPrice(width_mm=1000, price_per_m=Money(Decimal(10), "EUR"))
    >>> plan = lay_stock_first(StockRequest(stock=(scrap,), pieces=(tab,)), price, settings=LaySettings())
    >>> plan.bought_mm, plan.costs.said(), plan.costs_without.said()
    (500.0, '€7.00', '€10.00')
    """
    stop, budget = should_stop or (lambda: False), Budget(settings)
    chains = tuple(joined_ids(request.pieces)) if request.repeat else ()
    return _Chooser(request, cloth, settings, stop, budget, Bench.of(request), chains, on_fault).cheapest()


@dataclass(frozen=True, slots=True)
class _Chooser:
    """One call of `lay_stock_first`."""

    request: StockRequest
    cloth: ClothPrice
    settings: LaySettings
    should_stop: Callable[[], bool]
    budget: Budget
    bench: Bench
    chains: tuple[frozenset[str], ...] = ()
    on_fault: Callable[[str], object] | None = None

    def cheapest(self) -> StockPlan:
        """The best choice, or new cloth alone where that costs no more."""
        without, whole = self._if_cloth_holds(()), self._whole()
        best = self._best_choice(whole)
        if self.settings.seconds > 0:
            searched = self._searched_on([without, best, whole], self.settings.seconds - self.budget.seconds())
            best = min([best, *searched], key=lambda one: one.costs)
            alone = [one for one in (without, *searched) if one and not one.offered]
            without = min(alone, key=lambda one: one.costs, default=None)
        if without and not best.costs < without.costs:
            best = without
        return StockPlan(
            stock=best.stock,
            cloth=best.cloth,
            bought_mm=best.bought_mm,
            costs=best.costs,
            bought_without_mm=without.bought_mm if without else None,
            costs_without=without.costs if without else None,
        )

    def _whole(self) -> _Try:
        """All pieces on all of the stock; without regard to the clock if a piece then fits neither stock nor cloth."""
        try:
            return self._tried(self.request.stock)
        except FaultyInput:
            if not self._is_in_a_hurry():
                raise
            return replace(self, should_stop=lambda: False, budget=Budget(self.settings))._tried(self.request.stock)

    def _is_in_a_hurry(self) -> bool:
        return self.budget.has_to_answer(self.should_stop)

    def _best_choice(self, best: _Try) -> _Try:
        """Some kinds of piece only on all of the stock, then less and less of it."""
        for only in self._choices():
            if self._has_chosen():
                return best
            other = self._if_cloth_holds(self.request.stock, only)
            if other and other.costs < best.costs:
                best = other
        for one in sorted(self.request.stock, key=lambda one: -self._worth(one).amount):
            used = {laid.stock_id for laid in best.stock.laid}
            if one.id not in used or self._has_chosen():
                continue
            others = [other for other in self.request.stock if other.id in used - {one.id}]
            fewer = self._if_cloth_holds(others, best.kinds)
            if fewer and not best.costs < fewer.costs:
                best = fewer
        return best

    def _has_chosen(self) -> bool:
        """Whether no further choice is tried."""
        if self.should_stop() or self._is_in_a_hurry():
            return True
        return self.settings.seconds > 0 and self.budget.share_used() >= _CHOOSING_SHARE

    def _searched_on(self, found: Sequence[_Try | None], seconds: float) -> list[_Try]:
        """The choices found, each once, searched through for an equal share of the time."""
        choices = list(dict.fromkeys((one.offered, one.kinds) for one in found if one))
        better = []
        for offered, kinds in choices if seconds > 0 else ():
            if not self.should_stop():
                better.append(self._if_cloth_holds(offered, kinds, seconds=seconds / len(choices)))
        return [one for one in better if one]

    def _kinds(self) -> frozenset[str]:
        return frozenset(piece.id for piece in self.request.pieces)

    def _choices(self) -> Iterator[frozenset[str]]:
        """Which kinds of piece may lie on the stock: each alone, and all but each; the largest kinds of many only."""
        by_area = sorted(self.request.pieces, key=lambda piece: -piece.region.area_mm2 * piece.count)
        some = [piece.id for piece in by_area[:_MOST_KINDS]]
        alone = [frozenset({one}) for one in some]
        but_one = [self._kinds() - {one} for one in some]
        yield from dict.fromkeys(kinds for kinds in (*alone, *but_one) if kinds and kinds != self._kinds())

    def _if_cloth_holds(
        self, stock: Sequence[StockPiece], kinds: frozenset[str] | None = None, *, seconds: float = 0.0
    ) -> _Try | None:
        """The rest on new cloth; None if some piece fits more stock only."""
        try:
            return self._tried(stock, kinds, seconds=seconds)
        except FaultyInput:
            return None

    def _tried(self, stock: Sequence[StockPiece], kinds: frozenset[str] | None = None, *, seconds: float = 0.0) -> _Try:
        kinds, stock_seconds = kinds or self._kinds(), seconds * _STOCK_SHARE if stock else 0.0
        laid = self._laid(stock, stock_seconds, kinds)
        left, layout = dict(laid.left), None
        if left:
            pieces = tuple(replace(p, count=left[p.id]) for p in self.request.pieces if p.id in left)
            asked = self.request
            rest = LayRequest(width_mm=self.cloth.width_mm, pieces=pieces, gap_mm=asked.gap_mm, repeat=asked.repeat)
            share = replace(self.settings, seconds=seconds - stock_seconds)
            layout = lay_pieces(rest, settings=share, should_stop=self.should_stop, on_fault=self.on_fault)
        bought = _in_steps(layout.length_mm, self.cloth.step_mm) if layout else 0.0
        cut = {one.stock_id for one in laid.laid}
        currency = self.cloth.price_per_m.currency
        worth = total((self._worth(one) for one in stock if one.id in cut), currency)
        costs = self.cloth.price_per_m.times(bought / 1000) + worth
        return _Try(tuple(stock), kinds, laid, layout, bought, costs)

    def _laid(self, stock: Sequence[StockPiece], seconds: float, kinds: frozenset[str]) -> StockLayout:
        """The pieces of those kinds on the stock; all others are left, and the whole is checked again."""
        budget, asked = replace(self.settings, seconds=seconds), replace(self.request, stock=tuple(stock))
        for chain in self.chains:
            kinds = kinds if chain <= kinds else kinds - chain
        own = tuple(piece for piece in asked.pieces if piece.id in kinds)
        request, stop = replace(asked, pieces=own), self.should_stop if seconds else self._is_in_a_hurry
        laid = lay_on_stock(request, settings=budget, should_stop=stop, bench=self.bench)
        if len(own) == len(asked.pieces):
            return laid
        counts = {piece.id: piece.count for piece in asked.pieces if piece.id not in kinds} | dict(laid.left)
        left = tuple((piece.id, counts[piece.id]) for piece in asked.pieces if piece.id in counts)
        verdict = check_stock(asked, laid.laid, left)
        if not verdict.passed:
            raise BrokenPromise(f"pieces on stock failed their check: {verdict.faults}")
        return replace(laid, left=left, verdict=verdict)

    def _worth(self, one: StockPiece) -> Money:
        return one.worth or Money(Decimal(0), self.cloth.price_per_m.currency)


def _in_steps(length_mm: float, step_mm: float) -> float:
    return step_mm * math.ceil(length_mm / step_mm - _STEP_SLACK) if step_mm > 0 else length_mm
