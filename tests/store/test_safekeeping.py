"""Everything as one file and back: all of it or nothing, and nothing but our own tables."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from bagwright.errors import StoreRefused
from bagwright.model.bag import Bag
from bagwright.store.bags import list_bags, load_bag, save_bag, undo_bag
from bagwright.store.connection import open_store
from bagwright.store.migrations import MIGRATIONS
from bagwright.store.safekeeping import bring_back, everything

BAG = Bag(id="tote", name="Tote", form="boxed_tote", measurements_mm={"width_mm": 300.0}, stacks={})


@pytest.fixture
def store(tmp_path):
    with closing(open_store(tmp_path)) as connection:
        save_bag(connection, BAG)
        yield connection


def spoilt(data: bytes, folder: Path, *statements: str) -> bytes:
    """The file after somebody else has worked on it."""
    path = folder / "spoilt.sqlite3"
    path.write_bytes(data)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute("PRAGMA writable_schema = ON")
        for statement in statements:
            connection.execute(statement)
    return path.read_bytes()


def test_everything_comes_back_with_its_history(store, tmp_path):
    save_bag(store, replace(load_bag(store, "tote"), name="Wide tote"))
    kept = everything(store)
    save_bag(store, replace(load_bag(store, "tote"), name="Something else"))
    save_bag(store, replace(BAG, id="other", version=0))
    bring_back(store, kept)
    assert [line.name for line in list_bags(store)] == ["Wide tote"]
    assert undo_bag(store, "tote").name == "Tote"
    with closing(open_store(tmp_path / "elsewhere")) as elsewhere:
        bring_back(elsewhere, kept)
        assert load_bag(elsewhere, "tote").name == "Wide tote"


def test_a_file_of_an_older_bagwright_is_brought_up_to_date(store, tmp_path):
    folder = tmp_path / "old"
    with closing(open_store(folder, migrations=MIGRATIONS[:2])) as old:
        save_bag(old, replace(BAG, name="From before"))
        kept = everything(old)
    bring_back(store, kept)
    assert [line.name for line in list_bags(store)] == ["From before"]


@pytest.mark.parametrize(
    "statement",
    [
        "CREATE TRIGGER t AFTER DELETE ON bag BEGIN DELETE FROM material; END",
        "CREATE VIEW v AS SELECT * FROM bag",
        "CREATE TABLE sail (id)",
        "ALTER TABLE bag ADD COLUMN sail TEXT",
        "INSERT INTO migration (number, name) VALUES (999, 'of tomorrow')",
        "UPDATE history SET document = '{}'",
        "UPDATE history SET kind = 'sail'",
        "UPDATE bag SET entry = 999",
        "DELETE FROM migration",
        "DROP TABLE migration",
    ],
)
def test_a_file_that_was_tampered_with_rejects_and_changes_nothing(store, tmp_path, statement):
    kept = spoilt(everything(store), tmp_path, "PRAGMA foreign_keys = OFF", statement)
    save_bag(store, replace(load_bag(store, "tote"), name="As it is now"))
    before = everything(store)
    with pytest.raises(StoreRefused):
        bring_back(store, kept)
    assert everything(store) == before


@pytest.mark.parametrize(
    "spoil",
    [
        lambda b: b[: len(b) // 2],
        lambda b: b[:100],
        lambda b: b"",
        lambda b: b[:4096] + b"\xff" * 8000 + b[12096:],
        lambda b: b"PK" + b,
    ],
)
def test_a_damaged_file_rejects(store, spoil):
    with pytest.raises(StoreRefused):
        bring_back(store, spoil(everything(store)))
    assert [line.name for line in list_bags(store)] == ["Tote"]


def test_layouts_found_by_others_are_left_out(store):
    store.execute("INSERT INTO layout VALUES ('key', 1.0, '{}')")
    kept = everything(store)
    bring_back(store, kept)
    assert store.execute("SELECT count(*) FROM layout").fetchone() == (0,)
    bring_back(store, kept, with_found_layouts=True)
    assert store.execute("SELECT count(*) FROM layout").fetchone() == (1,)


def test_every_table_with_a_history_is_read_through(store):
    from bagwright.store.safekeeping import _DRAWERS

    tables = {name for (name,) in store.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
    with_entry = {t for t in tables if "entry" in {row[1] for row in store.execute(f"PRAGMA table_info({t})")}} - {
        "history"
    }
    assert {drawer.table for drawer in _DRAWERS} == with_entry
