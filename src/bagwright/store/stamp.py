"""Whether anything has changed that answers about bags follow from."""

from __future__ import annotations

import sqlite3

Stamp = tuple[int, int, int, float]
AnswerStamp = tuple[int, int]

_ANSWERED_FROM = ("material", "offer", "workroom", "bond", "seller", "cutting", "own_layout", "timing")
_NO_BAGS = (*_ANSWERED_FROM, "stash_piece")


def stamp_of_the_rest(connection: sqlite3.Connection) -> Stamp:
    """Another value whenever anything but bags, runs and quotes was changed since: materials, prices, stash, layouts.

    Every change of those adds to a version, undone or redone ones too; layouts that were found only ever become shorter
    or more.
    """
    return (*_changes(connection, _NO_BAGS), *stamp_of_layouts(connection))


def stamp_of_answers(connection: sqlite3.Connection) -> AnswerStamp:
    """As `stamp_of_the_rest`, of all but pieces in the stash and layouts that were found.

    Answers about bags don't follow from the former; of the latter, each follows from a few that it asked for.
    """
    return _changes(connection, _ANSWERED_FROM)


def stamp_of_layouts(connection: sqlite3.Connection) -> tuple[int, float]:
    """Another value whenever any layout was found since."""
    count, length_mm = connection.execute("SELECT count(*), total(length_mm) FROM layout").fetchone()
    return int(count), float(length_mm)


def stamp_of_bags(connection: sqlite3.Connection) -> tuple[int, int]:
    """Another value whenever any bag was changed since, begun or put away."""
    return _versions(connection, "bag")


def _changes(connection: sqlite3.Connection, tables: tuple[str, ...]) -> tuple[int, int]:
    each = [_versions(connection, table) for table in tables]
    return max(entry for entry, _ in each), sum(versions for _, versions in each)


def _versions(connection: sqlite3.Connection, table: str) -> tuple[int, int]:
    """The latest entry of the history that a row points to, and all versions added up."""
    entry, versions = connection.execute(
        f"SELECT coalesce(max(entry), 0), coalesce(sum(version), 0) FROM {table}"
    ).fetchone()
    return int(entry), int(versions)
