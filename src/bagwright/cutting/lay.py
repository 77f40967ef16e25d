"""Lay pieces on cloth: a first answer at once, then better orders and the packing library, side by side.

Every answer that leaves this file has passed `check.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from bagwright.cutting._budget import Budget
from bagwright.cutting._packer import Packer
from bagwright.cutting.best import Best
from bagwright.cutting.boxes import BoxKind, box_kinds, boxiness, placements_of
from bagwright.cutting.filling import RULES, Rule
from bagwright.cutting.ordering import OrderSearch
from bagwright.cutting.packing import pack_job, placements_of_packing
from bagwright.cutting.requests import refuse_faults
from bagwright.errors import BrokenPromise
from bagwright.model.layout import Layout, LayRequest, LaySettings

_BOXY = 0.88
"""From this share of their boxes on, pieces are laid better as boxes than as outlines: half the machine does that."""
_ODD_SHAPES_SHARE = 0.06
"""Otherwise orders of boxes get this share of the time, so that there is a fair answer soon."""
_TRY_SHARE = 0.13
"""Share of the time in which each rule is tried; the best rule gets what is left."""
_GRACE_SECONDS = 0.3
_TRIALS_BETWEEN_LOOKS = 8
_SECONDS_BETWEEN_PACKINGS = 0.4


def lay_pieces(
    request: LayRequest,
    *,
    settings: LaySettings,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[Layout], object] | None = None,
    packer_command: Sequence[str] | None = None,
) -> Layout:
    """The shortest layout found within `settings`. `on_better` hears of each better one, the first included.

    With `settings.iterations` the packing library stays off, and equal settings give equal answers as long as
    `settings.seconds` is 0 or is not reached. `packer_command` starts another program in the place of the library's
    process. Raises `FaultyInput` for a faulty request, and if a piece does not fit the
    cloth in any turn it may take.

    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.layout import LayPiece
    >>> panel = LayPiece(id="panel", region=Region.rectangle((0, 0), (30, 20)), count=4)
    >>> layout = lay_pieces(LayRequest(width_mm=45, pieces=(panel,)), settings=LaySettings(seconds=0))
    >>> layout.length_mm, layout.verdict.passed
    (60.0, True)
    """
    refuse_faults(request)
    search = _Search(request, settings, Best(request, settings, on_better), should_stop or (lambda: False))
    return search.run(packer_command)


class _Search:
    """One call of `lay_pieces`."""

    def __init__(self, request: LayRequest, settings: LaySettings, best: Best, should_stop: Callable[[], bool]) -> None:
        self.request, self.settings, self.best, self.should_stop = request, settings, best, should_stop
        self.budget = Budget(settings)
        self.kinds: list[BoxKind] = box_kinds(request)
        self.boxy = boxiness(self.kinds) >= _BOXY
        self.packer: Packer | None = None
        self.next_packing_seconds = 0.0

    def run(self, packer_command: Sequence[str] | None) -> Layout:
        """First answer, search, best answer."""
        runs = [self._order_search(rule) for rule in RULES]
        first = min(runs, key=lambda run: run.best.length_mm)
        self._offer(first, "first fill")
        if self.best.layout is None:
            raise BrokenPromise("the first fill did not pass the check")
        if self.budget.share_used() < 1:
            self._improve(runs, packer_command)
        return self.best.layout

    def _order_search(self, rule: Rule) -> OrderSearch:
        boxes = [[way.box for way in kind.ways] for kind in self.kinds]
        counts = [kind.count for kind in self.kinds]
        return OrderSearch(boxes, counts, width_mm=self.request.width_mm + self.request.gap_mm, rule=rule)

    def _offer(self, run: OrderSearch, found_by: str) -> None:
        if run.best.length_mm - self.request.gap_mm < self.best.length_mm:
            self.best.offer(placements_of(run.best.spots, self.kinds, self.request.gap_mm), found_by=found_by)

    def _improve(self, runs: list[OrderSearch], command: Sequence[str] | None) -> None:
        """Orders in this process, the library in its own."""
        workers = self.settings.workers - 1 if self.boxy else self.settings.workers
        if self.settings.iterations is not None or workers < 1:
            self._try_orders(runs, 1.0)
            return
        with Packer(pack_job(self.request, self.settings, workers=workers), command=command) as self.packer:
            self._try_orders(runs, 1.0 if self.boxy else _ODD_SHAPES_SHARE)
            while not self.should_stop() and not self.packer.ended and self._has_time_to_wait():
                self._look_at_packer()
                self.budget.pause()
            self._look_at_packer(at_once=True)

    def _has_time_to_wait(self) -> bool:
        return self.budget.seconds() < self.settings.seconds + _GRACE_SECONDS

    def _try_orders(self, runs: list[OrderSearch], share: float) -> None:
        """Anneal under each rule for a while, then afresh under the best of them."""
        rng = Random(self.settings.seed)
        begin = self.budget.share_used()
        step = _TRY_SHARE * (share - begin)
        for number, run in enumerate(runs):
            if not self._anneal(run, rng, (begin + number * step, begin + (number + 1) * step)):
                return
        winner = min(runs, key=lambda run: run.best.length_mm)
        self._anneal(self._order_search(winner.rule), rng, (begin + len(runs) * step, share))

    def _anneal(self, run: OrderSearch, rng: Random, period: tuple[float, float]) -> bool:
        """Run for a period of the budget. False if the search is to stop."""
        begin, end = period
        while True:
            used = self.budget.share_used()
            self._offer(run, "order search")
            self._look_at_packer()
            if self.should_stop():
                return False
            if used >= end:
                return True
            warmth = min(1.0, max(0.0, (end - used) / (end - begin)))
            for _ in range(_TRIALS_BETWEEN_LOOKS):
                self.budget.trials += 1
                run.advance(rng, warmth)

    def _look_at_packer(self, *, at_once: bool = False) -> None:
        if self.packer is None or not (at_once or self.budget.seconds() >= self.next_packing_seconds):
            return
        packing = self.packer.newest()
        if packing is not None and packing.length - self.request.gap_mm < self.best.length_mm:
            self.best.offer(placements_of_packing(self.request, packing), found_by="packing library")
            self.next_packing_seconds = self.budget.seconds() + _SECONDS_BETWEEN_PACKINGS
