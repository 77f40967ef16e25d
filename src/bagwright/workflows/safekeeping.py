"""Keeping everything as one file, and bringing everything back; what was there before is kept first."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bagwright.errors import FaultyInput, NotKept, Problem, StoreRefused
from bagwright.store.connection import FILE_NAME
from bagwright.store.safekeeping import LARGEST_BYTES, bring_back, everything, kept_documents
from bagwright.store.workroom import WORKROOM, load_workroom
from bagwright.workflows.desk import Desk
from bagwright.workflows.files import NewFile, write_files
from bagwright.workflows.papers import PaperFile
from bagwright.workflows.tables import Row, Tables, plain_row, tables_as

KIND = "application/vnd.sqlite3"
_FOLDER = "earlier"
_NAME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}-[0-9]{6}-[0-9]{6}\.sqlite3")
_STAMP = "%Y-%m-%d-%H%M%S-%f.sqlite3"
MOST_EARLIER = 10


@dataclass(frozen=True, slots=True)
class EarlierState:
    """All that was kept just before something was brought back over it."""

    name: str
    at: datetime


def keep_everything(desk: Desk, now: datetime) -> PaperFile:
    """All that is kept, as one file."""
    with desk.store() as store:
        return PaperFile(f"bagwright-{now:%Y-%m-%d}.sqlite3", KIND, everything(store))


def kept_tables(desk: Desk) -> Tables:
    """All that is kept as tables, one for each kind of thing, what was put away too; without pictures and history."""
    with desk.store() as store:
        kept, workroom = kept_documents(store), load_workroom(store)
    tables = {table: [_kept_row(*entry) for entry in entries] for table, entries in kept.items()}
    return {**tables, WORKROOM.table: tables[WORKROOM.table] or [plain_row(workroom)]}


def _kept_row(row_id: str, version: int, is_put_away: bool, document: str) -> Row:
    row = {"id": row_id, "version": version, "put_away": is_put_away, **json.loads(document)}
    return row | {"id": row_id, "version": version}


def tables_of_everything(desk: Desk, name: str) -> PaperFile:
    """All that is kept as the file of that name, one of `TABLE_FILES`. Raises `NotKept` for any other."""
    return PaperFile(f"bagwright-{name}", *tables_as(name, "everything", kept_tables(desk)))


def write_everything(home: Path, path: str, now: datetime) -> None:
    """Write all that is kept in the folder `home`: as one file to bring back, or as tables, as the name of `path` ends.

    Raises `FaultyInput` for a name that ends otherwise, a folder without our data, and a path that cannot be written.
    """
    desk = Desk(home)
    writers = {
        ".sqlite3": lambda: keep_everything(desk, now),
        ".json": lambda: tables_of_everything(desk, "tables.json"),
        ".zip": lambda: tables_of_everything(desk, "tables-csv.zip"),
    }
    ending = Path(path).suffix.lower()
    if ending not in writers:
        raise FaultyInput([_refused("out", path, "has an unknown ending", f"a name that ends in {', '.join(writers)}")])
    if not (home / FILE_NAME).is_file():
        raise FaultyInput(
            [
                _refused(
                    "--home", str(home), "holds nothing that bagwright kept", "the folder that `serve` keeps data in"
                )
            ]
        )
    write_files([NewFile(path, writers[ending]().data, "out")])


def _refused(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Choose another.")


def bring_everything_back(desk: Desk, data: bytes, now: datetime) -> None:
    """Replace all that is kept by what is in the file; `earlier_states` lists what was there before.

    Raises `FaultyInput` for a file that cannot be used; nothing is changed then.
    """
    _replace(desk, data, now, is_ours=False)


def earlier_states(desk: Desk) -> tuple[EarlierState, ...]:
    """What was kept before something was brought back over it, newest first."""
    names = sorted((path.name for path in _folder(desk).glob("*.sqlite3") if _NAME.fullmatch(path.name)), reverse=True)
    return tuple(EarlierState(name, datetime.strptime(name, _STAMP)) for name in names)


def go_back_to(desk: Desk, name: str, now: datetime) -> None:
    """Bring an earlier state back; what is there now becomes one itself. Raises `NotKept`, `FaultyInput`."""
    if name not in {state.name for state in earlier_states(desk)}:
        raise NotKept(f"earlier state {name[:40]!r}")
    _replace(desk, (_folder(desk) / name).read_bytes(), now, is_ours=True)


def _replace(desk: Desk, data: bytes, now: datetime, *, is_ours: bool) -> None:
    with desk.store() as store:
        earlier = _keep_earlier(desk, everything(store), now)
        try:
            bring_back(store, data, with_found_layouts=is_ours)
        except StoreRefused as refused:
            earlier.unlink(missing_ok=True)
            what, remedy = f"cannot be used: {str(refused).rstrip('.')}", "Choose another. Nothing was changed."
            allowed = f"a file that bagwright kept everything in, up to {LARGEST_BYTES // 1_000_000} MB"
            problem = Problem(place="everything", value="", what=what, allowed=allowed, remedy=remedy)
            raise FaultyInput([problem]) from None
    answers = (desk.answers, desk.known, desk.in_runs, desk.runs, desk.savings, desk.weighed, desk.stash, desk.ready)
    for remembered in (*answers, desk.first_layouts, desk.drawings):
        remembered.forget()

    for old in earlier_states(desk)[MOST_EARLIER:]:
        (_folder(desk) / old.name).unlink(missing_ok=True)


def _keep_earlier(desk: Desk, data: bytes, now: datetime) -> Path:
    """Written before anything is replaced, so that a power cut in between loses nothing."""
    _folder(desk).mkdir(exist_ok=True)
    path = _folder(desk) / now.strftime(_STAMP)
    write_files([NewFile(path=str(path), data=data, place="home")])
    return path


def _folder(desk: Desk) -> Path:
    return desk.home / _FOLDER
