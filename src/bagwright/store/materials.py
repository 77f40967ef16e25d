"""Materials on the shelf, and the offers they are bought from."""

from __future__ import annotations

import sqlite3

from bagwright.errors import NotKept
from bagwright.model.material import Material, Offer
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept
from bagwright.store.transaction import transaction

# The kinds of offer need no mark: no kind has all the fields that another one requires.
OFFERS = Drawer("offer", Documents[Offer](Offer), lambda offer: {"material_id": offer.material_id})
MATERIALS = Drawer(
    "material",
    Documents[Material](Material),
    lambda material: {"name": material.name, "kind": material.kind.value},
)


def save_material(connection: sqlite3.Connection, material: Material, *, expected_version: int) -> Kept[Material]:
    """Keep a material as its next version; `expected_version` is the one it was made from, 0 if new.

    `material.retired` puts it out of sight. Raises `StaleSave` if it was changed elsewhere since.
    """
    kept = Kept(material, expected_version, material.retired)
    return history.save(connection, MATERIALS, material.id, kept)


def load_material(connection: sqlite3.Connection, material_id: str) -> Kept[Material]:
    """The material of that id, retired or not. Raises `NotKept`."""
    return history.load(connection, MATERIALS, material_id)


def load_materials(connection: sqlite3.Connection, *, with_retired: bool = False) -> tuple[Kept[Material], ...]:
    """All materials, by id."""
    return history.load_all(connection, MATERIALS, with_retired=with_retired)


def undo_material(connection: sqlite3.Connection, material_id: str) -> Kept[Material]:
    """The material before its last change, kept as a new version. Raises `NoAnswer`, `NotKept`."""
    return history.undo(connection, MATERIALS, material_id)


def redo_material(connection: sqlite3.Connection, material_id: str) -> Kept[Material]:
    """What the last undo took back. Raises `NoAnswer`, `NotKept`."""
    return history.redo(connection, MATERIALS, material_id)


def can_undo_material(connection: sqlite3.Connection, material_id: str) -> bool:
    """Whether there is a change that `undo_material` could take back."""
    return history.has_earlier(connection, MATERIALS, material_id)


def can_redo_material(connection: sqlite3.Connection, material_id: str) -> bool:
    """Whether there is something that `redo_material` could bring back."""
    return history.has_later(connection, MATERIALS, material_id)


def save_offer(connection: sqlite3.Connection, offer: Offer, *, expected_version: int) -> Kept[Offer]:
    """Keep an offer as its next version, 0 if new. Raises `StaleSave`; `NotKept` if its material is not there."""
    with transaction(connection):
        if connection.execute("SELECT 1 FROM material WHERE id = ?", (offer.material_id,)).fetchone() is None:
            raise NotKept(f"material {offer.material_id!r}")
        return history.save(connection, OFFERS, offer.id, Kept(offer, expected_version, retired=False))


def load_offer(connection: sqlite3.Connection, offer_id: str) -> Kept[Offer]:
    """The offer of that id, retired or not. Raises `NotKept`."""
    return history.load(connection, OFFERS, offer_id)


def load_offers(connection: sqlite3.Connection, *, with_retired: bool = False) -> tuple[Kept[Offer], ...]:
    """All offers, by id."""
    return history.load_all(connection, OFFERS, with_retired=with_retired)


def retire_offer(connection: sqlite3.Connection, offer_id: str, *, expected_version: int) -> Kept[Offer]:
    """Put an offer out of sight; `undo_offer` brings it back. Raises `StaleSave`, `NotKept`."""
    return history.retire(connection, OFFERS, offer_id, expected_version=expected_version)


def undo_offer(connection: sqlite3.Connection, offer_id: str) -> Kept[Offer]:
    """The offer before its last change, kept as a new version. Raises `NoAnswer`, `NotKept`."""
    return history.undo(connection, OFFERS, offer_id)


def redo_offer(connection: sqlite3.Connection, offer_id: str) -> Kept[Offer]:
    """What the last undo took back. Raises `NoAnswer`, `NotKept`."""
    return history.redo(connection, OFFERS, offer_id)
