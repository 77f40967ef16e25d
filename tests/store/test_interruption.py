"""A change is there whole or not at all, wherever it is cut off; and what was acknowledged is never lost."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from bagwright.model.bag import Bag, Workroom
from bagwright.store.bags import load_bag, redo_bag, retire_bag, save_bag, undo_bag
from bagwright.store.connection import FILE_NAME, open_store
from bagwright.store.layouts import save_layout
from bagwright.store.materials import save_material
from bagwright.store.migrations import MIGRATIONS, migrate
from bagwright.store.transaction import transaction
from bagwright.store.workroom import save_workroom
from tests.store.kept_values import CANVAS, LAYOUT, TOTE

Change = Callable[[sqlite3.Connection], object]


def save_everything(connection: sqlite3.Connection) -> None:
    with transaction(connection):
        save_bag(connection, replace(TOTE, version=4, name="changed"))
        save_material(connection, CANVAS, expected_version=0)
        save_workroom(connection, Workroom(fraction=8))
        save_layout(connection, replace(LAYOUT, length_mm=1.0))


CHANGES: dict[str, Change] = {
    "save": lambda connection: save_bag(connection, replace(TOTE, version=4, name="changed")),
    "new": lambda connection: save_bag(connection, replace(TOTE, id="another")),
    "retire": lambda connection: retire_bag(connection, "tote", expected_version=4),
    "undo": lambda connection: undo_bag(connection, "tote"),
    "redo": lambda connection: redo_bag(connection, "tote"),
    "layout": lambda connection: save_layout(connection, replace(LAYOUT, length_mm=1.0)),
    "everything": save_everything,
}


def filled(folder: Path) -> None:
    """A store in which every change of the table can be made: a bag of four versions, the last one an undo."""
    with closing(open_store(folder)) as connection:
        bag: Bag = TOTE
        for name in ("a", "b", "c"):
            bag = save_bag(connection, replace(bag, name=name))
        undo_bag(connection, "tote")
        save_layout(connection, LAYOUT)


def contents(folder: Path) -> list[str]:
    with closing(open_store(folder)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        return list(connection.iterdump())


def before_and_after(folder: Path, change: Change) -> tuple[list[str], list[str]]:
    filled(folder / "before")
    filled(folder / "after")
    with closing(open_store(folder / "after")) as connection:
        change(connection)
    before, after = contents(folder / "before"), contents(folder / "after")
    assert before != after
    return before, after


@pytest.mark.parametrize("name", CHANGES)
def test_a_crash_between_any_two_statements_leaves_the_old_or_the_new(tmp_path, name):
    """A copy of the files at the start of every statement is what a crash at that moment would leave."""
    before, after = before_and_after(tmp_path, CHANGES[name])
    filled(tmp_path / "live")
    copies: list[Path] = []

    def copy_files(_: str) -> None:
        copy = tmp_path / f"crash {len(copies)}"
        copy.mkdir()
        for suffix in ("", "-wal"):
            if (source := tmp_path / "live" / (FILE_NAME + suffix)).exists():
                shutil.copy(source, copy)
        copies.append(copy)

    with closing(open_store(tmp_path / "live")) as connection:
        connection.set_trace_callback(copy_files)
        CHANGES[name](connection)
        copy_files("after the last statement")
        connection.set_trace_callback(None)
    found = [contents(copy) for copy in copies]
    assert len(found) >= 5
    assert all(one in (before, after) for one in found)
    assert (found[0], found[-1]) == (before, after)


def stop_after(steps: int) -> Callable[[], int]:
    """Asked before each step of SQLite's own machine: not 0 stops the statement, from the step `steps` + 1 on."""
    remaining = iter(range(steps))
    return lambda: int(next(remaining, None) is None)


