"""Whether anything has changed that answers about bags follow from."""

from __future__ import annotations

import sqlite3

Stamp = tuple[int, int, float]


def stamp_of_the_rest(connection: sqlite3.Connection) -> Stamp:
    """Another value whenever anything but a bag or a run was changed since: materials, prices, settings, layouts.

    Every change of those adds to the history; layouts that were found only ever become shorter or more.
    """
    (entry,) = connection.execute(
        "SELECT coalesce(max(entry), 0) FROM history WHERE kind NOT IN ('bag', 'run')"
    ).fetchone()
    count, length_mm = connection.execute("SELECT count(*), total(length_mm) FROM layout").fetchone()
    return int(entry), int(count), float(length_mm)
