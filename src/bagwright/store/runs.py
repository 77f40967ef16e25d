"""Runs, and what sellers ask besides prices."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from bagwright.model.run import Run
from bagwright.model.run_buying import SellerTerms
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept

RUNS = Drawer("run", Documents[Run](Run), lambda run: {"name": run.name})
TERMS = Drawer("seller", Documents[SellerTerms](SellerTerms), lambda _: {})


def save_run(connection: sqlite3.Connection, run: Run) -> Run:
    """Keep the run as its next version, which is returned. `run.version` is the one it was made from, 0 if new.

    Raises `StaleSave` if it was changed elsewhere since. Saving a run that was put away brings it back.
    """
    return _versioned(history.save(connection, RUNS, run.id, Kept(run, run.version, retired=False)))


def load_run(connection: sqlite3.Connection, run_id: str) -> Run:
    """The run of that id, put away or not. Raises `NotKept`."""
    return _versioned(history.load(connection, RUNS, run_id))


def load_runs(connection: sqlite3.Connection, *, with_retired: bool = False) -> tuple[Run, ...]:
    """All runs, by name."""
    kept = history.load_all(connection, RUNS, with_retired=with_retired)
    return tuple(sorted(map(_versioned, kept), key=lambda run: (run.name, run.id)))


def retire_run(connection: sqlite3.Connection, run_id: str, *, expected_version: int) -> Run:
    """Put a run out of sight; `undo_run` brings it back. Raises `StaleSave`, `NotKept`."""
    return _versioned(history.retire(connection, RUNS, run_id, expected_version=expected_version))


def undo_run(connection: sqlite3.Connection, run_id: str) -> Run:
    """The run as it was before its last change, kept as a new version. Raises `NoAnswer` at the first, `NotKept`."""
    return _versioned(history.undo(connection, RUNS, run_id))


def can_undo_run(connection: sqlite3.Connection, run_id: str) -> bool:
    """Whether there is a change that `undo_run` could take back."""
    return history.has_earlier(connection, RUNS, run_id)


def redo_run(connection: sqlite3.Connection, run_id: str) -> Run:
    """What the last undo took back. Raises `NoAnswer` if there is nothing, `NotKept`."""
    return _versioned(history.redo(connection, RUNS, run_id))


def can_redo_run(connection: sqlite3.Connection, run_id: str) -> bool:
    """Whether there is a change taken back that `redo_run` could bring again."""
    return history.has_later(connection, RUNS, run_id)


def save_seller_terms(connection: sqlite3.Connection, terms: SellerTerms, *, expected_version: int) -> SellerTerms:
    """Keep what a seller asks for; `expected_version` is the one it was made from, 0 if new. Raises `StaleSave`."""
    return history.save(connection, TERMS, terms.seller, Kept(terms, expected_version, retired=False)).value


def load_seller_terms(connection: sqlite3.Connection) -> tuple[Kept[SellerTerms], ...]:
    """What every seller asks for, by name."""
    return history.load_all(connection, TERMS)


def undo_seller_terms(connection: sqlite3.Connection, seller: str) -> SellerTerms:
    """What a seller asked for before the last change, kept as a new version. Raises `NoAnswer`, `NotKept`."""
    return history.undo(connection, TERMS, seller).value


def can_undo_seller_terms(connection: sqlite3.Connection, seller: str) -> bool:
    """Whether there is a change that `undo_seller_terms` could take back."""
    return history.has_earlier(connection, TERMS, seller)


def _versioned(kept: Kept[Run]) -> Run:
    return replace(kept.value, version=kept.version)
