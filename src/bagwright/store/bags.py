"""Bags: saving, listing, retiring, undoing."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass, replace

from bagwright.model.bag import Bag
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept

BAGS = Drawer("bag", Documents[Bag](Bag), lambda bag: {"name": bag.name, "form": bag.form})


@dataclass(frozen=True, slots=True, kw_only=True)
class BagLine:
    """One bag in a list."""

    id: str
    name: str
    form: str
    version: int
    retired: bool


def save_bag(connection: sqlite3.Connection, bag: Bag) -> Bag:
    """Keep the bag as its next version, which is returned. `bag.version` is the one it was made from, 0 if new.

    Raises `StaleSave` if it was changed elsewhere since. Saving a retired bag brings it back.
    """
    return _versioned(history.save(connection, BAGS, bag.id, Kept(bag, bag.version, retired=False)))


def load_bag(connection: sqlite3.Connection, bag_id: str) -> Bag:
    """The bag of that id, retired or not. Raises `NotKept`."""
    return _versioned(history.load(connection, BAGS, bag_id))


def list_bags(connection: sqlite3.Connection, *, with_retired: bool = False) -> tuple[BagLine, ...]:
    """All bags by name."""
    rows = connection.execute(
        "SELECT id, name, form, version, retired FROM bag WHERE retired <= ? ORDER BY name, id", (with_retired,)
    )
    return tuple(
        BagLine(id=bag_id, name=name, form=form, version=version, retired=bool(retired))
        for bag_id, name, form, version, retired in rows
    )


def retire_bag(connection: sqlite3.Connection, bag_id: str, *, expected_version: int) -> Bag:
    """Put a bag out of sight; `undo_bag` brings it back. Raises `StaleSave`, `NotKept`."""
    return _versioned(history.retire(connection, BAGS, bag_id, expected_version=expected_version))


def undo_bag(connection: sqlite3.Connection, bag_id: str) -> Bag:
    """The bag as it was before its last change, kept as a new version. Raises `NoAnswer` at the first, `NotKept`."""
    return _versioned(history.undo(connection, BAGS, bag_id))


def can_undo_bag(connection: sqlite3.Connection, bag_id: str) -> bool:
    """Whether there is a change that `undo_bag` could take back."""
    return history.has_earlier(connection, BAGS, bag_id)


def can_redo_bag(connection: sqlite3.Connection, bag_id: str) -> bool:
    """Whether there is a change taken back that `redo_bag` could bring again."""
    return history.has_later(connection, BAGS, bag_id)


def redo_bag(connection: sqlite3.Connection, bag_id: str) -> Bag:
    """What the last undo took back. Raises `NoAnswer` if there is nothing, `NotKept`."""
    return _versioned(history.redo(connection, BAGS, bag_id))


def _versioned(kept: Kept[Bag]) -> Bag:
    return replace(kept.value, version=kept.version)
