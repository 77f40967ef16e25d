"""How long steps of the work took: readings, and timers that run."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from bagwright.model.timing import Timing
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept

TIMINGS = Drawer("timing", Documents[Timing](Timing), lambda timing: {"bag_id": timing.bag_id})


def save_timing(connection: sqlite3.Connection, timing: Timing) -> Timing:
    """Keep the timing as its next version, which is returned. `timing.version` is the one it was made from, 0 if new.

    Raises `StaleSave` if it was changed elsewhere since. Saving one that was taken away brings it back.
    """
    return _versioned(history.save(connection, TIMINGS, timing.id, Kept(timing, timing.version, retired=False)))


def load_timing(connection: sqlite3.Connection, timing_id: str) -> Kept[Timing]:
    """The timing of that id, taken away or not. Raises `NotKept`."""
    kept = history.load(connection, TIMINGS, timing_id)
    return replace(kept, value=_versioned(kept))


def load_timings(connection: sqlite3.Connection) -> tuple[Timing, ...]:
    """All that count or run, as they were begun."""
    found = map(_versioned, history.load_all(connection, TIMINGS))
    return tuple(sorted(found, key=lambda timing: (timing.begun, timing.id)))


def retire_timing(connection: sqlite3.Connection, timing_id: str, *, expected_version: int) -> Timing:
    """Take a timing away; `undo_timing` brings it back. Raises `StaleSave`, `NotKept`."""
    return _versioned(history.retire(connection, TIMINGS, timing_id, expected_version=expected_version))


def undo_timing(connection: sqlite3.Connection, timing_id: str) -> Timing:
    """The timing as it was before its last change, kept as a new version. Raises `NoAnswer` at the first, `NotKept`."""
    return _versioned(history.undo(connection, TIMINGS, timing_id))


def _versioned(kept: Kept[Timing]) -> Timing:
    return replace(kept.value, version=kept.version)
