"""The one place of this room that reads a clock: how much of the given time is used."""

from __future__ import annotations

import time
from collections.abc import Callable

from bagwright.model.layout import LaySettings

_FIRST_SECONDS = 1.0
_LONGEST_FIRST_SECONDS = 30.0
"""So long a first answer may take: where the time is short or a stop is asked for, and where no time is given."""


class Budget:
    """Seconds and trials of a search, counted from when it is made."""

    def __init__(self, settings: LaySettings) -> None:
        self._settings = settings
        self._start = time.monotonic()
        self.trials = 0

    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self._start

    def share_used(self) -> float:
        """Share of the budget used, by seconds or trials, whichever is further on; 1 or more = used up."""
        used = 0.0
        if self._settings.iterations is not None:
            used = self.trials / self._settings.iterations if self._settings.iterations > 0 else 1.0
        if self._settings.seconds > 0:
            used = max(used, self.seconds() / self._settings.seconds)
        elif self._settings.iterations is None:
            used = 1.0
        return used

    def has_to_answer(self, stop: Callable[[], bool]) -> bool:
        """Whether a first answer is to be cut short; never by the clock in a search by trials alone."""
        if self._settings.iterations is not None and self._settings.seconds <= 0:
            return False
        most = max(self._settings.seconds, _FIRST_SECONDS) if self._settings.seconds > 0 else _LONGEST_FIRST_SECONDS
        seconds = self.seconds()
        return seconds >= most or (seconds >= _FIRST_SECONDS and stop())

    def pause(self) -> None:
        """Leave the machine to others for a moment."""
        time.sleep(0.02)
