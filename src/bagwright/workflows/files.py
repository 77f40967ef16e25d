"""Files that a command names: read whole up to a limit, written whole or not at all; and where the maker's data lie."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from bagwright.errors import FaultyInput, Problem

LARGEST_FILE_BYTES: Final = 5_000_000


def read_file(path: str, *, most_bytes: int = LARGEST_FILE_BYTES) -> bytes:
    """The bytes of a file, or of standard input for ``-``.

    Raises `FaultyInput` if it cannot be read or is larger than `most_bytes`.
    """
    try:
        data = _first_bytes(path, most_bytes)
    except (OSError, ValueError) as error:
        raise _refusal("file", path, f"cannot be read ({_reason(error)})", "Check its name and place.") from error
    if len(data) > most_bytes:
        remedy = (
            "Split it, or give outlines fewer corners." if most_bytes == LARGEST_FILE_BYTES else "Take a smaller one."
        )
        raise _refusal("file", path, f"is larger than {most_bytes / 1e6:g} MB", remedy, most_bytes)
    return data


def _first_bytes(path: str, most_bytes: int) -> bytes:
    if path != "-":
        with Path(path).open("rb") as file:
            return file.read(most_bytes + 1)
    if sys.stdin is None:  # what Python makes of a standard input that was closed
        raise OSError("standard input is closed")
    return sys.stdin.buffer.read(most_bytes + 1)


@dataclass(frozen=True, slots=True)
class NewFile:
    """What is to be written at `path`; `place` names the option that asked for it."""

    path: str
    data: bytes
    place: str


def write_files(files: Iterable[NewFile]) -> None:
    """Write files whole, replacing what is there, behind a link too.

    A reader sees the old file or the new one, never a part. Raises `FaultyInput` for every file that cannot be
    written; then none has changed.
    """
    problems: list[Problem] = []
    drafts: list[tuple[Path, Path]] = []
    try:
        for file in files:
            try:
                drafts.append(_draft(Path(os.path.realpath(file.path)), file.data))
            except (OSError, ValueError) as error:
                remedy = "Choose a folder that exists and that you may write to."
                problems += _refusal(file.place, file.path, f"cannot be written ({_reason(error)})", remedy).problems
        if problems:
            raise FaultyInput(problems)
        for draft, target in drafts:
            draft.replace(target)
    finally:
        for draft, _ in drafts:
            draft.unlink(missing_ok=True)


def _draft(target: Path, data: bytes) -> tuple[Path, Path]:
    """All of `data` on the disk beside its target, under a name of its own."""
    if target.is_dir():
        raise OSError("it is a folder")
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".bagwright-", suffix=".part")
    draft = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        draft.chmod(_usual_mode(target))
    except BaseException:  # an interrupt too: nothing half written stays behind
        draft.unlink(missing_ok=True)
        raise
    return draft, target


def _usual_mode(target: Path) -> int:
    """The mode of the file that is replaced, or what a new file would get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _refusal(place: str, path: str, what: str, remedy: str, most_bytes: int = LARGEST_FILE_BYTES) -> FaultyInput:
    allowed = (
        f"a file up to {most_bytes / 1e6:g} MB" if place == "file" else "the name of a file in a folder that exists"
    )
    return FaultyInput([Problem(place=place, value=path, what=what, allowed=allowed, remedy=remedy)])


def _reason(error: Exception) -> str:
    return str((error.strerror if isinstance(error, OSError) else None) or error).lower()


def data_folder(environment: Mapping[str, str], *, platform: str = sys.platform) -> Path:
    """Where this user's data are kept: ``BAGWRIGHT_HOME``, else the usual folder of the platform.

    >>> data_folder({"BAGWRIGHT_HOME": "bags"}).as_posix()
    'bags'
    >>> data_folder({"XDG_DATA_HOME": "/data"}, platform="linux").as_posix()
    '/data/bagwright'
    """
    if chosen := environment.get("BAGWRIGHT_HOME"):
        return Path(chosen)
    home = Path.home()
    if platform == "win32":
        base = Path(environment.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif platform == "darwin":
        base = home / "Library" / "Application Support"
    else:
        base = Path(environment.get("XDG_DATA_HOME") or home / ".local" / "share")
    return base / "bagwright"
