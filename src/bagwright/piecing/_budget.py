"""The one place of this room that reads a clock: how much of the given time is used."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

from bagwright.model.cover import CoverSettings

_FIRST_ROUNDS = 400
_LEAST_SECONDS, _FIRST_SECONDS = 1.0, 10.0


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
            return self._gone_s() >= settings.seconds
        return settings.iterations is None

    def count(self) -> None:
        """One more round."""
        self._rounds += 1

    def _gone_s(self) -> float:
        return time.monotonic() - self._start


class FirstBudget(Budget):
    """For the first answer, which even the shortest search has: a second at least, and until there is any.

    Then as long as the search is allowed; some seconds where only the first answer is asked for.
    """

    def __init__(
        self, settings: CoverSettings, should_stop: Callable[[], bool] | None, has_answer: Callable[[], bool]
    ) -> None:
        seconds = settings.seconds if settings.seconds > 0 or settings.iterations is not None else _FIRST_SECONDS
        super().__init__(replace(settings, seconds=seconds, iterations=_FIRST_ROUNDS), should_stop)
        self._has_answer = has_answer

    def is_spent(self) -> bool:
        """Whether the search for a first answer must end."""
        if self._rounds < _FIRST_ROUNDS and (self._gone_s() < _LEAST_SECONDS or not self._has_answer()):
            return False
        return super().is_spent()
