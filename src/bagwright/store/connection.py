"""Opening the one file of the store."""

from __future__ import annotations

import sqlite3
import time
from pathlib import Path

from bagwright.errors import StoreRefused
from bagwright.store.migrations import MIGRATIONS, Migration, migrate, refuse_unknown

Connection = sqlite3.Connection
"""A connection to the store, for rooms that pass one on and never speak to it."""
FILE_NAME = "bagwright.sqlite3"
BUSY_MS = 10_000
"""How long one connection waits for another to finish its change: far longer than any change takes."""
_PAUSE_MS = 20


def open_store(folder: Path, *, migrations: tuple[Migration, ...] = MIGRATIONS) -> sqlite3.Connection:
    """The store in `folder`, made if it is not there, brought up to date. For use in one thread; close it after use.

    Every change that was reported as saved is on the disk (write-ahead log, synchronous), so it survives a kill or a
    power cut. Raises `StoreRefused` if the file is damaged, not ours, or written by a newer bagwright.
    """
    path = folder / FILE_NAME
    connection: sqlite3.Connection | None = None
    try:
        folder.mkdir(parents=True, exist_ok=True)
        connection = sqlite3.connect(path, timeout=BUSY_MS / 1000, isolation_level=None)
        _prepare(connection, migrations)
    except (OSError, sqlite3.Error, StoreRefused) as fault:
        if connection:
            connection.close()
        raise StoreRefused(f"{path} cannot be used as a store: {fault}") from fault
    return connection


def _prepare(connection: sqlite3.Connection, migrations: tuple[Migration, ...]) -> None:
    refuse_unknown(connection, migrations)
    _write_ahead(connection)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA fullfsync = ON")  # macOS: past the cache of the drive too
    connection.execute("PRAGMA foreign_keys = ON")
    migrate(connection, migrations)


def _write_ahead(connection: sqlite3.Connection) -> None:
    """Switch to the write-ahead log. SQLite does not wait for other connections here, so this does."""
    for attempts_left in reversed(range(BUSY_MS // _PAUSE_MS)):
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode != sqlite3.SQLITE_BUSY or not attempts_left:
                raise
            time.sleep(_PAUSE_MS / 1000)
        else:
            return
