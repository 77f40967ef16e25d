"""Whole pieces onto hides, remnants and scraps: each in some corner of the room left, large ones first; then better.

Every answer that leaves this file has passed `check_stock.py`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from random import Random

from bagwright.cutting._budget import Budget
from bagwright.cutting.board import Board
from bagwright.cutting.check_stock import check_stock
from bagwright.cutting.container import Container, Way
from bagwright.cutting.ordering import neighbour
from bagwright.cutting.placing import tidied
from bagwright.cutting.requests import piece_faults
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.model.layout import LaySettings, Placement
from bagwright.model.piece import Mirror
from bagwright.model.stock import StockLaid, StockLayout, StockRequest

_CORNERS: tuple[Callable[[Point], tuple[float, float]], ...] = (
    lambda at: (at[0], at[1]),
    lambda at: (at[1], at[0]),
    lambda at: (-at[0], at[1]),
    lambda at: (-at[1], at[0]),
    lambda at: (at[0] + at[1], at[0]),
    lambda at: (at[0] - at[1], at[0]),
)
"""To which side of a container pieces are pushed."""
_NOTHING_LAID = (-1.0, 0.0)
"""Worth of a filling of which no more is known: any other is better."""
_WAYS_AT_ONCE = 4
_MOST_WAYS = 24


@dataclass(frozen=True, slots=True)
class _Plan:
    """In which order pieces and containers are taken, to which side each container is filled, and from which of its
    ways on each piece is tried: a few of them at a time."""

    order: tuple[int, ...]
    containers: tuple[int, ...]
    corners: tuple[int, ...]
    turns: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Filled:
    """What came of a plan: area laid, minus area of the stock it took, and the placements on each container."""

    worth: tuple[float, float]
    placements: tuple[tuple[Placement, ...], ...]


def lay_on_stock(
    request: StockRequest,
    *,
    settings: LaySettings,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[StockLayout], object] | None = None,
) -> StockLayout:
    """As much of the pieces, by area, as fits whole; then on as little stock as will do.

    `on_better` hears of each better answer, the first included. Equal settings with `iterations` give equal answers as
    long as `seconds` is 0 or not reached. Raises `FaultyInput` with every fault of the request.

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
    return _Search(request, settings, on_better).run(stop)


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


def _a_few(ways: Sequence[Way], start: int) -> Sequence[Way]:
    """Four of the ways, from `start` on, round and round."""
    at = start % len(ways) if len(ways) > _WAYS_AT_ONCE else 0
    return [*ways[at:], *ways[:at]][:_WAYS_AT_ONCE]


