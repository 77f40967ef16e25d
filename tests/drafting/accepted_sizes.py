"""Thousands of random accepted sizes of every form, each form in whichever process is free."""

from __future__ import annotations

import multiprocessing
import os
import random
import traceback
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass

from bagwright.drafting.forms import FORMS, accept_measurements, draft_bag
from bagwright.errors import FaultyInput
from tests.drafting.measurement_strategies import random_sizes
from tests.drafting.twists import edges_closed_on_themselves

SIZES_PER_FORM = 2_000


@dataclass(frozen=True, slots=True)
class Trial:
    """How many different sizes of a form held, and the first case that did not, made as usual as it can be."""

    held: int
    failure: str = ""


def try_form(key: str, sizes_wanted: int) -> Trial:
    """Draft a form at random accepted sizes; the same ones each time."""
    chance = random.Random(key)
    held: set[tuple[float, ...]] = set()
    while len(held) < sizes_wanted:
        try:
            sizes = random_sizes(FORMS[key], chance)
        except AssertionError as failure:
            return Trial(len(held), str(failure))
        if fault_at(key, sizes):
            return Trial(len(held), _told(key, _most_usual(key, sizes)))
        held.add(tuple(sizes.values()))
    return Trial(len(held))


def fault_at(key: str, sizes: dict[str, float]) -> str:
    """What is wrong with the form at those sizes, if anything."""
    try:
        twisted = edges_closed_on_themselves(draft_bag(key, sizes))
    except Exception as failure:  # noqa: BLE001  # whatever it was, it goes to the process that asked
        return "".join(traceback.format_exception(failure))
    return f"edges are closed on themselves: {twisted}" if twisted else ""


def _most_usual(key: str, sizes: dict[str, float]) -> dict[str, float]:
    """Sizes that fail as well, with each at its default that need not be otherwise."""
    for name, usual in FORMS[key].defaults().items():
        simpler = {**sizes, name: usual}
        if _is_accepted(key, simpler) and fault_at(key, simpler):
            sizes = simpler
    return sizes


def _is_accepted(key: str, sizes: dict[str, float]) -> bool:
    try:
        accept_measurements(FORMS[key], sizes)
    except FaultyInput:
        return False
    return True


def _told(key: str, sizes: dict[str, float]) -> str:
    usual = FORMS[key].defaults()
    unusual = {name: size for name, size in sizes.items() if size != usual[name]}
    return f"{key} at sizes other than usual {unusual}: {fault_at(key, sizes)}"


@contextmanager
def trials_of_all_forms(sizes_wanted: int) -> Iterator[dict[str, Future[Trial]]]:
    """Every form tried, as many at once as there are processors."""
    # A fresh interpreter for each worker: forking a process that runs threads is not safe.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(min(os.cpu_count() or 1, len(FORMS)), mp_context=fresh) as pool:
        yield {key: pool.submit(try_form, key, sizes_wanted) for key in FORMS}
        pool.shutdown(cancel_futures=True)
