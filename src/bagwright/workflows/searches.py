"""Looking for shorter layouts while the maker looks on: progress, the best so far, and a stop."""

from __future__ import annotations

import secrets
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from threading import Condition, Thread

from bagwright.cutting.lay import lay_pieces
from bagwright.model.layout import Layout, LaySettings
from bagwright.store.layouts import save_layout
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.desk import Desk, view_bag

SECONDS_PER_CLOTH = 5.0
_TICK_SECONDS = 0.5
_KEPT_SEARCHES = 20


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is: which cloth it is at, the share of its time gone by, and what it found."""

    cloth: str
    share_done: float
    shorter_by_mm: float
    is_done: bool
    fault: str = ""


@dataclass(slots=True)
class Search:
    """One search over the layouts of a bag. `stop` may be called at any time: what was found is kept."""

    id: str
    bag_id: str
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

    def news(self) -> Iterator[Progress]:
        """Progress as it comes, at least every half second, until the search is done."""
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
    """The searches of one desk, by id; the oldest finished ones are forgotten."""

    desk: Desk
    by_id: dict[str, Search] = field(default_factory=dict)

    def start(self, bag_id: str) -> Search:
        """Begin a search for the bag, or give the one that is under way. Raises `NotKept`."""
        for search in self.by_id.values():
            if search.bag_id == bag_id and not search.progress.is_done:
                return search
        sheets = view_bag(self.desk, bag_id).answer.chosen_layouts()
        search = Search(secrets.token_hex(8), bag_id)
        for done in [s.id for s in self.by_id.values() if s.progress.is_done][: -_KEPT_SEARCHES or None]:
            del self.by_id[done]
        self.by_id[search.id] = search
        Thread(target=_search, args=(self.desk, search, sheets), daemon=True).start()
        return search

    def under_way(self, bag_id: str) -> Search | None:
        """The search for that bag that is not done yet."""
        return next((s for s in self.by_id.values() if s.bag_id == bag_id and not s.progress.is_done), None)


def _search(desk: Desk, search: Search, sheets: tuple[SheetLayout, ...]) -> None:
    shorter, fault = 0.0, "The search broke off. What was found before is kept."
    try:
        for number, sheet in enumerate(sheets):
            if search.is_stopped:
                break
            shorter += _search_one(desk, search, sheet, (number, len(sheets), shorter))
        fault = ""
    finally:  # the page must hear of any end, or it would wait for ever
        search.tell(Progress("", 1.0, shorter, True, fault))


def _search_one(desk: Desk, search: Search, sheet: SheetLayout, place: tuple[int, int, float]) -> float:
    """Search one cloth, keep what is better, and say by how much it got shorter."""
    number, of, shorter = place
    start, best_mm = time.monotonic(), sheet.layout.length_mm

    def tell() -> None:
        share = min((time.monotonic() - start) / SECONDS_PER_CLOTH, 1.0)
        gained = shorter + sheet.layout.length_mm - best_mm
        search.tell(Progress(sheet.material.name, (number + share) / of, gained, False))

    def on_better(layout: Layout) -> None:
        nonlocal best_mm
        with desk.store() as store:
            best_mm = min(best_mm, save_layout(store, layout).length_mm)
        tell()

    def should_stop() -> bool:
        tell()
        return search.is_stopped

    tell()
    settings = LaySettings(seconds=SECONDS_PER_CLOTH)
    on_better(lay_pieces(sheet.request, settings=settings, should_stop=should_stop, on_better=on_better))
    return sheet.layout.length_mm - best_mm
