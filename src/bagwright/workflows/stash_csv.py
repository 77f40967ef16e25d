"""The stash as a table to keep or to edit elsewhere: one row for each piece, and back.

A row without an id, or with one that the stash never had, adds a rectangle; a row with the id of a piece changes what
is told about it, and its size if it is a rectangle.
"""

from __future__ import annotations

import csv
import io
import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from bagwright.errors import FaultyInput, Problem
from bagwright.model.material import Material
from bagwright.model.money import Money
from bagwright.model.stash import SideUp, StashPiece
from bagwright.store.history import Kept
from bagwright.store.stash import load_stash, save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.store.workroom import load_workroom
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk, load_shelf, new_id
from bagwright.workflows.stash_changes import is_plain_rectangle
from bagwright.workflows.stash_finding import areas_mm2, size_of
from bagwright.workflows.tables import harmless

MOST_ROWS = 2000
COLUMNS = (
    "id",
    "material",
    "length_mm",
    "width_mm",
    "area_mm2",
    "bin",
    "side_up",
    "came_from",
    "dated",
    "value",
    "currency",
    "note",
)
_NEEDED = ("material", "length_mm", "width_mm")
_LONGEST = {"bin": 120, "came_from": 120, "note": 500}
_LONGEST_MM = 20_000.0
_SAME_MM = 0.006
"""Sizes are written to 0.01 mm: one that differs by less was not changed."""
Row = Mapping[str, str]


