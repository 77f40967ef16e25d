"""Plain cloth laid single: a first answer at once, then better orders and the packing library, side by side.

Every answer that leaves this file has passed `check.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from random import Random

from bagwright.cutting._budget import Budget
from bagwright.cutting._packer import Packer, Packing
from bagwright.cutting.best import Best
from bagwright.cutting.boxes import BoxKind, box_kinds, boxiness, placements_of
from bagwright.cutting.filling import RULES, Rule
from bagwright.cutting.nooks import Nooks, in_other_looks
from bagwright.cutting.ordering import OrderSearch
from bagwright.cutting.packing import pack_job, placements_of_packing
from bagwright.cutting.requests import least_length_mm
from bagwright.errors import BrokenPromise
from bagwright.model.layout import Layout, LayRequest, LaySettings

_BOXY = 0.92
"""From this share of their boxes on, pieces are laid better as boxes than as outlines: half the machine does that."""
_ODD_SHAPES_SHARE = 0.03
"""Otherwise orders of boxes get this share of the time, so that there is a fair answer soon."""
_TRY_SHARE = 0.06
"""Share of the time in which each rule is tried, and nooks are, twice."""
_ROUND_SHARE = 0.16
_VAIN_ROUNDS = 2
"""Then come rounds of this share; after so many without gain the machine is left to the library."""
_SOON_SECONDS = 2.0
"""With much more time than this, a quick search of so many seconds comes first, so that a good answer is there soon."""
_SHORTER_SHARE = 1e-6
_SMALL_SHARE = 0.12
"""Pieces up to this share of the largest piece's area may go into nooks."""
_GRACE_SHARE, _LEAST_GRACE_SECONDS, _MOST_GRACE_SECONDS = 0.2, 0.3, 1.0
"""The library starts later than we do, by what its process takes to start, and gains most in its last fifth: it is
waited for, by this share of the time."""
_TRIALS_BETWEEN_LOOKS = 8
_WORTH_A_CHECK = 2e-3
_SECONDS_BETWEEN_PACKINGS = 0.8
_REST_TIMES = 8.0
"""After judging a packing, the machine is left to the library for so many times as long as that took."""
_NEARLY = 1e-2
"""A last packing longer by this share is still compacted: that may bring it below the best."""
_LIBRARY = "packing library"


def _never() -> bool:
    return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """How to search: budget, when to stop, who hears of each better layout and of the packing library's end before its
    time, and another packer for tests."""

    settings: LaySettings
    should_stop: Callable[[], bool] = _never
    on_better: Callable[[Layout], object] | None = None
    packer_command: Sequence[str] | None = None
    on_fault: Callable[[str], object] | None = None


def lay_plain(request: LayRequest, wishes: Wishes) -> Layout:
    """The shortest layout of a request without faults on plain cloth, laid single."""
    settings = wishes.settings
    search = _Search(request, settings, Best(request, settings, wishes.on_better), wishes.should_stop)
    layout = search.run(wishes.packer_command)
    if search.packer and search.packer.fault and wishes.on_fault:
        wishes.on_fault(search.packer.fault)
    return layout


