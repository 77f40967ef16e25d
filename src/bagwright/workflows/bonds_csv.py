"""The tested bonds as a table to keep or to edit elsewhere: one row for each pair, and back.

Materials are named by the ids that the table of the shelf has. Of the scrap's overhang and of a share of bond there are
four columns each, as in that table.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import replace

from bagwright.errors import FaultyInput
from bagwright.model.body import KeptBond
from bagwright.store.bonds import load_bonds, save_bond
from bagwright.store.connection import Connection
from bagwright.store.materials import load_materials
from bagwright.store.transaction import transaction
from bagwright.workflows.bond_json import KeptBondWords, bonds_from
from bagwright.workflows.contracts import Faults, read_contract
from bagwright.workflows.desk import Desk
from bagwright.workflows.shelf_csv import as_table, cell, number_of, reading_cells, reading_words, rows_of_table

_PAIR = ("outer_id", "inner_id", "held")
COLUMNS = (
    *_PAIR,
    *(f"overhang_mm{end}" for end in ("", "_low", "_high", "_source")),
    "angle_deg",
    *(f"share{end}" for end in ("", "_low", "_high", "_source")),
)


def bonds_as_csv(desk: Desk) -> str:
    """Every bond that counts."""
    with desk.store() as store:
        return as_table(COLUMNS, (_row(kept.value) for kept in load_bonds(store)))


def _row(kept: KeptBond) -> dict[str, str]:
    row = {name: cell(getattr(kept, name)) for name in _PAIR}
    swatch, share = kept.bond.swatch, kept.bond.share
    if swatch:
        row |= {**reading_cells("overhang_mm", swatch.overhang_mm), "angle_deg": repr(swatch.angle_deg)}
    return row | (reading_cells("share", share) if share else {})


def take_in_bonds(desk: Desk, data: bytes) -> tuple[int, int]:
    """Add or change every bond of the table; counts of new and changed ones.

    Nothing is kept unless every row is sound and its materials are on the shelf. Raises `FaultyInput` with every fault.
    """
    rows = rows_of_table(data, COLUMNS, "pair")
    with desk.store() as store, transaction(store):
        bonds = _bonds(rows, store)
        before = {kept.value.id: kept for kept in load_bonds(store, with_retired=True)}
        counted = {key: _row(kept.value) for key, kept in before.items() if not kept.retired}
        moved = [bond for bond in bonds if counted.get(bond.id) != _row(bond)]
        for bond in moved:
            save_bond(store, bond, expected_version=before[bond.id].version if bond.id in before else 0)
    new = sum(bond.id not in counted for bond in moved)
    return new, len(moved) - new


def _bonds(rows: list[dict[str, str]], store: Connection) -> tuple[KeptBond, ...]:
    faults, words = Faults(), list[KeptBondWords]()
    for number, row in enumerate(rows, start=2):
        with faults:
            words.append(_words(row, number))
    faults.raise_if_any()
    ids = frozenset(kept.value.id for kept in load_materials(store, with_retired=True))
    try:
        return bonds_from(words, ids)
    except FaultyInput as fault:
        raise FaultyInput(replace(p, place=_in_table(p.place), allowed=_ALLOWED) for p in fault.problems) from None


_ALLOWED = "a pair of materials on the shelf, each pair once, with an overhang or a share"


def _in_table(place: str) -> str:
    """The row of the table for a place such as ``bonds[2].outer_id``."""
    number, _, name = place.removeprefix("bonds[").partition("]")
    return f"row {int(number) + 2}{name.replace('.', ', ')}"


def _words(row: Mapping[str, str | None], number: int) -> KeptBondWords:
    given = {name: text.removeprefix("'") for name, text in row.items() if text}
    try:
        return read_contract(json.dumps(dict(_fields(given))).encode(), KeptBondWords)
    except FaultyInput as fault:
        raise FaultyInput(replace(p, place=f"row {number}, {p.place}") for p in fault.problems) from None


def _fields(given: Mapping[str, str]) -> Iterator[tuple[str, object]]:
    yield from ((name, given[name]) for name in _PAIR if name in given)
    if "overhang_mm" in given:
        angle = {"angle_deg": number_of("angle_deg", given["angle_deg"])} if "angle_deg" in given else {}
        yield "swatch", {"overhang_mm": reading_words("overhang_mm", given), **angle}
    if "share" in given:
        yield "share", reading_words("share", given)
