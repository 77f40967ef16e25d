"""Whole pieces onto hides, remnants and scraps: each in some corner of the room left, large ones first; then better.

Every answer that leaves this file has passed `check_stock.py`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from random import Random

from bagwright.cutting._budget import Budget
from bagwright.cutting.check_stock import check_stock
from bagwright.cutting.container import Bench
from bagwright.cutting.ordering import neighbour
from bagwright.cutting.placing import tidied
from bagwright.cutting.requests import piece_faults
from bagwright.cutting.stock_filling import CORNERS, Filled, Plan, carry_out
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.layout import LaySettings, Placement
from bagwright.model.stock import StockLaid, StockLayout, StockRequest

_NOTHING_LAID = (-1.0, 0.0)
"""Worth of a filling of which no more is known: any other is better."""
_MOST_WAYS = 24


def lay_on_stock(
    request: StockRequest,
    *,
    settings: LaySettings,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[StockLayout], object] | None = None,
    bench: Bench | None = None,
) -> StockLayout:
    """As much of the pieces, by area, as fits whole; then on as little stock as will do.

    `on_better` hears of each better answer, the first included. `bench`: what earlier calls for the same pieces, stock
    and gap have worked out. Equal settings with `iterations` give equal answers as long as `seconds` is 0 or not
    reached. A stop, and the end of the time, cut the first answer short where it takes longer than a second (30, if
    `seconds` is 0). Raises `FaultyInput` with every fault of the request.

    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.layout import LayPiece
    >>> from bagwright.model.stock import StockPiece
    >>> tab = LayPiece(id="tab", region=Region.rectangle((0, 0), (30, 20)), count=3)
    >>> scrap = StockPiece(id="scrap", region=Region.rectangle((0, 0), (30, 45)))
    >>> lay_on_stock(StockRequest(stock=(scrap,), pieces=(tab,)), settings=LaySettings()).left
    (('tab', 1),)
    """
    problems = [*piece_faults(request.pieces, request.gap_mm), *_stock_faults(request)]
    if problems:
        raise FaultyInput(problems)
    stop = should_stop or (lambda: False)
    return _Search(request, settings, on_better, bench or Bench.of(request)).run(stop)


def _stock_faults(request: StockRequest) -> Iterator[Problem]:
    times = Counter(one.id for one in request.stock)
    for number, one in enumerate(request.stock):
        if times[one.id] > 1:
            yield Problem(
                place=f"stock[{number}].id",
                value=one.id,
                what="is used more than once",
                allowed="each id once",
                remedy="Rename it.",
            )
        if len(list(one.region.parts())) != 1:
            yield Problem(
                place=f"stock[{number}].outline",
                value=one.id,
                what="is not one closed shape",
                allowed="a single outline",
                remedy="Draw it anew, or give its parts one by one.",
            )


class _Search:
    """One call of `lay_on_stock`."""

    def __init__(
        self,
        request: StockRequest,
        settings: LaySettings,
        on_better: Callable[[StockLayout], object] | None,
        bench: Bench,
    ) -> None:
        self.request, self.settings, self.on_better = request, settings, on_better
        self.budget = Budget(settings)
        self.containers = [bench.container(one) for one in request.stock]
        self.can_slant = any(piece.turns_deg is None for piece in request.pieces)
        self.best: tuple[Filled, StockLayout] | None = None

    def run(self, stop: Callable[[], bool]) -> StockLayout:
        """The first filling, then changed plans until the budget is used up or nothing is left to gain."""
        plan = self._first_plan()
        filled = self._fill(plan, stop=lambda: self.budget.has_to_answer(stop))
        self._offer(filled)
        if self.best is None:
            self._offer(self._sound(filled))
        if self.best is None:
            self._offer(Filled(_NOTHING_LAID, tuple(() for _ in self.containers)))
        if self.best is None:
            raise BrokenPromise("stock with nothing on it did not pass the check")
        rng = Random(self.settings.seed)
        plan = replace(plan, slants=True)

        def over() -> bool:
            return stop() or self.budget.share_used() >= 1

        while not over() and self._could_gain():
            changed = self._changed(plan, rng)
            found = self._fill(changed, stop=over)
            self.budget.trials += 1
            if found.worth >= filled.worth:
                plan, filled = changed, found
                self._offer(filled)
        return self.best[1]

    def _sound(self, filled: Filled) -> Filled:
        """The same without what lies on containers that fail the check by themselves."""
        placements = []
        for at, spots in enumerate(filled.placements):
            alone = [spots if other == at else () for other in range(len(self.containers))]
            placements.append(spots if self._judged(alone).verdict.passed else ())
        return Filled(_NOTHING_LAID, tuple(placements))

    def _first_plan(self) -> Plan:
        pieces = self.request.pieces
        each = [i for i, piece in enumerate(pieces) for _ in range(piece.count)]
        order = tuple(sorted(each, key=lambda i: (not pieces[i].best_only, -pieces[i].region.area_mm2, i)))
        by_size = sorted(range(len(self.containers)), key=lambda i: self.containers[i].area_mm2)
        return Plan(order, tuple(by_size), (0,) * len(by_size), (0,) * len(pieces))

    def _changed(self, plan: Plan, rng: Random) -> Plan:
        containers, corners, order, turns = map(list, (plan.containers, plan.corners, plan.order, plan.turns))
        chance = rng.random()
        if chance < 0.25:
            corners[rng.randrange(len(corners))] = rng.randrange(len(CORNERS))
        elif chance < 0.4 and len(containers) > 1:
            a, b = rng.sample(range(len(containers)), 2)
            containers[a], containers[b] = containers[b], containers[a]
        elif chance < 0.6 and self.can_slant:
            turns[rng.randrange(len(turns))] = rng.randrange(_MOST_WAYS)
        else:
            order = neighbour(order, len(self.request.pieces), rng)
        return Plan(tuple(order), tuple(containers), tuple(corners), tuple(turns), slants=plan.slants)

    def _could_gain(self) -> bool:
        """Whether a piece is left, or more than one stock piece was cut."""
        return bool(self.best and self.containers and (self.best[1].left or len(self.best[1].laid) > 1))

    def _fill(self, plan: Plan, *, stop: Callable[[], bool]) -> Filled:
        return carry_out(plan, self.request.pieces, self.containers, stop=stop)

    def _offer(self, filled: Filled) -> None:
        if self.best and filled.worth <= self.best[0].worth:
            return
        every = [list(tidied(spots)) for spots in filled.placements]
        for placements in zip(*every, strict=True) if every else [()]:
            found = self._judged(placements)
            if found.verdict.passed:
                self.best = (filled, found)
                if self.on_better:
                    self.on_better(found)
                return

    def _judged(self, placements: Sequence[Sequence[Placement]]) -> StockLayout:
        named = zip(self.containers, placements, strict=True)
        laid = tuple(StockLaid(one.id, tuple(spots)) for one, spots in named if spots)
        done = Counter(spot.id for one in laid for spot in one.placements)
        left = ((piece.id, piece.count - done[piece.id]) for piece in self.request.pieces)
        short = tuple((name, count) for name, count in left if count)
        verdict = check_stock(self.request, laid, short)
        return StockLayout(laid=laid, left=short, verdict=verdict, settings=self.settings)