class _Search:
    """One call of `lay_pieces`."""

    def __init__(self, request: LayRequest, settings: LaySettings, best: Best, should_stop: Callable[[], bool]) -> None:
        self.request, self.settings, self.best, self.should_stop = request, settings, best, should_stop
        self.budget = Budget(settings)
        self.kinds: list[BoxKind] = box_kinds(request)
        self.counts = [kind.count for kind in self.kinds]
        alone = settings.iterations is not None
        self.orders_share = 1.0 if alone or boxiness(self.kinds) >= _BOXY else _ODD_SHAPES_SHARE
        self.packer: Packer | None = None
        self.last_packing: Packing | None = None
        self.next_packing_seconds = 0.0

    def run(self, packer_command: Sequence[str] | None) -> Layout:
        """First answer, search, best answer."""
        runs = [self._order_search(rule, self.counts) for rule in RULES]
        first = min(runs, key=lambda run: run.best.length_mm)
        self._offer(first, "first fill")
        if self.best.layout is None:
            raise BrokenPromise("the first fill did not pass the check")
        could_be_shorter = self.best.length_mm > least_length_mm(self.request) * (1 + _SHORTER_SHARE)
        if could_be_shorter and self.budget.share_used() < 1:
            self._improve(runs, packer_command)
        self.best.settle()
        if self.packer:
            self._push_together()
        return self.best.layout

    def _order_search(self, rule: Rule, counts: Sequence[int]) -> OrderSearch:
        boxes = [[way.box for way in kind.ways] for kind in self.kinds]
        return OrderSearch(boxes, counts, width_mm=self.request.width_mm + self.request.gap_mm, rule=rule)

    def _offer(self, run: OrderSearch, found_by: str, *, shorter_by: float = 0.0) -> None:
        if run.best.length_mm - self.request.gap_mm < self.best.length_mm * (1 - shorter_by):
            self.best.offer(placements_of(run.best.spots, self.kinds, self.request.gap_mm), found_by=found_by)

    def _improve(self, runs: list[OrderSearch], command: Sequence[str] | None) -> None:
        """Orders in this process, the library in its own."""
        if self.settings.iterations is not None:
            self._try_orders(runs, self.orders_share)
            return
        job = pack_job(self.request, self.settings, workers=max(1, self.settings.workers))
        with Packer(job, command=command) as self.packer:
            if self.settings.seconds > 2 * _SOON_SECONDS:
                self._try_orders(runs, self.orders_share * _SOON_SECONDS / self.settings.seconds)
                runs = [self._order_search(rule, self.counts) for rule in RULES]
            self._try_orders(runs, self.orders_share)
            while not self.should_stop() and not self.packer.ended and self._has_time_to_wait():
                self._look_at_packer()
                self.budget.pause()
            self._look_at_packer(at_once=True)

    def _push_together(self) -> None:
        """The best layout, and the last packing where that is nearly as short."""
        last, found_by = self.last_packing, self.best.layout.found_by if self.best.layout else ""
        self.best.compact()
        if last and found_by != _LIBRARY and last.length - self.request.gap_mm < self.best.length_mm * (1 + _NEARLY):
            self.best.offer_compacted(placements_of_packing(self.request, last), found_by=_LIBRARY)

    def _orders_are_over(self) -> bool:
        """Whether the time for orders and nooks is used up."""
        return self.should_stop() or self.budget.share_used() >= self.orders_share

    def _has_time_to_wait(self) -> bool:
        grace = min(max(_LEAST_GRACE_SECONDS, _GRACE_SHARE * self.settings.seconds), _MOST_GRACE_SECONDS)
        return self.budget.seconds() < self.settings.seconds + grace

    def _try_orders(self, runs: list[OrderSearch], share: float) -> None:
        """Anneal under each rule for a while, then with small pieces held back, then afresh until it no longer pays."""
        rng = Random(self.settings.seed)
        begin = self.budget.share_used()
        step, round_share = _TRY_SHARE * (share - begin), _ROUND_SHARE * (share - begin)
        for run in runs:
            if not self._anneal(run, rng, (begin, begin + step)):
                return
            self._offer(run, "order search")
            begin += step
        rules = [run.rule for run in sorted(runs, key=lambda run: run.best.length_mm)]
        begin, small = self._hold_back(rules[0], rng, (begin, step))
        in_vain, held = 0, small
        while begin < share - step and in_vain < _VAIN_ROUNDS:
            before, end = self.best.length_mm, min(begin + round_share, share)
            run = self._order_search(rules[in_vain % 2], self._counts_without(held))
            if not self._anneal(run, rng, (begin, end), held_back=bool(held)):
                return
            if held:
                self._fill_nooks(run, held)
            else:
                self._offer(run, "order search")
            begin = end
            in_vain = 0 if self.best.length_mm < before * (1 - _SHORTER_SHARE) else in_vain + 1
            held = {} if held and not self._nooks_pay() else small

    def _hold_back(self, rule: Rule, rng: Random, period: tuple[float, float]) -> tuple[float, dict[int, int]]:
        """Try twice, from the period's begin, for its length each, what room for small pieces there is in nooks.

        The end of the period, and how many of each to hold back, as many as found a nook.
        """
        begin, step = period
        held = self._smalls()
        for _ in range(2):
            if not held:
                break
            run = self._order_search(rule, self._counts_without(held))
            if not self._anneal(run, rng, (begin, begin + step), held_back=True):
                break
            begin += step
            held = self._fill_nooks(run, held)
        return begin, held

    def _nooks_pay(self) -> bool:
        """Whether nothing is shorter than with small pieces in nooks."""
        return self.best.layout is not None and self.best.layout.found_by == "nooks"

    def _counts_without(self, held: dict[int, int]) -> list[int]:
        return [count - held.get(kind, 0) for kind, count in enumerate(self.counts)]

    def _smalls(self) -> dict[int, int]:
        """Kinds that may go into nooks, with their counts."""
        largest = max(kind.area_mm2 for kind in self.kinds)
        return {i: kind.count for i, kind in enumerate(self.kinds) if kind.area_mm2 <= _SMALL_SHARE * largest}

    def _fill_nooks(self, run: OrderSearch, held: dict[int, int]) -> dict[int, int]:
        """Offer the best filling of `run` with the pieces held back in its nooks; how many of each found one."""
        gap, nooks, most = self.request.gap_mm, Nooks(self.request, self.kinds), dict.fromkeys(held, 0)
        if run.best.length_mm - gap >= self.best.length_mm:
            return held
        for laid in in_other_looks(run.best.spots, self.kinds, gap):
            if self._orders_are_over():
                break
            added, left = nooks.fill(laid, held, run.best.length_mm - gap, should_stop=self._orders_are_over)
            found = {kind: count - left[kind] for kind, count in held.items()}
            if not any(left.values()):
                self.best.offer([*laid, *added], found_by="nooks")
                return held
            most = max(most, found, key=lambda counts: sum(self.kinds[k].area_mm2 * n for k, n in counts.items()))
        return most

    def _anneal(self, run: OrderSearch, rng: Random, period: tuple[float, float], *, held_back: bool = False) -> bool:
        """Run for a period of the budget. False if the search is to stop. With pieces held back, nothing is offered."""
        begin, end = period
        while True:
            used = self.budget.share_used()
            self._look_at_packer()
            if self.should_stop():
                return False
            if used >= end:
                return True
            warmth = min(1.0, max(0.0, (end - used) / (end - begin)))
            for _ in range(_TRIALS_BETWEEN_LOOKS):
                self.budget.trials += 1
                run.advance(rng, warmth)
            if not held_back:
                self._offer(run, "order search", shorter_by=_WORTH_A_CHECK)

    def _look_at_packer(self, *, at_once: bool = False) -> None:
        if self.packer is None or not (at_once or self.budget.seconds() >= self.next_packing_seconds):
            return
        packing = self.packer.newest()
        if packing is None:
            return
        self.last_packing = packing
        if packing.length - self.request.gap_mm >= self.best.length_mm:
            return
        start = self.budget.seconds()
        self.best.offer_mended(placements_of_packing(self.request, packing), found_by=_LIBRARY)
        end = self.budget.seconds()
        self.next_packing_seconds = end + max(_SECONDS_BETWEEN_PACKINGS, _REST_TIMES * (end - start))
