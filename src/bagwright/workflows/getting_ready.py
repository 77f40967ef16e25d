"""Getting ready: what pages will ask for, worked out before they do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial

from bagwright.errors import BagwrightError
from bagwright.store.stamp import stamp_of_bags, stamp_of_the_rest
from bagwright.workflows.desk import Desk, answers_of, unanswered
from bagwright.workflows.runs import all_runs, view_run
from bagwright.workflows.stash_changes import the_stash
from bagwright.workflows.stash_finding import size_of

_MOST_BAGS = 200


def ready_steps(desk: Desk) -> Iterator[None]:
    """Work out bags, runs and sizes of the stash, as far as they are not known; after each there can be a pause.

    What cannot be worked out is left to the page that says why. Gone through to its end, it does nothing more until
    anything was changed.
    """
    with desk.store() as store:
        stamps = stamp_of_bags(store), stamp_of_the_rest(store)
    if desk.ready.get(stamps):
        return
    for step in _steps(desk):
        with suppress(BagwrightError):
            step()
        yield
    desk.ready.put(stamps, True)


def _steps(desk: Desk) -> Iterator[Callable[[], object]]:
    yield from (partial(answers_of, desk, [bag_id]) for bag_id in unanswered(desk)[:_MOST_BAGS])
    yield from (partial(view_run, desk, run.id) for run in all_runs(desk))
    yield from (partial(size_of, item.piece) for item in the_stash(desk))
