"""The one place of this room that reads a clock: how much of the given time is used."""

from __future__ import annotations

import time

from bagwright.model.layout import LaySettings


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

    def pause(self) -> None:
        """Leave the machine to others for a moment."""
        time.sleep(0.02)
