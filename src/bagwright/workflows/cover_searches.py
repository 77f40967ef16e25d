"""Looking for better covers while the maker looks on, for one bag or for all of them."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bagwright.model.cover import CoverSettings
from bagwright.workflows.covering import ScrapTask, scrap_tasks, search_covers
from bagwright.workflows.desk import view_bag
from bagwright.workflows.run_covering import run_scrap_tasks
from bagwright.workflows.runs import view_run
from bagwright.workflows.searches import Progress, Search, Searches, SearchOf

_LEAST_SECONDS_BETWEEN_NEWS = 0.2
BROKE_OFF = "The search broke off. What was found before is kept."


def start_scraps(searches: Searches, bag_id: str, *, settings: CoverSettings | None = None) -> Search:
    """Look for covers of every inner material of a bag, each for as long as the bag's wishes say. Raises `NotKept`.

    `settings`: another budget. A search that is under way is given instead.
    """
    view = view_bag(searches.desk, bag_id)

    return _start(searches, bag_id, SearchOf.SCRAPS, lambda: scrap_tasks(searches.desk, view), settings)


def start_run_scraps(searches: Searches, run_id: str, *, settings: CoverSettings | None = None) -> Search:
    """The same for every inner material of all bags of a run together, as long as the first bag says."""
    view = view_run(searches.desk, run_id)

    return _start(searches, run_id, SearchOf.RUN_SCRAPS, lambda: run_scrap_tasks(view), settings)


def _start(
    searches: Searches,
    name: str,
    of: SearchOf,
    tasks: Callable[[], Sequence[ScrapTask]],
    settings: CoverSettings | None,
) -> Search:
    def work(search: Search) -> None:
        found = tasks()
        until_done(search, lambda: _look(search, found, settings))

    return searches.start_work(work, name, of)


def until_done(search: Search, look: Callable[[], int]) -> None:
    """Look, then tell the end and how many copies are covered: a page that hears of no end would wait for ever."""
    covered, fault = 0, BROKE_OFF
    try:
        covered, fault = look(), ""
    finally:
        search.tell(Progress("", 1.0, 0.0, True, fault, covered))


def _look(search: Search, tasks: Sequence[ScrapTask], settings: CoverSettings | None) -> int:
    covered = 0
    for number, task in enumerate(tasks):
        if search.is_stopped:
            known = task.known
            covered += len(known.done) if known else 0
            continue
        covered += look_at_one(search, task, Place(number, len(tasks), covered), settings)
    return covered


@dataclass(frozen=True, slots=True)
class Place:
    """Which of how many a search is at, and how many copies were covered before it."""

    number: int
    of: int
    covered: int


def look_at_one(search: Search, task: ScrapTask, place: Place, settings: CoverSettings | None) -> int:
    """Search one material, keep what is better, and say how many copies are covered."""
    budget = settings or CoverSettings(seconds=task.view.answer.bag.scraps.seconds)
    start = told = time.monotonic()

    def tell() -> None:
        nonlocal told
        told = time.monotonic()
        share = min((told - start) / budget.seconds, 1.0) if budget.seconds else 0.0
        known = task.known
        covered = place.covered + (len(known.done) if known else 0)
        search.tell(
            Progress(task.material.name, (place.number + share) / place.of, 0.0, is_done=False, covered=covered)
        )

    def should_stop() -> bool:
        if time.monotonic() - told >= _LEAST_SECONDS_BETWEEN_NEWS:
            tell()
        return search.is_stopped

    tell()
    return len(search_covers(task, budget, should_stop=should_stop, on_better=lambda found: tell()).done)
