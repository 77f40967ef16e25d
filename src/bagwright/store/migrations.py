"""The tables, as numbered migrations: each is applied and recorded in one transaction.

A released migration is never edited; a change of the tables is a new one at the end.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from bagwright.errors import StoreRefused
from bagwright.store.transaction import transaction


@dataclass(frozen=True, slots=True)
class Migration:
    """One step from a version of the tables to the next."""

    name: str
    statements: tuple[str, ...]


# A row of `bag`, `material`, `offer` or `workroom` holds what is asked for in queries and points at the entry of
# `history` that holds the document. Entries are never changed or deleted: undo points at an earlier one.
_KEEP_THE_SHELF = Migration(
    "keep bags, materials, offers, the workroom and layouts",
    (
        """CREATE TABLE history (
            entry INTEGER PRIMARY KEY,
            kind TEXT NOT NULL,
            id TEXT NOT NULL,
            before INTEGER REFERENCES history (entry),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            document TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX history_after ON history (before)",
        """CREATE TABLE bag (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            name TEXT NOT NULL,
            form TEXT NOT NULL
        ) STRICT""",
        """CREATE TABLE material (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            name TEXT NOT NULL,
            kind TEXT NOT NULL
        ) STRICT""",
        """CREATE TABLE offer (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            material_id TEXT NOT NULL REFERENCES material (id)
        ) STRICT""",
        "CREATE INDEX offer_of_material ON offer (material_id)",
        """CREATE TABLE workroom (
            id TEXT PRIMARY KEY CHECK (id = 'workroom'),
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired = 0),
            entry INTEGER NOT NULL REFERENCES history (entry)
        ) STRICT""",
        """CREATE TABLE layout (
            request_hash TEXT PRIMARY KEY,
            length_mm REAL NOT NULL CHECK (length_mm >= 0),
            document TEXT NOT NULL
        ) STRICT""",
    ),
)

_KEEP_PICTURES = Migration(
    "keep pictures",
    (
        """CREATE TABLE picture (
            id TEXT PRIMARY KEY,
            media_type TEXT NOT NULL,
            data BLOB NOT NULL
        ) STRICT""",
    ),
)

# The tables stay as they are. But a bagwright that does not know of pieces in a bag would read a bag without them and
# lose them when it saves it: the number keeps it out.
_KEEP_OWN_PIECES = Migration("keep pieces of the maker's own in bags", ())

_KEEP_THE_STASH = Migration(
    "keep the stash, cuttings and layouts of the maker's own",
    (
        """CREATE TABLE stash_piece (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            material_id TEXT NOT NULL REFERENCES material (id),
            cutting_id TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX stash_piece_of_material ON stash_piece (material_id)",
        """CREATE TABLE cutting (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            bag_id TEXT NOT NULL,
            material_id TEXT NOT NULL REFERENCES material (id)
        ) STRICT""",
        "CREATE INDEX cutting_of_bag ON cutting (bag_id)",
        """CREATE TABLE own_layout (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry)
        ) STRICT""",
    ),
)

_KEEP_BONDS = Migration(
    "keep how firmly two materials hold to each other",
    (
        """CREATE TABLE bond (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            outer_id TEXT NOT NULL REFERENCES material (id),
            inner_id TEXT NOT NULL REFERENCES material (id)
        ) STRICT""",
    ),
)

_KEEP_RUNS = Migration(
    "keep runs, and what sellers ask besides prices",
    (
        """CREATE TABLE run (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            name TEXT NOT NULL
        ) STRICT""",
        """CREATE TABLE seller (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry)
        ) STRICT""",
    ),
)

_KEEP_TIMES = Migration(
    "keep how long steps of the work took",
    (
        """CREATE TABLE timing (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            bag_id TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX timing_of_bag ON timing (bag_id)",
    ),
)

_KEEP_QUOTES = Migration(
    "keep quotes",
    (
        """CREATE TABLE quote (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL CHECK (version > 0),
            retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
            entry INTEGER NOT NULL REFERENCES history (entry),
            bag_id TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX quote_of_bag ON quote (bag_id)",
    ),
)

_KEEP_PHOTOS = Migration(
    "keep photos that are looked at",
    (
        """CREATE TABLE photo (
            number INTEGER PRIMARY KEY,
            token TEXT NOT NULL UNIQUE,
            name TEXT NOT NULL,
            wishes TEXT NOT NULL,
            px_per_mm REAL NOT NULL,
            data BLOB NOT NULL,
            picture BLOB NOT NULL
        ) STRICT""",
        """CREATE TABLE photo_found (
            token TEXT NOT NULL REFERENCES photo (token) ON DELETE CASCADE,
            step INTEGER NOT NULL,
            outlines INTEGER NOT NULL,
            found TEXT NOT NULL,
            PRIMARY KEY (token, step)
        ) STRICT""",
        """CREATE TABLE photo_in_stash (
            token TEXT NOT NULL REFERENCES photo (token) ON DELETE CASCADE,
            outline INTEGER NOT NULL,
            piece_id TEXT NOT NULL,
            version INTEGER NOT NULL,
            PRIMARY KEY (token, outline)
        ) STRICT""",
    ),
)

MIGRATIONS: tuple[Migration, ...] = (
    _KEEP_THE_SHELF,
    _KEEP_PICTURES,
    _KEEP_OWN_PIECES,
    _KEEP_THE_STASH,
    _KEEP_BONDS,
    _KEEP_RUNS,
    _KEEP_TIMES,
    _KEEP_QUOTES,
    _KEEP_PHOTOS,
)


def migrate(connection: sqlite3.Connection, migrations: tuple[Migration, ...] = MIGRATIONS) -> None:
    """Apply each migration that the file has not seen, in order."""
    for number, migration in enumerate(migrations, start=1):
        if _applied(connection) >= number:
            continue
        with transaction(connection):
            if _applied(connection) >= number:  # another process was faster
                continue
            connection.execute(
                "CREATE TABLE IF NOT EXISTS migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT"
            )
            for statement in migration.statements:
                connection.execute(statement)
            connection.execute("INSERT INTO migration (number, name) VALUES (?, ?)", (number, migration.name))


def refuse_unknown(connection: sqlite3.Connection, migrations: tuple[Migration, ...] = MIGRATIONS) -> None:
    """Raises `StoreRefused` for a database that is not ours, or that a newer bagwright has migrated further."""
    names = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema")}
    if names and "migration" not in names:
        raise StoreRefused("it is a database, but not one of bagwright. Use another folder.")
    known, applied = len(migrations), _applied(connection)
    if applied > known:
        raise StoreRefused(
            f"it was written by a newer bagwright (its tables are at step {applied}, this one knows {known}). "
            "Use the newer one, or another folder."
        )


def _applied(connection: sqlite3.Connection) -> int:
    if connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'migration'").fetchone() is None:
        return 0
    (number,) = connection.execute("SELECT coalesce(max(number), 0) FROM migration").fetchone()
    return int(number)
