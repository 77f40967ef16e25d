"""Quiet moments of a server: what would make somebody wait is done while nobody does."""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import Event, Thread

from starlette.types import ASGIApp, Receive, Scope, Send

QUIET_SECONDS = 0.5
"""A page and all that belongs to it is asked for within less."""
_SWITCH_SECONDS = 0.001
_THROUGH_ALL = 20


class Quiet:
    """An application that knows when nobody waits for it. Then it gets ready, step by step, and tidies memory.

    `steps`: what pages will ask for, worked out one thing after the other; asked for anew after every request, so what
    is known already has to cost next to nothing. `is_busy`: whether other work is under way that is waited for.
    """

    def __init__(
        self, app: ASGIApp, *, steps: Callable[[], Iterator[None]], is_busy: Callable[[], bool] = lambda: False
    ) -> None:
        self._app, self._steps, self.is_busy = app, steps, is_busy
        self._waiting, self._last_seconds, self._times_tidied = 0, time.monotonic(), 0
        self._asked, self._ended = Event(), Event()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        self._waiting += 1
        try:
            await self._app(scope, receive, send)
        finally:
            self._waiting -= 1
            self._last_seconds = time.monotonic()
            self._asked.set()

    @contextmanager
    def used(self) -> Iterator[None]:
        """While the block lasts, quiet moments are used."""
        # Between two queries a page waits for whoever works beside it to pause: by default up to 5 ms each time.
        sys.setswitchinterval(_SWITCH_SECONDS)
        beside = Thread(target=self._use, daemon=True)
        beside.start()
        try:
            yield
        finally:
            self._ended.set()
            self._asked.set()
            beside.join()

    def get_ready(self) -> None:
        """Go through the steps, each in a quiet moment."""
        for _ in self._steps():
            if not self._is_quiet_soon():
                return

    def tidy(self) -> None:
        """Let go of what only holds on to itself, and never look through again what is left.

        Python's collector looks through everything it ever made, 0.2 s long in a full workroom, whenever it has made
        enough, which is while somebody waits for a page. What this leaves behind it passes over. Now and then this goes
        through all of it, so that nothing stays for ever that has become waste since.
        """
        self._times_tidied += 1
        if self._times_tidied % _THROUGH_ALL == 0:
            gc.unfreeze()
        gc.collect()
        gc.freeze()

    def _use(self) -> None:
        while self._is_quiet_soon():
            self._asked.clear()
            with suppress(Exception):  # whatever goes wrong here is told by the page that asks for it
                self.get_ready()
            if self._is_quiet_soon():
                self.tidy()
            self._asked.wait()

    def _is_quiet_soon(self) -> bool:
        """Wait until it is quiet; false if this has ended instead."""
        while self._waiting or self.is_busy() or time.monotonic() - self._last_seconds < QUIET_SECONDS:
            if self._ended.wait(QUIET_SECONDS / 5):
                break
        return not self._ended.is_set()
