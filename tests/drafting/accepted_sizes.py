"""Thousands of random accepted sizes of every form, each form in whichever process is free."""

from __future__ import annotations

import multiprocessing
import os
import traceback
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass

from hypothesis import HealthCheck, given, note, settings

from bagwright.drafting.forms import FORMS, draft_bag
from tests.drafting.measurement_strategies import measurements
from tests.drafting.twists import edges_closed_on_themselves

SIZES_PER_FORM = 2_000


@dataclass(frozen=True, slots=True)
class Trial:
    """How many different sizes of a form held, and the smallest case that did not, if any."""

    held: int
    failure: str = ""


def try_form(key: str, sizes_wanted: int) -> Trial:
    """Draft a form at random accepted sizes; the same ones each time."""
    held: set[tuple[float, ...]] = set()

    @settings(
        max_examples=sizes_wanted,
        derandomize=True,
        database=None,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
    )
    @given(measurements(FORMS[key]))
    def holds(sizes: dict[str, float]) -> None:
        usual = FORMS[key].defaults()
        note(f"sizes other than usual: { {name: size for name, size in sizes.items() if size != usual[name]} }")
        assert not edges_closed_on_themselves(draft_bag(key, sizes))
        held.add(tuple(sizes.values()))

    try:
        holds()
    except Exception as failure:  # noqa: BLE001  # whatever it was, it goes to the process that asked
        return Trial(len(held), "".join(traceback.format_exception(failure)))
    return Trial(len(held))


@contextmanager
def trials_of_all_forms(sizes_wanted: int) -> Iterator[dict[str, Future[Trial]]]:
    """Every form tried, as many at once as there are processors."""
    # A fresh interpreter for each worker: forking a process that runs threads is not safe.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(min(os.cpu_count() or 1, len(FORMS)), mp_context=fresh) as pool:
        yield {key: pool.submit(try_form, key, sizes_wanted) for key in FORMS}
        pool.shutdown(cancel_futures=True)
