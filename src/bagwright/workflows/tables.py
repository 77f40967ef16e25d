"""Answers and what is kept as plain tables, for a spreadsheet (CSV, one file for each table) or a program (JSON).

Names of columns are those of the values: each says its unit. What lies within a value is told apart by a dot.
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Hashable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import cast

from pydantic import TypeAdapter

from bagwright.errors import NotKept

Row = Mapping[str, object]
Tables = Mapping[str, Sequence[Row]]
CSV_KIND, ZIP_KIND, JSON_KIND = "text/csv; charset=utf-8", "application/zip", "application/json"
TABLE_FILES = ("tables.json", "tables-csv.zip")
_RISKY = ("=", "+", "-", "@", "\t", "\r")
"""What a spreadsheet may take for a formula at the head of a cell of words."""
_NO_DAY = (1980, 1, 1, 0, 0, 0)
"""The same tables make the same bytes."""


def plain_row(value: object) -> dict[str, object]:
    """A value with all its fields, as JSON has them.

    >>> from decimal import Decimal
    >>> from bagwright.model.money import Money
    >>> plain_row(Money(Decimal("1.50"), "EUR"))
    {'amount': '1.50', 'currency': 'EUR'}
    """
    row = _adapter(cast(Hashable, type(value))).dump_python(value, mode="json", fallback=_mapping, warnings=False)
    return dict(row)


@lru_cache
def _adapter(kind: Hashable) -> TypeAdapter[object]:
    return TypeAdapter(cast("type[object]", kind))


def _mapping(value: object) -> object:
    return dict(value) if isinstance(value, Mapping) else str(value)


def tables_as_json(told: str, tables: Tables) -> bytes:
    """All tables in one JSON value, each a list of its rows, a line for each row; `told`: what they are of.

    >>> print(tables_as_json("a bag", {"seam": [{"at": 1}, {"at": 2}], "lack": []}).decode())
    {"of": "a bag", "tables": {
    "seam": [
    {"at": 1},
    {"at": 2}],
    "lack": []}}
    """
    lines = ((name, ",\n".join(_json_text(row) for row in rows)) for name, rows in tables.items())
    each = (f"{_json_text(name)}: [\n{rows}]" if rows else f"{_json_text(name)}: []" for name, rows in lines)
    return (f'{{"of": {_json_text(told)}, "tables": {{\n' + ",\n".join(each) + "}}").encode()


def _json_text(value: object) -> str:
    """On one line: Python sets what is indented by far more slowly."""
    return json.dumps(value, ensure_ascii=False)


def tables_as_csv(tables: Tables) -> bytes:
    """A ZIP archive with one CSV file for each table, empty ones too."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, rows in tables.items():
            archive.writestr(zipfile.ZipInfo(f"{name}.csv", _NO_DAY), table_as_csv(rows), zipfile.ZIP_DEFLATED)
    return packed.getvalue()


def tables_as(name: str, told: str, tables: Tables) -> tuple[str, bytes]:
    """All tables as the file of that name, one of `TABLE_FILES`, media type first. Raises `NotKept` for any other."""
    if name not in TABLE_FILES:
        raise NotKept(f"file {name!r}")
    if name == "tables.json":
        return JSON_KIND, tables_as_json(told, tables)
    return ZIP_KIND, tables_as_csv(tables)


def one_table(kind: str, told: str, rows: Sequence[Row]) -> tuple[str, bytes]:
    """One table as "csv" or as "json", its media type first. Raises `NotKept` for any other kind."""
    if kind not in ("csv", "json"):
        raise NotKept(f"table as {kind[:20]!r}")
    return (CSV_KIND, table_as_csv(rows)) if kind == "csv" else (JSON_KIND, tables_as_json(told, {told: rows}))


def table_as_csv(rows: Sequence[Row]) -> bytes:
    """One table under a row of names; words that a spreadsheet might reckon with are made harmless.

    >>> print(table_as_csv([{"name": "=1+1", "size": {"wide_mm": -2.5}, "all": [1, 2]}]).decode("utf-8-sig").strip())
    name,size.wide_mm,all\r
    '=1+1,-2.5,"[1, 2]"
    """
    flat = [dict(_cells(row)) for row in rows]
    columns = list(dict.fromkeys(name for row in flat for name in row))
    text = io.StringIO()
    table = csv.DictWriter(text, columns, restval="")
    if columns:
        table.writeheader()
        table.writerows(flat)
    return text.getvalue().encode("utf-8-sig")


def _cells(row: Row, within: str = "") -> Iterator[tuple[str, str]]:
    for name, value in row.items():
        if isinstance(value, Mapping) and value:
            yield from _cells(value, f"{within}{name}.")
        else:
            yield f"{within}{name}", _cell(value)


def harmless(words: str) -> str:
    """Words with an apostrophe in front where a spreadsheet would reckon with them.

    >>> harmless("=1+1"), harmless("Tote")
    ("'=1+1", 'Tote')
    """
    return f"'{words}" if words.startswith(_RISKY) else words


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return harmless(value)
    return json.dumps(value, ensure_ascii=False)
