"""Files that commands read and write."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest

from bagwright.errors import FaultyInput
from bagwright.workflows.files import LARGEST_FILE_BYTES, NewFile, data_folder, read_file, write_files


def test_a_file_is_read_up_to_the_limit(tmp_path):
    path = tmp_path / "in.json"
    path.write_bytes(b"x" * LARGEST_FILE_BYTES)
    assert len(read_file(str(path))) == LARGEST_FILE_BYTES
    path.write_bytes(b"x" * (LARGEST_FILE_BYTES + 1))
    with pytest.raises(FaultyInput, match="larger than 5 MB"):
        read_file(str(path))


@pytest.mark.parametrize("name", ["", "none.json", "a\0b", "."])
def test_rejects_a_name_that_cannot_be_read(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(FaultyInput, match="cannot be read"):
        read_file(name)


def test_rejects_a_closed_standard_input(monkeypatch):
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(FaultyInput, match="standard input is closed"):
        read_file("-")


def test_files_are_replaced_whole_and_keep_their_mode(tmp_path):
    old, new = tmp_path / "old.svg", tmp_path / "new.svg"
    old.write_bytes(b"before")
    old.chmod(0o600)
    write_files([NewFile(str(old), b"after", "--svg"), NewFile(str(new), b"fresh", "--svg")])
    assert (old.read_bytes(), new.read_bytes()) == (b"after", b"fresh")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["new.svg", "old.svg"]
    if os.name == "posix":
        assert stat.S_IMODE(old.stat().st_mode) == 0o600
        mask = os.umask(0)
        os.umask(mask)
        assert stat.S_IMODE(new.stat().st_mode) == 0o666 & ~mask


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_stays_and_its_target_is_replaced(tmp_path):
    target, link = tmp_path / "real.svg", tmp_path / "link.svg"
    target.write_bytes(b"before")
    link.symlink_to(target)
    write_files([NewFile(str(link), b"after", "--svg")])
    assert link.is_symlink() and target.read_bytes() == b"after"


def test_rejects_all_that_cannot_be_written_and_changes_nothing(tmp_path):
    kept = tmp_path / "kept.svg"
    kept.write_bytes(b"before")
    files = [
        NewFile(str(kept), b"after", "--svg"),
        NewFile(str(tmp_path / "none" / "a.pdf"), b"x", "--pdf"),
        NewFile(str(tmp_path), b"x", "--dxf"),
    ]
    with pytest.raises(FaultyInput) as refused:
        write_files(files)
    assert [problem.place for problem in refused.value.problems] == ["--pdf", "--dxf"]
    assert kept.read_bytes() == b"before"
    assert [path.name for path in tmp_path.iterdir()] == ["kept.svg"]


def test_a_fault_while_files_are_made_changes_nothing(tmp_path):
    def files():
        yield NewFile(str(tmp_path / "a.svg"), b"x", "--svg")
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        write_files(files())
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("environment", "platform", "folder"),
    [
        # XDG Base Directory Specification: ~/.local/share unless XDG_DATA_HOME is set (from memory).
        ({}, "linux", "HOME/.local/share/bagwright"),
        ({"XDG_DATA_HOME": ""}, "linux", "HOME/.local/share/bagwright"),
        ({"XDG_DATA_HOME": "/data"}, "linux", "/data/bagwright"),
        # Apple's and Microsoft's usual places for an application's data (from memory).
        ({}, "darwin", "HOME/Library/Application Support/bagwright"),
        ({}, "win32", "HOME/AppData/Local/bagwright"),
        ({"LOCALAPPDATA": "/local"}, "win32", "/local/bagwright"),
        ({"BAGWRIGHT_HOME": "/mine", "XDG_DATA_HOME": "/data"}, "linux", "/mine"),
    ],
)
def test_data_lie_where_the_platform_keeps_them(environment, platform, folder):
    assert data_folder(environment, platform=platform) == Path(folder.replace("HOME", str(Path.home())))
