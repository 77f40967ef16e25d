"""A desk with the demo on it, for every test that asks for one."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from bagwright.model.layout import Layout
    from bagwright.workflows.desk import Desk, Remembered


# Tests end by iterations, never by seconds: a busy machine must not fail them. The same examples every time, so that
# what passed here passes there.
settings.register_profile("bagwright", deadline=None, derandomize=True)
settings.load_profile("bagwright")


DEAREST_FIRST = (
    "tests/browser/",
    "tests/drafting/test_grown_range.py",
    "tests/test_cli.py",
    "tests/drafting/test_fold",
    "tests/test_hostile_drawings.py",
    "tests/workflows/test_savings.py",
    "tests/costing/test_buying_together.py",
    "tests/workflows/test_covering.py",
    "tests/cutting/test_lay.py",
    "tests/capture/",
    "tests/web/",
    "tests/workflows/",
)
"""A file that takes long and is begun last leaves the other processors with nothing to do."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files come first; all others stay in their order."""

    def place(item: pytest.Item) -> int:
        found = (i for i, start in enumerate(DEAREST_FIRST) if item.nodeid.startswith(start))
        return next(found, len(DEAREST_FIRST))

    items.sort(key=place)


@pytest.fixture(scope="session")
def demo_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo in it: copy it, leave it as it is."""
    from bagwright.workflows.demo_studio import fill_demo
    from bagwright.workflows.desk import Desk

    home = tmp_path_factory.mktemp("demo")
    fill_demo(Desk(home, is_demo=True))
    return home


@pytest.fixture(scope="session")
def bare_home(demo_home: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with nothing in its stash, for tests that put scraps of their own there."""
    from bagwright.workflows.desk import Desk
    from tests.workflows.demo_values import clear_stash

    home = tmp_path_factory.mktemp("bare") / "home"
    shutil.copytree(demo_home, home)
    clear_stash(Desk(home))
    return home


@pytest.fixture(scope="session")
def first_layouts() -> Remembered[str, Layout]:
    """First layouts depend on what is asked and on nothing else, so tests need not work them out again."""
    from bagwright.workflows.desk import Remembered

    return Remembered(2_000)


@pytest.fixture
def desk(bare_home: Path, tmp_path: Path, first_layouts: Remembered[str, Layout]) -> Desk:
    """The demo without its scraps in a folder of this test's own."""
    from bagwright.workflows.desk import Desk

    shutil.copytree(bare_home, tmp_path / "home")
    return Desk(tmp_path / "home", is_demo=True, first_layouts=first_layouts)


@pytest.fixture
def desk_with_scraps(demo_home: Path, tmp_path: Path, first_layouts: Remembered[str, Layout]) -> Desk:
    """The whole demo, scraps in its stash, in a folder of this test's own."""
    from bagwright.workflows.desk import Desk

    shutil.copytree(demo_home, tmp_path / "whole")
    return Desk(tmp_path / "whole", is_demo=True, first_layouts=first_layouts)
