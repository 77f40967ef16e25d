"""Pictures, each kept once under the hash of what it holds; values name them by that id."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import dataclass

from bagwright.errors import NotKept
from bagwright.store.transaction import transaction


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture file as it is kept."""

    media_type: str
    data: bytes


def save_picture(connection: sqlite3.Connection, picture: Picture) -> str:
    """Keep a picture and return its id."""
    picture_id = hashlib.sha256(picture.data).hexdigest()[:32]
    with transaction(connection):
        connection.execute(
            "INSERT OR IGNORE INTO picture (id, media_type, data) VALUES (?, ?, ?)",
            (picture_id, picture.media_type, picture.data),
        )
    return picture_id


def load_picture(connection: sqlite3.Connection, picture_id: str) -> Picture:
    """The picture of that id. Raises `NotKept`."""
    found = connection.execute("SELECT media_type, data FROM picture WHERE id = ?", (picture_id,)).fetchone()
    if found is None:
        raise NotKept(f"picture {picture_id!r}")
    return Picture(*found)
