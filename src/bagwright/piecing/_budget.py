"""The one place of this room that reads a clock: how much of the given time is used."""

from __future__ import annotations

import time
from collections.abc import Callable

from bagwright.model.cover import CoverSettings


class Budget:
    """Seconds and rounds of a search, counted from when it is made. A round is one partial cover looked at."""

    def __init__(self, settings: CoverSettings, should_stop: Callable[[], bool] | None = None) -> None:
        self._settings, self._should_stop = settings, should_stop
        self._start = time.monotonic()
        self._rounds = 0

    def is_spent(self) -> bool:
        """Whether the search must end."""
        if self._should_stop and self._should_stop():
            return True
        settings = self._settings
        if settings.iterations is not None and self._rounds >= settings.iterations:
            return True
        if settings.seconds > 0:
            return time.monotonic() - self._start >= settings.seconds
        return settings.iterations is None

    def count(self) -> None:
        """One more round."""
        self._rounds += 1
