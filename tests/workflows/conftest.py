"""A desk with the demo on it, for every test that asks for one."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk


@pytest.fixture(scope="session")
def demo_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo in it: copy it, leave it as it is."""
    home = tmp_path_factory.mktemp("demo")
    fill_demo(Desk(home, is_demo=True))
    return home


@pytest.fixture
def desk(demo_home: Path, tmp_path: Path) -> Desk:
    shutil.copytree(demo_home, tmp_path / "home")
    return Desk(tmp_path / "home", is_demo=True)