class _Search:
    """One call of `lay_on_stock`."""

    def __init__(
        self, request: StockRequest, settings: LaySettings, on_better: Callable[[StockLayout], object] | None
    ) -> None:
        self.request, self.settings, self.on_better = request, settings, on_better
        self.budget = Budget(settings)
        self.containers = [Container(one, request.pieces, request.gap_mm) for one in request.stock]
        self.can_slant = any(piece.turns_deg is None for piece in request.pieces)
        self.best: tuple[_Filled, StockLayout] | None = None

    def run(self, stop: Callable[[], bool]) -> StockLayout:
        """The first filling, then changed plans until the budget is used up or nothing is left to gain."""
        plan = self._first_plan()
        filled = self._fill(plan, stop=lambda: False)
        self._offer(filled)
        if self.best is None:
            self._offer(self._sound(filled))
        if self.best is None:
            self._offer(_Filled(_NOTHING_LAID, tuple(() for _ in self.containers)))
        if self.best is None:
            raise BrokenPromise("stock with nothing on it did not pass the check")
        rng = Random(self.settings.seed)
        if self.budget.share_used() < 1 and not stop() and self._could_gain():
            for container in self.containers:
                container.add_slanted()

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

    def _sound(self, filled: _Filled) -> _Filled:
        """The same without what lies on containers that fail the check by themselves."""
        placements = []
        for at, spots in enumerate(filled.placements):
            alone = [spots if other == at else () for other in range(len(self.containers))]
            placements.append(spots if self._judged(alone).verdict.passed else ())
        return _Filled(_NOTHING_LAID, tuple(placements))

    def _first_plan(self) -> _Plan:
        pieces = self.request.pieces
        each = [i for i, piece in enumerate(pieces) for _ in range(piece.count)]
        order = tuple(sorted(each, key=lambda i: (not pieces[i].best_only, -pieces[i].region.area_mm2, i)))
        by_size = sorted(range(len(self.containers)), key=lambda i: self.containers[i].area_mm2)
        return _Plan(order, tuple(by_size), (0,) * len(by_size), (0,) * len(pieces))

    def _changed(self, plan: _Plan, rng: Random) -> _Plan:
        containers, corners, order, turns = map(list, (plan.containers, plan.corners, plan.order, plan.turns))
        chance = rng.random()
        if chance < 0.25:
            corners[rng.randrange(len(corners))] = rng.randrange(len(_CORNERS))
        elif chance < 0.4 and len(containers) > 1:
            a, b = rng.sample(range(len(containers)), 2)
            containers[a], containers[b] = containers[b], containers[a]
        elif chance < 0.6 and self.can_slant:
            turns[rng.randrange(len(turns))] = rng.randrange(_MOST_WAYS)
        else:
            order = neighbour(order, len(self.request.pieces), rng)
        return _Plan(tuple(order), tuple(containers), tuple(corners), tuple(turns))

    def _could_gain(self) -> bool:
        """Whether a piece is left, or more than one stock piece was cut."""
        return bool(self.best and self.containers and (self.best[1].left or len(self.best[1].laid) > 1))

    def _fill(self, plan: _Plan, *, stop: Callable[[], bool]) -> _Filled:
        """What comes of a plan, or of its beginning if it is stopped on the way."""
        boards = [container.board() for container in self.containers]
        full: set[tuple[int, int, bool]] = set()
        laid: list[tuple[int, int, int, Point]] = []
        mirrored = Counter[tuple[int, bool]]()
        for number in plan.order:
            if stop():
                break
            piece = self.request.pieces[number]
            wants = (False, True) if piece.mirror is Mirror.EITHER else (False,)
            if piece.mirror is Mirror.PAIRS:
                wants = (mirrored[number, True] < mirrored[number, False],)
            found = self._first_room(plan, boards, number, wants, full)
            if found:
                at, shape, corner = found
                boards[at].lay(shape, corner)
                laid.append((number, at, shape, corner))
                mirrored[number, self.containers[at].shapes[shape].member.mirrored] += 1
        return self._worth(laid)

    def _first_room(
        self, plan: _Plan, boards: Sequence[Board], number: int, wants: Sequence[bool], full: set[tuple[int, int, bool]]
    ) -> tuple[int, int, Point] | None:
        """The first container with room for the piece, and its place there; remembers where there is none."""
        for at in plan.containers:
            worth, spots = _CORNERS[plan.corners[at]], []
            ways = [way for way in self.containers[at].ways[number] if way.mirrored in wants]
            for way in _a_few(ways, plan.turns[number]):
                if (at, way.shape, way.mirrored) in full:
                    continue
                corner = boards[at].best_corner(way.shape, worth)
                if corner is None:
                    full.add((at, way.shape, way.mirrored))
                else:
                    length, height = self.containers[at].shapes[way.shape].size
                    ends = (corner[0] + length / 2, corner[1] + height / 2)
                    spots.append((worth(ends), way.shape, corner))
            if spots:
                _, shape, corner = min(spots)
                return at, shape, corner
        return None

    def _worth(self, laid: Sequence[tuple[int, int, int, Point]]) -> _Filled:
        placements: list[list[Placement]] = [[] for _ in self.containers]
        area, spare = 0.0, self._without_partner(laid)
        for i, (number, at, shape, corner) in enumerate(laid):
            if i not in spare:
                member = self.containers[at].shapes[shape].member
                placements[at].append(member.laid_at(*corner))
                area += self.request.pieces[number].region.area_mm2
        used = sum(one.area_mm2 for one, spots in zip(self.containers, placements, strict=True) if spots)
        return _Filled((round(area, 3), -used), tuple(map(tuple, placements)))

    def _without_partner(self, laid: Sequence[tuple[int, int, int, Point]]) -> set[int]:
        """Of pairs, the last unmirrored copy if its mirror image found no room."""
        waiting: dict[int, list[int]] = {}
        for i, (number, at, shape, _) in enumerate(laid):
            if self.request.pieces[number].mirror is Mirror.PAIRS:
                stack = waiting.setdefault(number, [])
                if self.containers[at].shapes[shape].member.mirrored:
                    stack.pop()
                else:
                    stack.append(i)
        return {i for stack in waiting.values() for i in stack}

    def _offer(self, filled: _Filled) -> None:
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
