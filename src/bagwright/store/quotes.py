"""Quotes: kept as they are, put away, brought back."""

from __future__ import annotations

import sqlite3

from bagwright.model.quote import Quote
from bagwright.store import history
from bagwright.store.documents import Documents
from bagwright.store.history import Drawer, Kept

QUOTES = Drawer("quote", Documents[Quote](Quote), lambda quote: {"bag_id": quote.bag_id})


def save_quote(connection: sqlite3.Connection, quote: Quote) -> Kept[Quote]:
    """Keep a new quote. Raises `StaleSave` if there is one of that id: quotes are never changed."""
    return history.save(connection, QUOTES, quote.id, Kept(quote, 0, retired=False))


def load_quotes(connection: sqlite3.Connection, bag_id: str, *, with_retired: bool = False) -> tuple[Kept[Quote], ...]:
    """The quotes of a bag, by number."""
    kept = history.load_all(connection, QUOTES, with_retired=with_retired)
    return tuple(sorted((one for one in kept if one.value.bag_id == bag_id), key=lambda one: one.value.number))


def retire_quote(connection: sqlite3.Connection, quote_id: str, *, expected_version: int) -> Kept[Quote]:
    """Put a quote out of sight; `undo_quote` brings it back. Raises `StaleSave`, `NotKept`."""
    return history.retire(connection, QUOTES, quote_id, expected_version=expected_version)


def undo_quote(connection: sqlite3.Connection, quote_id: str) -> Kept[Quote]:
    """Bring a quote back. Raises `NoAnswer` if it was never put away, `NotKept`."""
    return history.undo(connection, QUOTES, quote_id)
