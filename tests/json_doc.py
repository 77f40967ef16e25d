"""What docs/json.md says: its tables of fields and its examples, for the tests that hold it to the truth."""

from __future__ import annotations

import json
import re
import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import Any

DOCUMENT = Path(__file__).parent.parent / "docs" / "json.md"
_AMOUNT = re.compile(r"An \*amount\* is (.+)\.\n")
_DRAWN = re.compile(r"```svg\n(.*?)```", re.DOTALL)
_FENCED = re.compile(r"```json\n(.*?)```", re.DOTALL)


@dataclass(frozen=True)
class Row:
    """One field of an input table."""

    name: str
    allowed: str
    default: str


@dataclass(frozen=True)
class Example:
    """A command, the file it reads (if any) and the answer that is printed in the document."""

    arguments: tuple[str, ...]
    file: Any
    answer: Any

    @property
    def command(self) -> str:
        return self.arguments[0]


def _text() -> str:
    return DOCUMENT.read_text(encoding="utf-8")


def _rows_after(text: str, at: int) -> list[list[str]]:
    lines = text[at:].split("\n\n")[1].splitlines()
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def field_tables() -> dict[str, list[Row]]:
    """Rows of every input table, by the dotted name of the contract that it describes, told from `workflows` on."""
    text = _text()
    (amount,) = _AMOUNT.findall(text)
    return {
        f"bagwright.workflows.{found[1]}": [
            Row(cells[0].strip("`"), " ".join([*cells[1:3], re.sub(r"^amount\b(?! as)", amount, cells[3])]), cells[4])
            for cells in _rows_after(text, found.end())
        ]
        for found in re.finditer(r"<!-- fields: (?:bagwright\.workflows\.)?([\w.]+) -->", text)
    }


def answer_tables() -> dict[str, set[str]]:
    """Paths of every answer table, by command; `.x` beside `a.b` stands for `a.x`."""
    text = _text()
    tables: dict[str, set[str]] = {}
    for found in re.finditer(r"<!-- answer fields: (\w+) -->", text):
        paths = tables.setdefault(found[1], set())
        for cells in _rows_after(text, found.end()):
            first, *others = re.findall(r"`([^`]+)`", cells[0])
            stem = first.rpartition(".")[0]
            paths |= {first, *(stem + name if name.startswith(".") else name for name in others)}
    return tables


def examples() -> list[Example]:
    """Every example in the document."""
    text = _text()
    found = []
    for start in re.finditer(r"^Example: `bagwright (.+?)`(.*)$", text, re.MULTILINE):
        blocks = _FENCED.finditer(text, start.end())
        file = json.loads(next(blocks)[1]) if "FILE" in start[1] else None
        if "PHOTO" in start[1]:
            picture = re.search(r"\(([^)]+\.jpg)\)", start[2])
            assert picture, start[0]
            file = (DOCUMENT.parent / picture[1]).read_bytes()
        if "DRAWING" in start[1]:
            file = next(_DRAWN.finditer(text, start.end()))[1]
        found.append(Example(tuple(shlex.split(start[1])), file, json.loads(next(blocks)[1])))
    return found
