"""Layouts that the maker laid herself, one for each request, with their history."""

from __future__ import annotations

import sqlite3

from bagwright.errors import BrokenPromise, NotKept
from bagwright.model.layout import Layout
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept
from bagwright.store.transaction import transaction

OWN_LAYOUTS = Drawer("own_layout", Documents[Layout](Layout), lambda _: {})


def save_own_layout(connection: sqlite3.Connection, layout: Layout) -> Kept[Layout]:
    """Keep the layout for its request, over the one laid before, if any: `step_back_own_layout` undoes it.

    Raises `BrokenPromise` for a layout that has not passed its check.
    """
    if not layout.verdict.passed:
        raise BrokenPromise(f"an unchecked layout is never kept: {layout.verdict}")
    with transaction(connection):
        version = _version(connection, layout.request_hash)
        return history.save(connection, OWN_LAYOUTS, layout.request_hash, Kept(layout, version, retired=False))


def load_own_layout(connection: sqlite3.Connection, request_hash: str) -> Layout | None:
    """The layout that she laid for that request and did not lay aside, if any."""
    try:
        kept = history.load(connection, OWN_LAYOUTS, request_hash)
    except NotKept:
        return None
    return None if kept.retired else kept.value


def lay_aside_own_layout(connection: sqlite3.Connection, request_hash: str) -> None:
    """Use the layout that was found again; `step_back_own_layout` undoes it. Nothing happens if there is none."""
    with transaction(connection):
        if load_own_layout(connection, request_hash):
            version = _version(connection, request_hash)
            history.retire(connection, OWN_LAYOUTS, request_hash, expected_version=version)


def step_back_own_layout(connection: sqlite3.Connection, request_hash: str) -> None:
    """Undo the last change: to her layout before it, or to none before her first. Nothing happens without any."""
    with transaction(connection):
        if history.has_earlier(connection, OWN_LAYOUTS, request_hash):
            history.undo(connection, OWN_LAYOUTS, request_hash)
        else:
            lay_aside_own_layout(connection, request_hash)


def can_step_back(connection: sqlite3.Connection, request_hash: str) -> bool:
    """Whether `step_back_own_layout` would change anything."""
    if load_own_layout(connection, request_hash):
        return True
    return _version(connection, request_hash) > 0 and history.has_earlier(connection, OWN_LAYOUTS, request_hash)


def _version(connection: sqlite3.Connection, request_hash: str) -> int:
    try:
        return history.load(connection, OWN_LAYOUTS, request_hash).version
    except NotKept:
        return 0
