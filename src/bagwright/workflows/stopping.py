"""Ctrl-C on the command line ends a search, not the command: the best found so far is told."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any


@contextmanager
def first_ctrl_c_keeps_the_best() -> Iterator[Callable[[], bool]]:
    """Whether Ctrl-C was pressed, so that a search ends with the best it has; a second one ends the command."""
    asked: list[int] = []

    def hear(number: int, _: object) -> None:
        asked.append(number)
        signal.signal(signal.SIGINT, signal.default_int_handler)

    before = signal.signal(signal.SIGINT, hear)
    try:
        yield lambda: bool(asked)
    finally:
        signal.signal(signal.SIGINT, before)


def keeping_the_best(find: Callable[..., Any]) -> Callable[[bytes], Any]:
    """A search of a text that takes `should_stop`, as one that the first Ctrl-C ends."""

    def found(text: bytes) -> Any:
        with first_ctrl_c_keeps_the_best() as was_asked:
            return find(text, should_stop=was_asked)

    return found
