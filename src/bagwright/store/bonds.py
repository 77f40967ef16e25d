"""Bonds of two materials that the maker has tested."""

from __future__ import annotations

import sqlite3

from bagwright.errors import NotKept
from bagwright.model.body import KeptBond
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept
from bagwright.store.transaction import transaction

BONDS = Drawer(
    "bond",
    Documents[KeptBond](KeptBond),
    lambda kept: {"outer_id": kept.outer_id, "inner_id": kept.inner_id},
)


def save_bond(connection: sqlite3.Connection, bond: KeptBond, *, expected_version: int) -> Kept[KeptBond]:
    """Keep a bond as its next version, 0 if these two were never tested so; one that was removed comes back.

    Raises `StaleSave` if it was changed elsewhere since; `NotKept` if one of the materials is not there.
    """
    with transaction(connection):
        for material_id in (bond.outer_id, bond.inner_id):
            if connection.execute("SELECT 1 FROM material WHERE id = ?", (material_id,)).fetchone() is None:
                raise NotKept(f"material {material_id!r}")
        return history.save(connection, BONDS, bond.id, Kept(bond, expected_version, retired=False))


def load_bond(connection: sqlite3.Connection, bond_id: str) -> Kept[KeptBond]:
    """The bond of that id, removed or not. Raises `NotKept`."""
    return history.load(connection, BONDS, bond_id)


def load_bonds(connection: sqlite3.Connection, *, with_retired: bool = False) -> tuple[Kept[KeptBond], ...]:
    """All bonds, by id."""
    return history.load_all(connection, BONDS, with_retired=with_retired)


def retire_bond(connection: sqlite3.Connection, bond_id: str, *, expected_version: int) -> Kept[KeptBond]:
    """Count a bond no longer; `undo_bond` brings it back. Raises `StaleSave`, `NotKept`."""
    return history.retire(connection, BONDS, bond_id, expected_version=expected_version)


def undo_bond(connection: sqlite3.Connection, bond_id: str) -> Kept[KeptBond]:
    """The bond before its last change, kept as a new version. Raises `NoAnswer`, `NotKept`."""
    return history.undo(connection, BONDS, bond_id)


def redo_bond(connection: sqlite3.Connection, bond_id: str) -> Kept[KeptBond]:
    """What the last undo took back. Raises `NoAnswer`, `NotKept`."""
    return history.redo(connection, BONDS, bond_id)


def can_undo_bond(connection: sqlite3.Connection, bond_id: str) -> bool:
    """Whether there is a change that `undo_bond` could take back."""
    return history.has_earlier(connection, BONDS, bond_id)


def can_redo_bond(connection: sqlite3.Connection, bond_id: str) -> bool:
    """Whether there is something that `redo_bond` could bring back."""
    return history.has_later(connection, BONDS, bond_id)
