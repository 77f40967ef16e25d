"""Rows that keep every version they ever had: saving, retiring, undoing, redoing."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from bagwright.errors import NoAnswer, NotKept, Problem, StaleSave
from bagwright.store.documents import Documents
from bagwright.store.transaction import transaction

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Kept(Generic[T]):
    """A value as it is kept. `version` grows at every change, undo included; name it when saving over this one."""

    value: T
    version: int
    retired: bool


@dataclass(frozen=True, slots=True)
class Drawer(Generic[T]):
    """A table whose rows point into the history. `columns` are those asked for in queries, beside the common ones."""

    table: str
    documents: Documents[T]
    columns: Callable[[T], Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class _Row:
    version: int
    entry: int | None


def save(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str, value: Kept[T]) -> Kept[T]:
    """Keep `value` as the next version of the row; `value.version` is the one it was made from, 0 for a new row.

    Raises `StaleSave` if the row has moved on since, or a new row is there already; nothing is changed then.
    """
    document = drawer.documents.write(value.value)
    with transaction(connection):
        row = _row(connection, drawer, row_id)
        if row.version != value.version:
            what = f"{drawer.table} {row_id!r}"
            raise StaleSave(what, expected_version=value.version, kept_version=row.version)
        entry = connection.execute(
            "INSERT INTO history (kind, id, before, retired, document) VALUES (?, ?, ?, ?, ?)",
            (drawer.table, row_id, row.entry, value.retired, document),
        ).lastrowid
        kept = Kept(value.value, row.version + 1, value.retired)
        _point(connection, drawer, row_id, kept, entry)
    return kept


def load(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str) -> Kept[T]:
    """What the row holds now, retired or not. Raises `NotKept`."""
    found = connection.execute(
        f"SELECT version, row.retired, document FROM {drawer.table} AS row JOIN history USING (entry) WHERE row.id = ?",
        (row_id,),
    ).fetchone()
    if found is None:
        raise NotKept(f"{drawer.table} {row_id!r}")
    version, retired, document = found
    return Kept(drawer.documents.read(document), version, bool(retired))


def load_all(connection: sqlite3.Connection, drawer: Drawer[T], *, with_retired: bool = False) -> tuple[Kept[T], ...]:
    """Everything in the drawer, by id."""
    rows = connection.execute(
        f"SELECT version, row.retired, document FROM {drawer.table} AS row JOIN history USING (entry) "
        "WHERE row.retired <= ? ORDER BY row.id",
        (with_retired,),
    )
    return tuple(Kept(drawer.documents.read(document), version, bool(retired)) for version, retired, document in rows)


def documents_of(connection: sqlite3.Connection, table: str) -> tuple[tuple[str, int, bool, str], ...]:
    """Everything in the drawer of that table, put away or not, as it is written: id, version, retired, JSON text."""
    rows = connection.execute(
        f"SELECT row.id, version, row.retired, document FROM {table} AS row JOIN history USING (entry) ORDER BY row.id"
    )
    return tuple((row_id, version, bool(retired), document) for row_id, version, retired, document in rows)


def retire(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str, *, expected_version: int) -> Kept[T]:
    """Put the row out of sight. Nothing is deleted: `undo` or a new save brings it back."""
    with transaction(connection):
        kept = load(connection, drawer, row_id)
        return save(connection, drawer, row_id, Kept(kept.value, expected_version, True))


def undo(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str) -> Kept[T]:
    """Back to what the row held before its last change. Raises `NoAnswer` at the first version."""
    return _step(connection, drawer, row_id, _BACK)


def has_earlier(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str) -> bool:
    """Whether `undo` would find something to go back to."""
    return _leads(connection, drawer, row_id, _BACK)


def has_later(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str) -> bool:
    """Whether `redo` would find something that was taken back."""
    return _leads(connection, drawer, row_id, _FORWARD)


def redo(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str) -> Kept[T]:
    """Forward again to what the last undo took back. Raises `NoAnswer` if there is nothing."""
    return _step(connection, drawer, row_id, _FORWARD)


@dataclass(frozen=True, slots=True)
class _Way:
    """A way through the history: the query for the entry there, and what to say if there is none."""

    query: str
    lack: str
    allowed: str


_BACK = _Way(
    "SELECT before FROM history WHERE entry = ? AND before IS NOT NULL",
    "has no earlier version",
    "undo at most what was changed",
)
_FORWARD = _Way(
    "SELECT max(entry) FROM history WHERE before = ? HAVING max(entry) IS NOT NULL",
    "has nothing undone",
    "redo only what was undone",
)


def _leads(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str, way: _Way) -> bool:
    row = _row(connection, drawer, row_id)
    return row.entry is not None and connection.execute(way.query, (row.entry,)).fetchone() is not None


def _step(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str, way: _Way) -> Kept[T]:
    with transaction(connection):
        row = _row(connection, drawer, row_id)
        if row.entry is None:
            raise NotKept(f"{drawer.table} {row_id!r}")
        found = connection.execute(way.query, (row.entry,)).fetchone()
        if found is None:
            raise NoAnswer(
                Problem(
                    place=f"{drawer.table}[{row_id}]",
                    value="",
                    what=way.lack,
                    allowed=way.allowed,
                    remedy="Leave it as it is.",
                )
            )
        (entry,) = found
        retired, document = connection.execute(
            "SELECT retired, document FROM history WHERE entry = ?", (entry,)
        ).fetchone()
        kept = Kept(drawer.documents.read(document), row.version + 1, bool(retired))
        _point(connection, drawer, row_id, kept, entry)
    return kept


def _row(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str) -> _Row:
    found = connection.execute(f"SELECT version, entry FROM {drawer.table} WHERE id = ?", (row_id,)).fetchone()
    return _Row(*found) if found else _Row(0, None)


def _point(connection: sqlite3.Connection, drawer: Drawer[T], row_id: str, kept: Kept[T], entry: int | None) -> None:
    values = {
        "id": row_id,
        "version": kept.version,
        "retired": int(kept.retired),
        "entry": entry,
        **drawer.columns(kept.value),
    }
    names, marks = ", ".join(values), ", ".join("?" * len(values))
    changes = ", ".join(f"{name} = excluded.{name}" for name in values if name != "id")
    connection.execute(
        f"INSERT INTO {drawer.table} ({names}) VALUES ({marks}) ON CONFLICT (id) DO UPDATE SET {changes}",
        tuple(values.values()),
    )
