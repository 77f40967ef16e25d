"""The best checked layout found so far for each request."""

from __future__ import annotations

import math
import sqlite3
from collections.abc import Iterable

from bagwright.errors import BrokenPromise
from bagwright.model.layout import Layout
from bagwright.store.documents import Documents
from bagwright.store.transaction import transaction

_LAYOUTS = Documents[Layout](Layout)


def save_layout(connection: sqlite3.Connection, layout: Layout) -> Layout:
    """Keep the layout if it is shorter than the one kept for the same request; returns the one that is kept now.

    Raises `BrokenPromise` for a layout that has not passed its check.
    """
    if not layout.verdict.passed:
        raise BrokenPromise(f"an unchecked layout is never kept: {layout.verdict}")
    with transaction(connection):
        kept = load_layout(connection, layout.request_hash)
        if kept and kept.length_mm <= layout.length_mm:
            return kept
        connection.execute(
            "INSERT OR REPLACE INTO layout (request_hash, length_mm, document) VALUES (?, ?, ?)",
            (layout.request_hash, layout.length_mm, _LAYOUTS.write(layout)),
        )
    return layout


def load_layout(connection: sqlite3.Connection, request_hash: str) -> Layout | None:
    """The shortest checked layout kept for that request, if any."""
    found = connection.execute("SELECT document FROM layout WHERE request_hash = ?", (request_hash,)).fetchone()
    return _LAYOUTS.read(found[0]) if found else None


def kept_lengths_mm(connection: sqlite3.Connection, request_hashes: Iterable[str]) -> dict[str, float]:
    """How long the layout is that is kept for each request; infinite where there is none."""
    asked = "SELECT coalesce(min(length_mm), ?) FROM layout WHERE request_hash = ?"
    return {one: float(connection.execute(asked, (math.inf, one)).fetchone()[0]) for one in request_hashes}
