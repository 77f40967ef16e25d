"""Ctrl-C or SIGTERM ends a search on the command line, not the command: the best found so far is told."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

_STOPPING = (signal.SIGINT, signal.SIGTERM)


@contextmanager
def first_stop_keeps_the_best() -> Iterator[Callable[[], bool]]:
    """Whether a stop was asked for, so that a search ends with the best it has; a second one ends the command."""
    asked: list[int] = []

    def hear(number: int, _: object) -> None:
        asked.append(number)
        signal.signal(signal.SIGINT, signal.default_int_handler)
        signal.signal(signal.SIGTERM, signal.SIG_DFL)

    before = {number: signal.signal(number, hear) for number in _STOPPING}
    try:
        yield lambda: bool(asked)
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def keeping_the_best(find: Callable[..., Any]) -> Callable[[bytes], Any]:
    """A search of a text that takes `should_stop`, as one that the first Ctrl-C or SIGTERM ends."""

    def found(text: bytes) -> Any:
        with first_stop_keeps_the_best() as was_asked:
            return find(text, should_stop=was_asked)

    return found
