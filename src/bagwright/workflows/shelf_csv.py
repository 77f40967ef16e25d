"""The shelf as a table to keep or to edit elsewhere: one row for each material, and back.

Numbers are in the units of the design (mm, g/m2, degrees C, shares). Of a reading there are four columns: the value,
`_low`, `_high` and `_source` ("measured by you: three strips").
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from bagwright.errors import FaultyInput, Problem
from bagwright.model.material import Material
from bagwright.model.source import Reading, SourceKind
from bagwright.store.history import Kept
from bagwright.store.materials import load_materials, save_material
from bagwright.store.transaction import transaction
from bagwright.workflows.contracts import Faults, read_contract
from bagwright.workflows.desk import Desk
from bagwright.workflows.shelf_words import READINGS, MaterialWords, material_from
from bagwright.workflows.tables import harmless

MOST_ROWS = 2000
_PLAIN = tuple(name for name in MaterialWords.model_fields if name not in READINGS)
_BOOLEANS = {"directional", "holes_stay", "half_drop", "laid_double"}
_YES_NO = {"yes": True, "no": False, "true": True, "false": False}
_NUMBERS = {"fusible_sides": int, "overhang_angle_deg": float}
COLUMNS = (*_PLAIN, *(f"{name}{end}" for name in READINGS for end in ("", "_low", "_high", "_source")))


def shelf_as_csv(desk: Desk) -> str:
    """Every material that is not put away."""
    with desk.store() as store:
        materials = [kept.value for kept in load_materials(store)]
    return as_table(COLUMNS, (_row(material) for material in materials))


def _row(material: Material) -> dict[str, str]:
    row = {name: cell(getattr(material, name)) for name in _PLAIN}
    for name in READINGS:
        reading: Reading | None = getattr(material, name)
        if reading:
            row |= reading_cells(name, reading)
    return row


def reading_cells(name: str, reading: Reading) -> dict[str, str]:
    """The four cells of a reading."""
    ends = (reading.value, reading.low, reading.high)
    cells = {f"{name}{end}": repr(float(n)) for end, n in zip(("", "_low", "_high"), ends, strict=True)}
    return {**cells, f"{name}_source": cell(f"{reading.source.kind}: {reading.source.said_by}")}


def cell(value: object) -> str:
    """A value as it stands in the table."""
    return harmless(("yes" if value else "no") if isinstance(value, bool) else str(value))


def take_in_csv(desk: Desk, data: bytes) -> tuple[int, int]:
    """Add or change every material of the table, by its id; counts of new and changed ones.

    Nothing is kept unless every row is sound. Raises `FaultyInput` with every fault by row and column.
    """
    materials = _read_table(data)
    with desk.store() as store, transaction(store):
        before = {kept.value.id: kept for kept in load_materials(store, with_retired=True)}
        changed = [_as_shown(m, before[m.id]) for m in materials if m.id in before and not _is_same(before[m.id], m)]
        new = [m for m in materials if m.id not in before]
        for material in (*new, *changed):
            version = before[material.id].version if material.id in before else 0
            save_material(store, material, expected_version=version)
    return len(new), len(changed)


def _as_shown(material: Material, kept: Kept[Material]) -> Material:
    """With the picture that a table cannot hold."""
    return replace(material, swatch=kept.value.swatch)


def _is_same(kept: Kept[Material], material: Material) -> bool:
    return not kept.retired and _row(kept.value) == _row(material)


def _read_table(data: bytes) -> list[Material]:
    rows = rows_of_table(data, COLUMNS, "material")
    materials: list[Material] = []
    faults = Faults()
    for number, row in enumerate(rows, start=2):
        with faults:
            materials.append(_material(row, number))
    ids = [material.id for material in materials]
    for twice in sorted({one for one in ids if ids.count(one) > 1}):
        with faults:
            raise refused("id", twice, "is used twice", "each id once")
    faults.raise_if_any()
    return materials


def rows_of_table(data: bytes, columns: Sequence[str], what: str) -> list[dict[str, str]]:
    """The rows of a CSV table whose columns are all known; `what` each row tells of. Raises `FaultyInput`."""
    try:
        rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))
    except (UnicodeDecodeError, csv.Error):
        raise refused("file", "", "is no table of text", "CSV in UTF-8 with a row of names at the top") from None
    if not rows:
        raise refused("file", "", f"has no row of a {what}", f"a row of names and at least one of a {what}")
    if len(rows) > MOST_ROWS:
        raise refused("file", str(len(rows)), "has too many rows", f"up to {MOST_ROWS}")
    unknown = [str(name) for name in rows[0] if name not in columns]
    if unknown:
        raise refused("row 1", ", ".join(unknown)[:60], "names no column known here", ", ".join(columns))
    return rows


def as_table(columns: Sequence[str], rows: Iterable[Mapping[str, str]]) -> str:
    """A CSV table of these rows."""
    written = io.StringIO()
    table = csv.DictWriter(written, columns, lineterminator="\r\n")
    table.writeheader()
    table.writerows(rows)
    return written.getvalue()


def _material(row: Mapping[str, str | None], number: int) -> Material:
    """One row through the same contract as JSON; problems name the row."""
    with_text = {name: text.removeprefix("'") for name, text in row.items() if text}
    try:
        words: dict[str, object] = {name: _plain_word(name, with_text[name]) for name in _PLAIN if name in with_text}
        words |= {name: reading_words(name, with_text) for name in READINGS if name in with_text}
        return material_from(read_contract(json.dumps(words).encode(), MaterialWords))
    except FaultyInput as fault:
        raise FaultyInput(replace(p, place=f"row {number}, {p.place}") for p in fault.problems) from None


def _plain_word(name: str, text: str) -> object:
    if name in _BOOLEANS:
        if text.lower() not in _YES_NO:
            raise refused(name, text, "is neither yes nor no", "yes or no")
        return _YES_NO[text.lower()]
    return _NUMBERS[name](number_of(name, text)) if name in _NUMBERS else text


def reading_words(name: str, row: Mapping[str, str]) -> dict[str, object]:
    """The words of the reading in four cells. Raises `FaultyInput`."""
    value = number_of(name, row[name])
    low, high = (number_of(f"{name}{end}", row.get(f"{name}{end}", row[name])) for end in ("_low", "_high"))
    kind, _, said_by = row.get(f"{name}_source", f"{SourceKind.LABEL}: the table").partition(":")
    source = {"kind": kind.strip(), "said_by": said_by.strip() or "the table"}
    return {"value": value, "low": low, "high": high, "source": source}


def number_of(place: str, text: str) -> float:
    """The number in a cell. Raises `FaultyInput`."""
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise refused(place, text, "is not a number", "a number with a decimal point")
    return number


def refused(place: str, text: str, what: str, allowed: str) -> FaultyInput:
    """What to say of a table that cannot be taken in."""
    remedy = "Correct the table and take it in again; nothing was changed."
    return FaultyInput([Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy=remedy)])