def stash_as_csv(rows: Iterable[tuple[StashPiece, Material]]) -> bytes:
    """A table of the stash: the largest rectangle in each piece, its area, where it lies, what it is worth."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    told = list(rows)
    areas = areas_mm2([piece for piece, _ in told])
    for (piece, material), area_mm2 in zip(told, areas, strict=True):
        size = size_of(piece)
        cells = (
            piece.id,
            material.name,
            f"{size.length_mm:.2f}",
            f"{size.width_mm:.2f}",
            f"{area_mm2:.0f}",
            piece.bin,
            piece.side_up.value,
            piece.came_from,
            piece.dated.isoformat() if piece.dated else "",
            str(piece.value.for_display()) if piece.value else "",
            piece.value.currency if piece.value else "",
            piece.note,
        )
        writer.writerow(map(harmless, cells))
    return out.getvalue().encode()


def take_in_stash_csv(desk: Desk, data: bytes, *, today: date) -> tuple[int, int]:
    """Add or change every piece of the table; counts of new and of changed ones.

    Nothing is kept unless every row is sound. Raises `FaultyInput` with every fault by row and column.
    """
    rows = _rows(data)
    with desk.store() as store, transaction(store):
        shelf, currency = load_shelf(store), load_workroom(store).currency
        sheets = [one for one in shelf.materials.values() if one.kind.is_sheet and not one.retired]
        kept = {one.value.id: one for one in load_stash(store, with_retired=True)}
        reader, faults = _Reader(sheets, currency, kept, today), Faults()
        pieces: list[StashPiece] = []
        times = Counter(row.get("id", "") for row in rows)
        for number, row in enumerate(rows, start=2):
            found = Faults()
            with found:
                pieces.append(reader.piece(row))
            with found:
                if row.get("id") and times[row["id"]] > 1:
                    raise _refused("id", row["id"], "is used twice", "each id once")
            faults.problems += [replace(one, place=f"row {number}, {one.place}") for one in found.problems]
        faults.raise_if_any()
        new = [piece for piece in pieces if piece.id not in kept]
        changed = [piece for piece in pieces if piece.id in kept and kept[piece.id].value != piece]
        for piece in (*new, *changed):
            save_stash_piece(store, piece, expected_version=kept[piece.id].version if piece.id in kept else 0)
    return len(new), len(changed)


def _rows(data: bytes) -> list[dict[str, str]]:
    try:
        table = csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True)
        rows = [{str(k): v for k, v in row.items() if isinstance(v, str)} for row in table]
    except (UnicodeDecodeError, csv.Error):
        raise _refused("file", "", "is no table of text", "CSV in UTF-8 with a row of names at the top") from None
    names = list(table.fieldnames or ())
    faults = Faults()
    with faults:
        unknown = [name for name in names if name not in COLUMNS]
        if unknown:
            raise _refused("row 1", ", ".join(unknown), "names no column known here", ", ".join(COLUMNS))
    with faults:
        missing = [name for name in _NEEDED if name not in names]
        if missing:
            raise _refused("row 1", ", ".join(missing), "is missing", ", ".join(_NEEDED))
    with faults:
        if not rows or len(rows) > MOST_ROWS:
            raise _refused("file", f"{len(rows)} rows", "is not what is read", f"1 to {MOST_ROWS} rows of pieces")
    faults.raise_if_any()
    return [{name: text.strip().removeprefix("'") for name, text in row.items()} for row in rows]


class _Reader:
    """Reads rows into pieces, each with every fault that it has."""

    def __init__(
        self, sheets: Iterable[Material], currency: str, kept: Mapping[str, Kept[StashPiece]], today: date
    ) -> None:
        self._sheets, self._currency, self._kept, self._today = list(sheets), currency, kept, today

    def piece(self, row: Row) -> StashPiece:
        """The piece of a row."""
        faults, read = Faults(), dict[str, Any]()
        for name, take in (
            ("material", self._material),
            ("size", self._size),
            ("bin", lambda row: self._text("bin", row)),
            ("came_from", lambda row: self._text("came_from", row)),
            ("note", lambda row: self._text("note", row)),
            ("side_up", self._side_up),
            ("dated", self._dated),
            ("value", self._value),
            ("before", self._before),
        ):
            with faults:
                read[name] = take(row)
        faults.raise_if_any()
        return self._made(read, row)

    def _made(self, read: dict[str, Any], row: Row) -> StashPiece:
        material, before = read.pop("material"), read.pop("before")
        (long, wide), told = read.pop("size"), {name: value for name, value in read.items() if value is not None}
        outer = ((0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide))
        if before is None:
            grain = 0.0 if material.kind.has_grain else None
            name = row.get("id") or new_id(material.name)
            told.setdefault("dated", self._today)
            return StashPiece(id=name, material_id=material.id, outer=outer, grain_deg=grain, **told)
        size = size_of(before)
        is_same = abs(size.length_mm - long) < _SAME_MM and abs(size.width_mm - wide) < _SAME_MM
        if not is_same and not is_plain_rectangle(before):
            raise _refused("length_mm", f"{long:g} x {wide:g}", "is the size of an odd shape", "its size as it was")
        kept_value = before.value
        if kept_value and told.get("value") == Money(kept_value.for_display(), kept_value.currency):
            told["value"] = kept_value  # written to the cent, kept exact
        made: StashPiece = replace(before, material_id=material.id, outer=before.outer if is_same else outer, **told)
        return made

    def _material(self, row: Row) -> Material:
        wanted = row.get("material", "")
        found = [one for one in self._sheets if wanted in (one.id, one.name)]
        if not wanted or len(found) != 1:
            what = "is the name of several materials" if found else "is not on the shelf"
            raise _refused("material", wanted, what, "the name or id of a sheet on your shelf")
        return found[0]

    def _size(self, row: Row) -> tuple[float, float]:
        faults, sizes = Faults(), [0.0, 0.0]
        for at, name in enumerate(("length_mm", "width_mm")):
            with faults:
                sizes[at] = _size_mm(name, row.get(name, ""))
        faults.raise_if_any()
        return sizes[0], sizes[1]

    def _text(self, name: str, row: Row) -> str | None:
        text = row.get(name)
        if text is not None and (len(text) > _LONGEST[name] or not text.isprintable()):
            raise _refused(name, text, "is too long, or cannot be shown", f"up to {_LONGEST[name]} visible signs")
        return text

    def _side_up(self, row: Row) -> SideUp | None:
        text = row.get("side_up", "")
        if text and text not in set(SideUp):
            raise _refused("side_up", text, "is not one of the choices", ", ".join(SideUp))
        return SideUp(text) if text else None

    def _dated(self, row: Row) -> date | None:
        text = row.get("dated", "")
        try:
            return date.fromisoformat(text) if text else None
        except ValueError:
            raise _refused("dated", text, "is no day", "a day such as 2026-03-01, or nothing") from None

    def _value(self, row: Row) -> Money | None:
        text, currency = row.get("value", ""), row.get("currency", "") or self._currency
        if not text:
            return None
        try:
            amount = Decimal(text)
        except InvalidOperation:
            amount = Decimal(-1)
        if not amount.is_finite() or not 0 <= amount <= 1_000_000:
            raise _refused("value", text, "is not an amount of money", "0 to 1000000 with a decimal point")
        if currency != self._currency:
            raise _refused("currency", currency, "is not the money of your workroom", self._currency)
        return Money(amount, currency)

    def _before(self, row: Row) -> StashPiece | None:
        name = row.get("id", "")
        if len(name) > 200 or not name.isprintable():
            raise _refused("id", name, "is too long, or cannot be shown", "up to 200 visible signs, or nothing")
        kept = self._kept.get(name)
        if kept and kept.retired:
            raise _refused("id", name, "is used up", "the id of a piece in the stash, or nothing for a new one")
        return kept.value if kept else None


def _size_mm(name: str, text: str) -> float:
    try:
        size = float(text)
    except ValueError:
        size = math.nan
    if not 1.0 <= size <= _LONGEST_MM:
        raise _refused(name, text, "is no size", "1 to 20000 mm, a number with a decimal point")
    return size


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    remedy = "Correct the table and take it in again; nothing was changed."
    return FaultyInput([Problem(place=place, value=value[:60], what=what, allowed=allowed, remedy=remedy)])
