"""Changing the store all or not at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Everything in the block is saved together, or nothing of it. Inside another transaction: part of that one.

    Takes the right to write at once, so two connections wait for each other instead of failing half-way.
    """
    inner = connection.in_transaction
    connection.execute("SAVEPOINT inner_part" if inner else "BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("RELEASE inner_part" if inner else "COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK TO inner_part" if inner else "ROLLBACK")
            if inner:
                connection.execute("RELEASE inner_part")
        raise