@pytest.mark.parametrize("name", CHANGES)
def test_an_error_within_any_statement_leaves_the_old_or_the_new(tmp_path, name):
    """SQLite is told to stop after 0, 3, 6... of its own steps, until the change gets through.

    The very last step of the commit reports the stop although the change is saved: then the new is there, whole.
    """
    before, after = before_and_after(tmp_path, CHANGES[name])
    filled(tmp_path / "live")
    stopped = 0
    with closing(open_store(tmp_path / "live")) as connection:
        while True:
            connection.set_progress_handler(stop_after(3 * stopped), 1)
            try:
                CHANGES[name](connection)
                break
            except sqlite3.OperationalError:
                connection.set_progress_handler(None, 1)
                stopped += 1
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                found = list(connection.iterdump())
                if found == after:
                    break
                assert found == before
        connection.set_progress_handler(None, 1)
    assert stopped > 10
    assert contents(tmp_path / "live") == after


def test_an_error_within_a_migration_leaves_an_empty_file_that_can_be_migrated():
    stopped = 0
    while True:
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
            connection.set_progress_handler(stop_after(25 * stopped), 1)
            try:
                migrate(connection, MIGRATIONS[:1])
                break
            except sqlite3.OperationalError:
                connection.set_progress_handler(None, 1)
                stopped += 1
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                assert connection.execute("SELECT count(*) FROM sqlite_schema").fetchone() == (0,)
                migrate(connection, MIGRATIONS[:1])
    assert stopped > 10


KEEP_SAVING = """
import os, sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.connection import open_store
from bagwright.store.transaction import transaction
def tell(what):
    os.write(1, f"{what}\\n".encode())  # at once, so that no kill cuts it in two
def save_for_ever():
    tell(os.getpid())
    with closing(open_store(Path(sys.argv[1]))) as connection:
        left, right = load_bag(connection, "left"), load_bag(connection, "right")
        while True:
            with transaction(connection):
                left = save_bag(connection, replace(left, name=f"number {left.version + 1}"))
                right = save_bag(connection, replace(right, name=f"number {right.version + 1}"))
            tell(left.version)
with closing(open_store(Path(sys.argv[1]))) as connection:
    load_bag(connection, "left")
for _ in sys.stdin:
    writer = os.fork()
    if not writer:
        save_for_ever()
    os.waitpid(writer, 0)
    tell("killed")
"""
"""Begins a process that saves for ever, whenever it is asked to: so imports and readers are paid for once."""
KILLS, MOST_SAVES = 100, 6


def killed_while_saving(nursery: subprocess.Popen[str], moments: random.Random) -> list[int]:
    """A new process is killed in the midst of its saves; the versions that it acknowledged before."""
    assert nursery.stdin and nursery.stdout
    nursery.stdin.write("one more\n")
    nursery.stdin.flush()
    writer, *said = [int(nursery.stdout.readline()) for _ in range(1 + moments.randint(1, MOST_SAVES))]
    time.sleep(moments.uniform(0, 0.004))
    os.kill(writer, signal.SIGKILL)
    return said + [int(line) for line in iter(nursery.stdout.readline, "killed\n")]


def test_a_killed_process_loses_nothing_it_has_acknowledged(tmp_path):
    """100 processes are killed at random moments, over 300 saves and more."""
    moments = random.Random(20261125)
    with closing(open_store(tmp_path)) as connection:
        for key in ("left", "right"):
            save_bag(connection, replace(TOTE, id=key, name="number 1"))
    version = 1
    command = [sys.executable, "-c", KEEP_SAVING, str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as nursery:
        for number in range(KILLS):
            acknowledged = killed_while_saving(nursery, moments)
            if number % 10 == 0:
                contents(tmp_path)
            with closing(open_store(tmp_path)) as connection:
                left, right = load_bag(connection, "left"), load_bag(connection, "right")
            assert acknowledged == list(range(version + 1, acknowledged[-1] + 1))
            assert left.version in (acknowledged[-1], acknowledged[-1] + 1)
            assert (left.name, right.name, right.version) == (f"number {left.version}",) * 2 + (left.version,)
            version = left.version
    assert version > 300
    contents(tmp_path)
