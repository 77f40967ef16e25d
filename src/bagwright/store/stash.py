"""The stash, and the cuttings that leave pieces in it."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import replace

from bagwright.errors import NotKept, StaleSave
from bagwright.model.stash import Cutting, StashPiece
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept
from bagwright.store.transaction import transaction

PIECES = Drawer(
    "stash_piece",
    Documents[StashPiece](StashPiece, remembered=5_000),
    lambda piece: {"material_id": piece.material_id, "cutting_id": piece.cutting_id},
)
CUTTINGS = Drawer(
    "cutting",
    Documents[Cutting](Cutting),
    lambda cutting: {"bag_id": cutting.bag_id, "material_id": cutting.material_id},
)


def save_stash_piece(connection: sqlite3.Connection, piece: StashPiece, *, expected_version: int) -> Kept[StashPiece]:
    """Keep a piece as its next version; `expected_version` is the one it was made from, 0 if new.

    Raises `StaleSave` if it was changed elsewhere since; `NotKept` if its material is not there.
    """
    with transaction(connection):
        _refuse_unknown_material(connection, piece.material_id)
        return history.save(connection, PIECES, piece.id, Kept(piece, expected_version, retired=False))


def load_stash_piece(connection: sqlite3.Connection, piece_id: str) -> Kept[StashPiece]:
    """The piece of that id, retired or not. Raises `NotKept`."""
    return history.load(connection, PIECES, piece_id)


def load_stash(connection: sqlite3.Connection, *, with_retired: bool = False) -> tuple[Kept[StashPiece], ...]:
    """Every piece in the stash, by id."""
    return history.load_all(connection, PIECES, with_retired=with_retired)


def retire_stash_piece(connection: sqlite3.Connection, piece_id: str, *, expected_version: int) -> Kept[StashPiece]:
    """Take a piece out of the stash; `undo_stash_piece` brings it back. Raises `StaleSave`, `NotKept`."""
    return history.retire(connection, PIECES, piece_id, expected_version=expected_version)


def undo_stash_piece(connection: sqlite3.Connection, piece_id: str) -> Kept[StashPiece]:
    """The piece before its last change, kept as a new version. Raises `NoAnswer`, `NotKept`."""
    return history.undo(connection, PIECES, piece_id)


def redo_stash_piece(connection: sqlite3.Connection, piece_id: str) -> Kept[StashPiece]:
    """What the last undo took back. Raises `NoAnswer`, `NotKept`."""
    return history.redo(connection, PIECES, piece_id)


def can_undo_stash_piece(connection: sqlite3.Connection, piece_id: str) -> bool:
    """Whether there is a change that `undo_stash_piece` could take back."""
    return history.has_earlier(connection, PIECES, piece_id)


def undoable_stash_pieces(connection: sqlite3.Connection) -> frozenset[str]:
    """Ids of all pieces that `can_undo_stash_piece` is true of."""
    rows = connection.execute(
        "SELECT row.id FROM stash_piece AS row JOIN history USING (entry) WHERE before IS NOT NULL"
    )
    return frozenset(piece_id for (piece_id,) in rows)


def keep_cutting(
    connection: sqlite3.Connection, cutting: Cutting, pieces: Sequence[StashPiece]
) -> tuple[Kept[Cutting], tuple[Kept[StashPiece], ...]]:
    """One act: that a layout was cut, what it took of the stash and what it left. All of it is kept, or nothing.

    The pieces get the cutting's id, the cutting theirs. Raises `NotKept` if a material is not there, `StaleSave` if a
    piece of the stash that it took is no longer there.
    """
    with transaction(connection):
        _refuse_unknown_material(connection, cutting.material_id)
        for piece_id in cutting.used_ids:
            _take_out(connection, piece_id)
        told = replace(cutting, stash_ids=tuple(piece.id for piece in pieces))
        kept = history.save(connection, CUTTINGS, cutting.id, Kept(told, 0, retired=False))
        saved = tuple(
            save_stash_piece(connection, replace(piece, cutting_id=cutting.id), expected_version=0) for piece in pieces
        )
    return kept, saved


def load_cuttings(connection: sqlite3.Connection, bag_id: str) -> tuple[Kept[Cutting], ...]:
    """The cuttings of a bag that were not taken back, in the order in which they were made."""
    rows = connection.execute("SELECT id FROM cutting WHERE bag_id = ? AND NOT retired ORDER BY rowid", (bag_id,))
    return tuple(history.load(connection, CUTTINGS, cutting_id) for (cutting_id,) in rows.fetchall())


def load_cutting(connection: sqlite3.Connection, cutting_id: str) -> Kept[Cutting]:
    """The cutting of that id, taken back or not. Raises `NotKept`."""
    return history.load(connection, CUTTINGS, cutting_id)


def take_back_cutting(connection: sqlite3.Connection, cutting_id: str, *, expected_version: int) -> tuple[str, ...]:
    """Undo the whole act: the cutting and every piece it left. The ids of the pieces that went out with it.

    What it took of the stash comes back. What was changed or used since goes out too; `bring_cutting_back` brings
    everything as it was. Raises `StaleSave`, `NotKept`.
    """
    with transaction(connection):
        kept = history.load(connection, CUTTINGS, cutting_id)
        gone = []
        for piece_id in kept.value.stash_ids:
            piece = history.load(connection, PIECES, piece_id)
            if not piece.retired:
                history.retire(connection, PIECES, piece_id, expected_version=piece.version)
                gone.append(piece_id)
        for piece_id in kept.value.used_ids:
            _bring_back(connection, piece_id)
        # What is kept of it names the pieces that went out with it, and not those that were used up before.
        taken_back = Kept(replace(kept.value, stash_ids=tuple(gone)), expected_version, retired=True)
        return history.save(connection, CUTTINGS, cutting_id, taken_back).value.stash_ids


def bring_cutting_back(connection: sqlite3.Connection, cutting_id: str) -> Kept[Cutting]:
    """Take back the taking back: the cutting, and the pieces that went out with it. Raises `NotKept`.

    Raises `StaleSave` if it was not taken back, or what it took of the stash is gone.
    """
    with transaction(connection):
        kept = history.load(connection, CUTTINGS, cutting_id)
        if not kept.retired:
            raise StaleSave(f"cutting {cutting_id!r}", expected_version=kept.version - 1, kept_version=kept.version)
        for piece_id in kept.value.stash_ids:
            if history.load(connection, PIECES, piece_id).retired:
                history.undo(connection, PIECES, piece_id)
        for piece_id in kept.value.used_ids:
            _take_out(connection, piece_id)
        return history.undo(connection, CUTTINGS, cutting_id)


def change_cutting(connection: sqlite3.Connection, cutting: Cutting, *, expected_version: int) -> Kept[Cutting]:
    """Keep what is now known of a cutting that stands. Raises `StaleSave`."""
    return history.save(connection, CUTTINGS, cutting.id, Kept(cutting, expected_version, retired=False))


def _take_out(connection: sqlite3.Connection, piece_id: str) -> None:
    piece = history.load(connection, PIECES, piece_id)
    if piece.retired:
        raise StaleSave(f"stash piece {piece_id!r}", expected_version=piece.version - 1, kept_version=piece.version)
    history.retire(connection, PIECES, piece_id, expected_version=piece.version)


def _bring_back(connection: sqlite3.Connection, piece_id: str) -> None:
    piece = history.load(connection, PIECES, piece_id)
    if piece.retired:
        history.save(connection, PIECES, piece_id, Kept(piece.value, piece.version, retired=False))


def _refuse_unknown_material(connection: sqlite3.Connection, material_id: str) -> None:
    if connection.execute("SELECT 1 FROM material WHERE id = ?", (material_id,)).fetchone() is None:
        raise NotKept(f"material {material_id!r}")
