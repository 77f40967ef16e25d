"""Looking for something better while the maker looks on: progress, the best so far, and a stop."""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from functools import partial
from threading import Condition, Lock, Thread

from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.straight_rows import lay_in_rows, rows_hash
from bagwright.model.layout import Layout, LaySettings
from bagwright.store.layouts import save_layout
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.desk import Desk, view_bag
from bagwright.workflows.run_answer import planned_sheets
from bagwright.workflows.runs import view_run

USUAL_SETTINGS = LaySettings(seconds=5.0)
_TICK_SECONDS = 0.5
_LEAST_SECONDS_BETWEEN_NEWS = 0.2
_KEPT_SEARCHES = 20
_PART_ENDED = "Part of the search broke off: looking again may find more."


class SearchOf(StrEnum):
    """What is searched: layouts of a bag or a run, what scraps cover of a bag, all bags for what the stash does, or
    what saves on a bag, by itself or bought for with others."""

    BAG = "bag"
    RUN = "run"
    SCRAPS = "scraps"
    RUN_SCRAPS = "scraps of a run"
    TODAY = "today"
    SAVINGS = "savings"
    SHARED = "shared"


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is: which cloth it is at, the share of its time gone by, and what it found.

    `covered`: how many copies of pieces scraps cover, where those are looked for. `told`: how far it is, and `best`:
    what is best so far, in words, where savings are.
    """

    cloth: str
    share_done: float
    shorter_by_mm: float
    is_done: bool
    fault: str = ""
    covered: int = 0
    told: str = ""
    best: tuple[str, ...] = ()


@dataclass(slots=True)
class Search:
    """One search. `stop` may be called at any time: what was found is kept.

    `bag_id`: the bag or the run that it is for, empty for all bags. `asked`: what of it, as the end of an address.
    """

    id: str
    bag_id: str
    of: SearchOf = SearchOf.BAG
    asked: str = ""
    changed: Condition = field(default_factory=Condition)
    progress: Progress = Progress("", 0.0, 0.0, False)
    is_stopped: bool = False

    def stop(self) -> None:
        """Stop soon and keep the best."""
        with self.changed:
            self.is_stopped = True
            self.changed.notify_all()

    def tell(self, progress: Progress) -> None:
        """Say how far it is."""
        with self.changed:
            self.progress = progress
            self.changed.notify_all()

    def wait(self) -> Progress:
        """How it ended, once it did."""
        with self.changed:
            self.changed.wait_for(lambda: self.progress.is_done)
            return self.progress

    def news(self) -> Iterator[Progress]:
        """Progress as it comes, or what it was half a second ago, until the search is done."""
        while True:
            with self.changed:
                told = self.progress
            yield told
            if told.is_done:
                return
            with self.changed:
                self.changed.wait(_TICK_SECONDS)


@dataclass(frozen=True, slots=True)
class Searches:
    """The searches of one desk, by id; the oldest done ones are forgotten. `settings` is the budget of one cloth."""

    desk: Desk
    settings: LaySettings = USUAL_SETTINGS
    by_id: dict[str, Search] = field(default_factory=dict)
    lock: Lock = field(default_factory=Lock)

    def start(self, bag_id: str) -> Search:
        """Begin a search for the bag, or give the one that is under way. Raises `NotKept`."""
        return self._start_layouts(view_bag(self.desk, bag_id).answer.chosen_layouts(), bag_id, SearchOf.BAG)

    def start_run(self, run_id: str) -> Search:
        """The same for a run: over the layouts that its plan cuts. Raises `NotKept`."""
        return self._start_layouts(tuple(planned_sheets(view_run(self.desk, run_id).answer)), run_id, SearchOf.RUN)

    def _start_layouts(self, sheets: tuple[SheetLayout, ...], bag_id: str, of: SearchOf) -> Search:
        return self.start_work(lambda search: _search(self.desk, search, sheets, self.settings), bag_id, of)

    def start_work(self, work: Callable[[Search], object], bag_id: str, of: SearchOf, *, asked: str = "") -> Search:
        """Begin `work` beside the pages, or give the one of that kind that is under way. It tells its own end."""
        with self.lock:
            if under_way := self._under_way(bag_id, of, asked):
                return under_way
            search = Search(secrets.token_hex(8), bag_id, of, asked)
            for done in [s.id for s in self.by_id.values() if s.progress.is_done][:-_KEPT_SEARCHES]:
                del self.by_id[done]
            self.by_id[search.id] = search
        Thread(target=work, args=(search,), daemon=True).start()
        return search

    def are_under_way(self) -> bool:
        """Whether any search is not done yet."""
        with self.lock:
            return any(not search.progress.is_done for search in self.by_id.values())

    def find(self, search_id: str) -> Search | None:
        """The search of that id, if it is remembered."""
        return self.by_id.get(search_id)

    def under_way(self, bag_id: str, of: SearchOf = SearchOf.BAG, *, asked: str = "") -> Search | None:
        """The search of that kind for that bag (or run) that is not done yet."""
        with self.lock:
            return self._under_way(bag_id, of, asked)

    def _under_way(self, bag_id: str, of: SearchOf, asked: str) -> Search | None:
        return next((s for s in self._of(bag_id, of, asked) if not s.progress.is_done), None)

    def _of(self, bag_id: str, of: SearchOf, asked: str) -> Iterator[Search]:
        return (s for s in self.by_id.values() if (s.bag_id, s.of, s.asked) == (bag_id, of, asked))

    def last_done(self, bag_id: str, of: SearchOf = SearchOf.BAG, *, asked: str = "") -> Progress | None:
        """How the last search of that kind for that bag (or run) ended, if any did."""
        with self.lock:
            done = [s.progress for s in self._of(bag_id, of, asked) if s.progress.is_done]
        return done[-1] if done else None


def _search(desk: Desk, search: Search, sheets: tuple[SheetLayout, ...], settings: LaySettings) -> None:
    shorter, fault = 0.0, "The search broke off. What was found before is kept."
    ended: list[str] = []
    try:
        for number, sheet in enumerate(sheets):
            if search.is_stopped:
                break
            place = (number, len(sheets), shorter)
            shorter += _search_one(desk, search, sheet, place, settings, on_fault=ended.append)
        fault = _PART_ENDED if ended else ""
    finally:  # the page must hear of any end, or it would wait for ever
        search.tell(Progress("", 1.0, shorter, True, fault))


def _search_one(
    desk: Desk,
    search: Search,
    sheet: SheetLayout,
    place: tuple[int, int, float],
    settings: LaySettings,
    *,
    on_fault: Callable[[str], object],
) -> float:
    """Search one cloth, keep what is better, and say by how much it got shorter."""
    number, of, shorter = place
    start, best_mm = time.monotonic(), sheet.layout.length_mm
    told = start

    def tell() -> None:
        nonlocal told
        told = time.monotonic()
        share = min((told - start) / settings.seconds, 1.0) if settings.seconds else 0.0
        gained = shorter + sheet.layout.length_mm - best_mm
        search.tell(Progress(sheet.material.name, (number + share) / of, gained, False))

    def on_better(layout: Layout) -> None:
        nonlocal best_mm
        if layout.length_mm < best_mm:  # the one to beat may be a first answer, which the store has not seen
            with desk.store() as store:
                best_mm = min(best_mm, save_layout(store, layout).length_mm)
        tell()

    def should_stop() -> bool:
        if time.monotonic() - told >= _LEAST_SECONDS_BETWEEN_NEWS:
            tell()
        return search.is_stopped

    tell()
    is_in_rows = sheet.layout.request_hash == rows_hash(sheet.request)
    search_one = lay_in_rows if is_in_rows else partial(lay_pieces, on_fault=on_fault)
    on_better(search_one(sheet.request, settings=settings, should_stop=should_stop, on_better=on_better))
    return sheet.layout.length_mm - best_mm
