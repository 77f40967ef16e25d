"""Whether anything has changed that answers about bags follow from."""

from __future__ import annotations

import sqlite3

Stamp = tuple[int, int, int, float]

_UNDONE = (
    *("material", "offer", "workroom", "bond", "seller"),
    *("stash_piece", "cutting", "own_layout", "timing"),
)


def stamp_of_the_rest(connection: sqlite3.Connection) -> Stamp:
    """Another value whenever anything but bags, runs and quotes was changed since: materials, prices, layouts.

    Every change of those adds to the history, or to a version where it is undone or redone; layouts that were found
    only ever become shorter or more.
    """
    (entry,) = connection.execute(
        "SELECT coalesce(max(entry), 0) FROM history WHERE kind NOT IN ('bag', 'run', 'quote')"
    ).fetchone()
    count, length_mm = connection.execute("SELECT count(*), total(length_mm) FROM layout").fetchone()
    return int(entry), sum(_versions(connection, table) for table in _UNDONE), int(count), float(length_mm)


def _versions(connection: sqlite3.Connection, table: str) -> int:
    (versions,) = connection.execute(f"SELECT coalesce(sum(version), 0) FROM {table}").fetchone()
    return int(versions)
