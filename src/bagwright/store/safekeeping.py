"""All that is kept, as one file, and back from such a file: checked through before anything is replaced."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from bagwright.errors import BrokenPromise, StoreRefused
from bagwright.store.bags import BAGS
from bagwright.store.bonds import BONDS
from bagwright.store.connection import FILE_NAME
from bagwright.store.history import Drawer, documents_of
from bagwright.store.materials import MATERIALS, OFFERS
from bagwright.store.migrations import MIGRATIONS, Migration, migrate, refuse_unknown
from bagwright.store.own_layouts import OWN_LAYOUTS
from bagwright.store.photos import PHOTO_TABLES
from bagwright.store.quotes import QUOTES
from bagwright.store.runs import RUNS, TERMS
from bagwright.store.stash import CUTTINGS, PIECES
from bagwright.store.timings import TIMINGS
from bagwright.store.transaction import transaction
from bagwright.store.workroom import WORKROOM

LARGEST_BYTES = 200_000_000
_DRAWERS: tuple[Drawer[Any], ...] = (
    *(BAGS, MATERIALS, OFFERS, WORKROOM, BONDS),
    *(RUNS, TERMS, PIECES, CUTTINGS, OWN_LAYOUTS, TIMINGS, QUOTES),
)
_FOUND_LAYOUTS = "layout"
_OUR_MARK = b"SQLite format 3\x00"


def everything(connection: sqlite3.Connection) -> bytes:
    """The whole store as the bytes of one file, but for photos that are still looked at: those stay on the desk."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / FILE_NAME
        with closing(sqlite3.connect(path, isolation_level=None)) as copy:
            connection.backup(copy)
            _let_photos_go(copy)
        return path.read_bytes()


def _let_photos_go(copy: sqlite3.Connection) -> None:
    names = {name for (name,) in copy.execute("SELECT name FROM sqlite_schema")}
    for table in reversed(PHOTO_TABLES) if names.issuperset(PHOTO_TABLES) else ():
        copy.execute(f"DELETE FROM {table}")
    copy.execute("VACUUM")


def kept_documents(connection: sqlite3.Connection) -> dict[str, tuple[tuple[str, int, bool, str], ...]]:
    """All that is kept, drawer by drawer, as `history.documents_of` tells it; without pictures."""
    return {drawer.table: documents_of(connection, drawer.table) for drawer in _DRAWERS}


def bring_back(connection: sqlite3.Connection, data: bytes, *, with_found_layouts: bool = False) -> None:
    """Replace all that is kept by what `data`, from `everything`, holds; in one transaction, so all or nothing.

    `with_found_layouts`: take over layouts that were found too, for files that never left this machine; those of others
    are found anew, for nobody here has checked them. Raises `StoreRefused` for a file that is not ours, is damaged, or
    was written by a newer bagwright; nothing is changed then.
    """
    with _checked(data) as path:
        connection.execute("ATTACH DATABASE ? AS old", (str(path),))
        try:
            _replace_all(connection, with_found_layouts=with_found_layouts)
        finally:
            connection.execute("DETACH DATABASE old")


def _replace_all(connection: sqlite3.Connection, *, with_found_layouts: bool) -> None:
    with transaction(connection):
        connection.execute("PRAGMA defer_foreign_keys = ON")
        for table in _tables(connection):
            connection.execute(f"DELETE FROM main.{table}")
            if table != _FOUND_LAYOUTS or with_found_layouts:
                connection.execute(f"INSERT INTO main.{table} SELECT * FROM old.{table}")


def _tables(connection: sqlite3.Connection) -> list[str]:
    rows = connection.execute("SELECT name FROM main.sqlite_schema WHERE type = 'table' AND name <> 'migration'")
    return [name for (name,) in rows if not name.startswith("sqlite_") and name not in PHOTO_TABLES]


@contextmanager
def _checked(data: bytes) -> Iterator[Path]:
    """The file in a folder of its own, looked through and brought up to date."""
    if len(data) > LARGEST_BYTES:
        raise StoreRefused(f"it is larger than {LARGEST_BYTES // 1_000_000} MB")
    if not data.startswith(_OUR_MARK):
        raise StoreRefused("it is not a file that bagwright keeps everything in")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / FILE_NAME
        path.write_bytes(data)
        try:
            with closing(sqlite3.connect(path, isolation_level=None)) as copy:
                _look_through(copy)
        except (sqlite3.Error, BrokenPromise, UnicodeDecodeError) as fault:
            raise StoreRefused(f"it is damaged ({fault})") from fault
        yield path


def _look_through(copy: sqlite3.Connection) -> None:
    copy.execute("PRAGMA trusted_schema = OFF")
    copy.execute("PRAGMA cell_size_check = ON")
    copy.execute("PRAGMA journal_mode = DELETE")
    refuse_unknown(copy)
    if copy.execute("PRAGMA quick_check(1)").fetchone() != ("ok",):
        raise BrokenPromise("its pages do not fit together")
    _refuse_other_tables(copy)
    migrate(copy)
    if copy.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise BrokenPromise("something in it belongs to nothing")
    _read_every_document(copy)


def _refuse_other_tables(copy: sqlite3.Connection) -> None:
    """Only what our own migrations make: no trigger or view of somebody else's runs here."""
    (steps,) = copy.execute("SELECT coalesce(max(number), 0) FROM migration").fetchone()
    if _schema(copy) != _schema_after(MIGRATIONS[:steps]):
        raise StoreRefused("its tables are not those of bagwright")


def _schema(connection: sqlite3.Connection) -> set[tuple[str, ...]]:
    rows = connection.execute("SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_schema")
    return {row for row in rows if row[1] != "sqlite_stat1"}


def _schema_after(migrations: tuple[Migration, ...]) -> set[tuple[str, ...]]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        migrate(fresh, migrations)
        return _schema(fresh)


def _read_every_document(copy: sqlite3.Connection) -> None:
    """What cannot be read now would stop her later, in the middle of her work."""
    drawers = {drawer.table: drawer for drawer in _DRAWERS}
    for kind, document in copy.execute("SELECT kind, document FROM history"):
        if kind not in drawers:
            raise BrokenPromise(f"it holds {str(kind)[:40]!r}, which nothing here knows")
        try:
            drawers[kind].documents.read(document)
        except BrokenPromise as fault:
            raise BrokenPromise(f"a {kind.replace('_', ' ')} in it cannot be read") from fault
