"""Photos of the mat that are being looked at: held until newer ones take their place, each step of corrections too."""

from __future__ import annotations

import sqlite3

from bagwright.errors import BrokenPromise, NotKept
from bagwright.model.brought_photo import BroughtPhoto, InStash, PhotoLine
from bagwright.model.found_outline import FoundOutlines, OutlineWishes
from bagwright.store.documents import Documents
from bagwright.store.transaction import transaction

MOST_PHOTOS = 6
"""Older ones make room for a new one."""
PHOTO_TABLES = ("photo", "photo_found", "photo_in_stash")
_MOST_STEPS = 50
_FOUND = Documents[FoundOutlines](FoundOutlines, remembered=8)
_WISHES = Documents[OutlineWishes](OutlineWishes)


def save_photo(connection: sqlite3.Connection, token: str, photo: BroughtPhoto) -> None:
    """Hold a photo under a new token, and let go of all but the last ones."""
    row = (token, photo.name, _WISHES.write(photo.wishes), photo.px_per_mm, photo.data, photo.picture)
    with transaction(connection):
        connection.execute(
            "INSERT INTO photo (token, name, wishes, px_per_mm, data, picture) VALUES (?, ?, ?, ?, ?, ?)", row
        )
        add_step(connection, token, photo.found)
        connection.execute(
            "DELETE FROM photo WHERE number NOT IN (SELECT number FROM photo ORDER BY number DESC LIMIT ?)",
            (MOST_PHOTOS,),
        )


def load_photo(connection: sqlite3.Connection, token: str) -> BroughtPhoto:
    """The photo as it was put right last. Raises `NotKept` once it is let go, or if an older bagwright wrote it."""
    row = connection.execute(
        "SELECT name, wishes, px_per_mm, data, picture FROM photo WHERE token = ?", (token,)
    ).fetchone()
    if row is None:
        raise NotKept(f"photo {token!r}")
    steps = connection.execute(
        "SELECT found FROM photo_found WHERE token = ? ORDER BY step DESC LIMIT 2", (token,)
    ).fetchall()
    kept = connection.execute("SELECT outline, piece_id, version FROM photo_in_stash WHERE token = ?", (token,))
    name, wishes, px_per_mm, data, picture = row
    try:
        wished, found = _WISHES.read(wishes), _FOUND.read(steps[0][0])
    except BrokenPromise as fault:
        raise NotKept(f"photo {token!r}") from fault
    return BroughtPhoto(
        name=name,
        data=data,
        wishes=wished,
        found=found,
        picture=picture,
        px_per_mm=px_per_mm,
        in_stash={number: InStash(piece_id, version) for number, piece_id, version in kept},
        can_undo=len(steps) > 1,
    )


def add_step(connection: sqlite3.Connection, token: str, found: FoundOutlines) -> None:
    """What is in the photo now that it was put right; what it was before is kept for `undo_step`."""
    text, count = _FOUND.write(found), len(found.outlines)
    with transaction(connection):
        (last,) = connection.execute(
            "SELECT coalesce(max(step), 0) FROM photo_found WHERE token = ?", (token,)
        ).fetchone()
        connection.execute(
            "INSERT INTO photo_found (token, step, outlines, found) VALUES (?, ?, ?, ?)", (token, last + 1, count, text)
        )
        connection.execute("DELETE FROM photo_found WHERE token = ? AND step < ?", (token, last + 1 - _MOST_STEPS))


def undo_step(connection: sqlite3.Connection, token: str) -> None:
    """Back to before the last correction; nothing happens if there is none."""
    steps = "SELECT step FROM photo_found WHERE token = :token ORDER BY step DESC"
    is_last, is_not_first = f"step = ({steps} LIMIT 1)", f"EXISTS ({steps} LIMIT 1 OFFSET 1)"
    connection.execute(
        f"DELETE FROM photo_found WHERE token = :token AND {is_last} AND {is_not_first}", {"token": token}
    )


def note_in_stash(connection: sqlite3.Connection, token: str, number: int, piece: InStash) -> None:
    """An outline became this piece of the stash."""
    connection.execute(
        "INSERT OR REPLACE INTO photo_in_stash (token, outline, piece_id, version) VALUES (?, ?, ?, ?)",
        (token, number, piece.piece_id, piece.version),
    )


def list_photos(connection: sqlite3.Connection) -> tuple[PhotoLine, ...]:
    """The photos that are held, the newest first."""
    rows = connection.execute(
        "SELECT token, name,"
        " (SELECT outlines FROM photo_found WHERE token = photo.token ORDER BY step DESC LIMIT 1),"
        " (SELECT count(*) FROM photo_in_stash WHERE token = photo.token)"
        " FROM photo ORDER BY number DESC"
    )
    return tuple(PhotoLine(*row) for row in rows)
