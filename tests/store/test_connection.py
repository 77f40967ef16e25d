"""Opening: new, again, in parallel; and files that are refused and left as they are."""

from __future__ import annotations

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from threading import Barrier

import pytest

from bagwright.errors import StaleSave, StoreRefused
from bagwright.store.bags import list_bags, load_bag, save_bag
from bagwright.store.connection import FILE_NAME, open_store
from bagwright.store.migrations import MIGRATIONS, Migration, migrate
from tests.store.kept_values import TOTE


def test_what_was_saved_is_there_after_closing(tmp_path):
    folder = tmp_path / "a" / "b"
    with closing(open_store(folder)) as connection:
        save_bag(connection, TOTE)
    with closing(open_store(folder)) as connection:
        assert load_bag(connection, "tote").name == TOTE.name


@pytest.mark.parametrize(
    ("pragma", "value"), [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", 10_000)]
)
def test_a_store_is_opened_for_safe_writing(connection, pragma, value):
    assert connection.execute(f"PRAGMA {pragma}").fetchone() == (value,)


def test_each_migration_is_recorded(connection):
    assert connection.execute("SELECT number, name FROM migration").fetchall() == [
        (number, migration.name) for number, migration in enumerate(MIGRATIONS, start=1)
    ]


COLOUR = Migration("colour bags", ("ALTER TABLE bag ADD COLUMN colour TEXT NOT NULL DEFAULT 'plain'",))
BROKEN = Migration("half of it", (*COLOUR.statements, "ALTER TABLE nowhere ADD COLUMN colour TEXT"))


def test_an_older_file_is_brought_up_to_date_with_what_it_holds(tmp_path):
    with closing(open_store(tmp_path)) as connection:
        save_bag(connection, TOTE)
    with closing(open_store(tmp_path, migrations=(*MIGRATIONS, COLOUR))) as connection:
        assert connection.execute("SELECT colour FROM bag").fetchall() == [("plain",)]
        assert load_bag(connection, "tote").name == TOTE.name


def test_a_migration_that_fails_leaves_the_file_as_it_was(tmp_path):
    with closing(open_store(tmp_path)) as connection:
        before = list(connection.iterdump())
    with pytest.raises(StoreRefused, match="nowhere"):
        open_store(tmp_path, migrations=(*MIGRATIONS, BROKEN))
    with closing(open_store(tmp_path)) as connection:
        assert list(connection.iterdump()) == before


def test_a_file_of_a_newer_version_is_rejected_and_left_alone(tmp_path):
    open_store(tmp_path, migrations=(*MIGRATIONS, COLOUR)).close()
    before = (tmp_path / FILE_NAME).read_bytes()
    with pytest.raises(StoreRefused, match="newer bagwright"):
        open_store(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == before


def test_a_foreign_database_is_rejected_and_left_alone(tmp_path):
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        connection.execute("CREATE TABLE recipe (name TEXT)")
    before = (tmp_path / FILE_NAME).read_bytes()
    with pytest.raises(StoreRefused, match="not one of bagwright"):
        open_store(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == before


def test_a_file_that_is_no_database_is_rejected_and_left_alone(tmp_path):
    (tmp_path / FILE_NAME).write_bytes(b"a shopping list\n" * 500)
    with pytest.raises(StoreRefused, match="not a database"):
        open_store(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == b"a shopping list\n" * 500


def test_a_folder_that_is_a_file_is_rejected(tmp_path):
    (tmp_path / "data").write_text("")
    with pytest.raises(StoreRefused):
        open_store(tmp_path / "data")


def test_opening_a_new_store_at_once_from_many_sides(tmp_path):
    start = Barrier(6)

    def open_one(_: int) -> int:
        start.wait()
        with closing(open_store(tmp_path)) as connection:
            return len(list_bags(connection))

    for _ in range(5):
        for leftover in tmp_path.iterdir():
            leftover.unlink()
        with ThreadPoolExecutor(6) as pool:
            assert list(pool.map(open_one, range(6))) == [0] * 6


def test_connections_that_write_at_once_wait_for_each_other(tmp_path):
    open_store(tmp_path).close()
    writers, saves = 4, 20

    def write(number: int) -> int:
        stale = 0
        with closing(open_store(tmp_path)) as connection:
            own = replace(TOTE, id=f"own {number}")
            for _ in range(saves):
                own = save_bag(connection, own)
                while True:
                    try:
                        shared = next((line for line in list_bags(connection) if line.id == "shared"), None)
                        save_bag(connection, replace(TOTE, id="shared", version=shared.version if shared else 0))
                        break
                    except StaleSave:
                        stale += 1
        return stale

    with ThreadPoolExecutor(writers) as pool:
        list(pool.map(write, range(writers)))
    with closing(open_store(tmp_path)) as connection:
        versions = {line.id: line.version for line in list_bags(connection)}
    assert versions == {"shared": writers * saves, **{f"own {number}": saves for number in range(writers)}}


def test_a_reader_is_not_held_up_by_a_writer(tmp_path):
    with closing(open_store(tmp_path)) as writer, closing(open_store(tmp_path)) as reader:
        saved = save_bag(writer, TOTE)
        writer.execute("BEGIN IMMEDIATE")
        save_bag(writer, replace(saved, name="not yet"))
        assert load_bag(reader, "tote") == saved
        writer.execute("COMMIT")
        assert load_bag(reader, "tote").name == "not yet"


def test_migrating_twice_changes_nothing(connection):
    before = list(connection.iterdump())
    migrate(connection)
    assert list(connection.iterdump()) == before
