"""The settings of the workroom: one row."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

from bagwright.errors import NotKept
from bagwright.model.bag import Workroom
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept
from bagwright.store.transaction import transaction

_ID = "workroom"
WORKROOM = Drawer("workroom", Documents[Workroom](Workroom), lambda _: {})


def load_workroom(connection: sqlite3.Connection) -> Workroom:
    """Her settings; the defaults, as version 0, until she has saved any."""
    try:
        return _versioned(history.load(connection, WORKROOM, _ID))
    except NotKept:
        return Workroom()


def save_workroom(connection: sqlite3.Connection, workroom: Workroom) -> Workroom:
    """Keep the settings as their next version. Raises `StaleSave` if they were changed elsewhere since.

    The first change keeps the defaults before it, as version 1, so that it can be undone too.
    """
    with transaction(connection):
        version = workroom.version
        if version == 0:
            version = history.save(connection, WORKROOM, _ID, Kept(Workroom(), 0, retired=False)).version
        return _versioned(history.save(connection, WORKROOM, _ID, Kept(workroom, version, retired=False)))


def can_undo_workroom(connection: sqlite3.Connection) -> bool:
    """Whether there is a change that `undo_workroom` could take back."""
    return history.has_earlier(connection, WORKROOM, _ID)


def can_redo_workroom(connection: sqlite3.Connection) -> bool:
    """Whether there is a change taken back that `redo_workroom` could bring again."""
    return history.has_later(connection, WORKROOM, _ID)


def undo_workroom(connection: sqlite3.Connection) -> Workroom:
    """The settings before their last change, kept as a new version. Raises `NoAnswer`, `NotKept`."""
    return _versioned(history.undo(connection, WORKROOM, _ID))


def redo_workroom(connection: sqlite3.Connection) -> Workroom:
    """What the last undo took back. Raises `NoAnswer`, `NotKept`."""
    return _versioned(history.redo(connection, WORKROOM, _ID))


def _versioned(kept: Kept[Workroom]) -> Workroom:
    return replace(kept.value, version=kept.version)
