"""The import table of the design, the purity of the core and the form of the source, held over every file.

To change what a room may import, change the table `ROOMS`, never the walk below it.
"""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parent.parent
PACKAGE = REPOSITORY / "src" / "bagwright"
LONGEST_FILE_LINES = 400


@dataclass(frozen=True, slots=True)
class Room:
    """What one room may import.

    `own`: our rooms; `late`: our rooms, inside functions only; `foreign`: packages from outside (and guarded parts
    of the standard library), each with the one file that may import it, or "*" for all; `pure`: no files, clock,
    network, logging or printing.
    """

    own: frozenset[str] = frozenset()
    late: frozenset[str] = frozenset()
    foreign: tuple[tuple[str, str], ...] = ()
    pure: bool = False


ERRORS = frozenset({"errors"})
CORE = frozenset({"errors", "units", "geometry", "model"})
WORKERS = frozenset({"drafting", "body", "cutting", "piecing", "capture", "costing", "store", "output"})
FACES = frozenset({"errors", "units", "model", "workflows"})

ROOMS = {
    "errors": Room(pure=True),
    "units": Room(ERRORS, pure=True),
    "geometry": Room(ERRORS, foreign=(("numpy", "*"), ("shapely", "*")), pure=True),
    "model": Room(CORE - {"model"}, pure=True),
    "drafting": Room(CORE, pure=True),
    "body": Room(CORE, foreign=(("numpy", "*"),), pure=True),
    "cutting": Room(
        CORE,
        foreign=(
            ("numpy", "compacting.py"),
            ("scipy", "compacting.py"),
            ("spyrrow", "_packer.py"),
            ("subprocess", "_packer.py"),
            ("sys", "_packer.py"),
            ("time", "_budget.py"),
        ),
        pure=True,
    ),
    "piecing": Room(CORE, foreign=(("numpy", "*"), ("scipy", "*"), ("time", "_budget.py")), pure=True),
    "capture": Room(CORE, foreign=(("cv2", "*"), ("numpy", "*")), pure=True),
    "costing": Room(CORE, foreign=(("numpy", "*"), ("scipy", "_solver.py")), pure=True),
    "store": Room(CORE, foreign=(("sqlite3", "*"), ("pydantic", "documents.py"))),
    "output": Room(
        CORE,
        foreign=(
            ("fpdf", "pdf.py"),
            ("pypdf", "pdf_layers.py"),
            ("ezdxf", "*"),
            ("defusedxml", "*"),
            ("svgelements", "_svg_paths.py"),
        ),
    ),
    "workflows": Room(CORE | WORKERS, foreign=(("pydantic", "*"), ("PIL", "swatches.py"))),
    "web": Room(FACES, foreign=(("starlette", "*"), ("jinja2", "*"), ("markupsafe", "*"), ("uvicorn", "*"))),
    "cli": Room(FACES, late=frozenset({"web"}), foreign=(("click", "*"),)),
}

# Standard library that only the rooms which name it under `foreign` may use.
GUARDED = frozenset({"sqlite3"})
# fmt: off
IMPURE_MODULES = frozenset({
    "asyncio", "fileinput", "ftplib", "glob", "http", "importlib", "io", "logging", "os", "pathlib", "secrets",
    "select", "shutil", "signal", "smtplib", "socket", "socketserver", "sqlite3", "ssl", "subprocess", "sys",
    "tempfile", "time", "urllib", "uuid", "webbrowser",
})
# fmt: on
IMPURE_CALLS = frozenset({"print", "open", "input", "exec", "eval", "__import__", "breakpoint"})
CLOCK_READERS = frozenset({"now", "today", "utcnow"})
# Packages whose name differs from the module they bring.
DISTRIBUTIONS = {"PIL": "pillow", "cv2": "opencv-python-headless", "fpdf": "fpdf2"}
# A generator is handed in or made from a given seed; the generators shared by the whole process are not for us.
SEEDED = frozenset({"Random", "default_rng", "SeedSequence", "PCG64"})
RANDOM_TYPES = SEEDED | {"Generator", "BitGenerator"}


@dataclass(frozen=True, slots=True)
class Import:
    """One imported module, by its full dotted name."""

    name: str
    line: int
    in_function: bool


def imports_of(tree: ast.Module, module: tuple[str, ...], *, is_package: bool) -> Iterator[Import]:
    """Every import in `tree`, wherever it stands, relative ones resolved against the dotted name `module`."""
    inside = {
        id(node)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef)
        for node in ast.walk(function)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(alias.name, node.lineno, id(node) in inside)
        elif isinstance(node, ast.ImportFrom):
            package = module if is_package else module[:-1]
            base = package[: len(package) - node.level + 1] if node.level else ()
            source = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                yield Import(f"{source}.{alias.name}", node.lineno, id(node) in inside)


def import_fault(found: Import, room: str, file_name: str) -> str | None:
    """What the table says against one import of a file in `room`, if anything."""
    table = ROOMS[room]
    top, *rest = found.name.split(".")
    if top == "bagwright":
        target = rest[0] if rest else ""
        if target == room or target == "__version__":
            return None
        if target in table.own or (target in table.late and found.in_function):
            return None
        where = " at module level" if target in table.late else ""
        return f"{room} may not import {'.'.join(['bagwright', *rest])}{where}"
    allowed = dict(table.foreign)
    if top in allowed:
        only = allowed[top]
        return None if only in ("*", file_name) else f"only {only} may import {top}"
    if top not in sys.stdlib_module_names or top in GUARDED:
        return f"{room} may not import {top}"
    return f"{room} is pure and may not import {top}" if table.pure and top in IMPURE_MODULES else None


def dotted(node: ast.expr) -> str:
    """`a.b.c` of an attribute chain, or an empty text."""
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute) and (front := dotted(node.value)):
        return f"{front}.{node.attr}"
    return ""


def impurity(node: ast.AST) -> str | None:
    """What makes this node read or change the world outside, if it does."""
    if isinstance(node, ast.Name) and node.id in IMPURE_CALLS:
        return f"uses {node.id}"
    if isinstance(node, ast.Attribute):
        front, name = dotted(node.value), node.attr
        if name in CLOCK_READERS and front.split(".")[-1] in {"date", "datetime"}:
            return f"reads the clock: {front}.{name}"
        if front in {"random", "np.random", "numpy.random"} and name not in RANDOM_TYPES:
            return f"uses the shared random generator: {front}.{name}"
    if isinstance(node, ast.ImportFrom) and node.module in {"random", "numpy.random"}:
        wrong = [alias.name for alias in node.names if alias.name not in RANDOM_TYPES]
        return f"uses the shared random generator: {', '.join(wrong)}" if wrong else None
    if isinstance(node, ast.Call) and dotted(node.func).split(".")[-1] in SEEDED and not (node.args or node.keywords):
        return f"makes a random generator without a seed: {dotted(node.func)}()"
    return None


def file_faults(path: Path, package: Path) -> Iterator[str]:
    """What one source file does against the table."""
    inside = path.relative_to(package)
    room = inside.parts[0].removesuffix(".py")
    if inside == Path("__init__.py"):
        room = "errors"  # the package itself imports nothing, like the lowest room
    if room not in ROOMS:
        yield f"{inside}: there is no room {room!r} in the table"
        return
    tree = ast.parse(path.read_text(encoding="utf-8"), str(path))
    is_package = path.name == "__init__.py"
    module = ("bagwright", *inside.parent.parts, *(() if is_package else (path.stem,)))
    for found in imports_of(tree, module, is_package=is_package):
        if fault := import_fault(found, room, path.name):
            yield f"{inside}:{found.line}: {fault}"
    if ROOMS[room].pure:
        for node in ast.walk(tree):
            if fault := impurity(node):
                yield f"{inside}:{getattr(node, 'lineno', 0)}: {room} is pure but {fault}"


def package_faults(package: Path) -> list[str]:
    """What all source files do against the table, in order of their names."""
    return [fault for path in sorted(package.rglob("*.py")) for fault in file_faults(path, package)]


def undeclared(package: Path, project: Path) -> set[str]:
    """Packages from outside that the source imports but that `project` (a pyproject.toml) does not ask for."""
    asked = tomllib.loads(project.read_text(encoding="utf-8"))["project"]["dependencies"]
    declared = {re.split(r"[^\w.-]", line)[0] for line in asked}
    tops = {
        found.name.split(".")[0]
        for path in package.rglob("*.py")
        for found in imports_of(ast.parse(path.read_text(encoding="utf-8")), ("bagwright", path.stem), is_package=False)
    }
    return {DISTRIBUTIONS.get(top, top) for top in tops - sys.stdlib_module_names - {"bagwright"}} - declared


def undocumented(package: Path) -> list[str]:
    """Public functions and classes at module level that have no docstring."""
    return [
        f"{path.relative_to(package)}:{node.lineno}: {node.name}"
        for path in sorted(package.rglob("*.py"))
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
        and "overload" not in [dotted(mark) for mark in node.decorator_list]
    ]


def test_every_file_keeps_to_the_table():
    assert package_faults(PACKAGE) == []


def test_the_table_has_no_circles():
    """Every room can be put after all it imports."""
    open_rooms = dict(ROOMS)
    while open_rooms:
        free = [name for name, room in open_rooms.items() if not (room.own | room.late) & open_rooms.keys()]
        assert free, f"these rooms import one another in a circle: {sorted(open_rooms)}"
        for name in free:
            del open_rooms[name]


def plant(folder: Path, file: str, source: str) -> Path:
    """A package that consists of one file."""
    path = folder / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(source, encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("file", "source", "part"),
    [
        ("drafting/tote.py", "from bagwright.body import stack", "drafting may not import bagwright.body"),
        ("drafting/tote.py", "import bagwright.cutting.check", "drafting may not import bagwright.cutting"),
        ("drafting/tote.py", "from ..body import stack", "drafting may not import bagwright.body"),
        ("drafting/tote.py", "from .. import store", "drafting may not import bagwright.store"),
        ("drafting/__init__.py", "from .. import store", "drafting may not import bagwright.store"),
        ("drafting/deep/tote.py", "from ... import store", "drafting may not import bagwright.store"),
        ("drafting/tote.py", "def draft():\n    import bagwright.web", "drafting may not import bagwright.web"),
        ("drafting/tote.py", "if 1:\n    from bagwright import web", "drafting may not import bagwright.web"),
        ("drafting/tote.py", "from bagwright import *", "drafting may not import bagwright.*"),
        ("drafting/tote.py", "import shapely.geometry", "drafting may not import shapely"),
        ("units.py", "from bagwright.model import piece", "units may not import bagwright.model"),
        ("__init__.py", "from bagwright.units import parse", "errors may not import bagwright.units"),
        ("cutting/check.py", "import spyrrow", "only _packer.py may import spyrrow"),
        ("cutting/check.py", "def pack():\n    from spyrrow import Item", "only _packer.py may import spyrrow"),
        ("output/svg.py", "from fpdf import FPDF", "only pdf.py may import fpdf"),
        ("workflows/stash.py", "import sqlite3", "workflows may not import sqlite3"),
        ("web/routes.py", "from bagwright.costing import price", "web may not import bagwright.costing"),
        ("cli.py", "from bagwright import web", "cli may not import bagwright.web at module level"),
        ("helpers/text.py", "", "there is no room 'helpers'"),
        ("helpers.py", "", "there is no room 'helpers'"),
        ("model/piece.py", "import os.path", "model is pure and may not import os"),
        ("model/piece.py", "from pathlib import Path", "model is pure and may not import pathlib"),
        ("costing/price.py", "def price():\n    import sqlite3", "costing may not import sqlite3"),
        ("body/stack.py", "print(1)", "uses print"),
        ("body/stack.py", "def read(path):\n    return open(path)", "uses open"),
        ("body/stack.py", "import datetime\nd = datetime.date.today()", "reads the clock"),
        ("body/stack.py", "from datetime import datetime\nd = datetime.now()", "reads the clock"),
        ("piecing/search.py", "import random\nrandom.shuffle([])", "shared random generator: random.shuffle"),
        ("piecing/search.py", "from random import choice", "shared random generator: choice"),
        ("piecing/search.py", "import numpy as np\nnp.random.seed(1)", "shared random generator: np.random.seed"),
        ("piecing/search.py", "import numpy as np\nnp.random.default_rng()", "without a seed"),
        ("piecing/search.py", "from random import Random\nrng = Random()", "without a seed"),
    ],
)
def test_a_planted_fault_is_caught(tmp_path, file, source, part):
    faults = package_faults(plant(tmp_path, file, source))
    assert len(faults) == 1
    assert part in faults[0]
    assert faults[0].startswith(file)


@pytest.mark.parametrize(
    ("file", "source"),
    [
        ("__init__.py", '__version__ = "0"'),
        ("units.py", "from .errors import Problem\nfrom fractions import Fraction"),
        ("geometry/outline.py", "import numpy as np\nfrom shapely import Polygon\nfrom . import edge"),
        ("cutting/_packer.py", "import spyrrow\nfrom bagwright.model.layout import Layout"),
        ("costing/price.py", "from datetime import date\nimport decimal\nfirst = date(2025, 1, 1)"),
        (
            "piecing/search.py",
            "from random import Random\nrng = Random(7)\nimport numpy as np\nnp.random.default_rng(7)",
        ),
        ("store/connection.py", "import sqlite3, pathlib, datetime\nt = datetime.datetime.now()"),
        ("output/pdf.py", "from fpdf import FPDF\nfrom importlib import resources"),
        ("workflows/stash.py", "import pydantic\nfrom bagwright import __version__, store, cutting"),
        ("cli.py", "import click\ndef main():\n    from bagwright.web import serve"),
    ],
)
def test_what_the_table_allows_passes(tmp_path, file, source):
    assert package_faults(plant(tmp_path, file, source)) == []


def test_every_package_in_use_is_declared():
    assert undeclared(PACKAGE, REPOSITORY / "pyproject.toml") == set()


def test_a_planted_undeclared_package_is_caught(tmp_path):
    project = tmp_path / "pyproject.toml"
    project.write_text('[project]\ndependencies = ["fpdf2>=2", "numpy"]', encoding="utf-8")
    source = (
        "import os, numpy.linalg, defusedxml\nfrom fpdf import FPDF\nfrom . import svg\nfrom bagwright import units"
    )
    assert undeclared(plant(tmp_path / "src", "output/pdf.py", source), project) == {"defusedxml"}


def test_everything_public_is_documented():
    assert undocumented(PACKAGE) == []


def test_a_planted_lack_of_a_docstring_is_caught(tmp_path):
    source = 'def cut():\n    pass\n\ndef _pin():\n    pass\n\nclass Cloth:\n    """Woven."""\n'
    assert undocumented(plant(tmp_path, "model/cloth.py", source)) == ["model/cloth.py:1: cut"]


def test_files_stay_short():
    lengths = {
        str(path.relative_to(PACKAGE)): path.read_text(encoding="utf-8").count("\n") for path in PACKAGE.rglob("*.py")
    }
    assert {path: lines for path, lines in lengths.items() if lines > LONGEST_FILE_LINES} == {}


# Where one machine keeps things, and the hosts that packages come from: both belong to the reader, not to the project.
PLACES = re.compile(
    r"(?<![\w.])/(?:work|root|home/\w+|Users/\w+)/"
    r"|pypi\.org|pythonhosted\.org|npmjs\.(?:org|com)|yarnpkg\.com|deb\.debian\.org|archive\.ubuntu\.com"
    r"|proxy\.golang\.org|crates\.io|conda\.anaconda\.org|--(?:extra-)?index-url[ =]\S"
)


def tracked_texts() -> Iterator[tuple[str, str]]:
    """Name and text of every file under version control that is text."""
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=REPOSITORY, check=True, capture_output=True, text=True)
    for name in filter(None, listing.stdout.split("\0")):
        try:
            yield name, (REPOSITORY / name).read_text(encoding="utf-8")
        except (UnicodeDecodeError, FileNotFoundError):
            continue  # a picture or a font; or a file that is being removed


def places_in(text: str) -> list[str]:
    """Machine paths and registry hosts that `text` names, this user's home folder among them."""
    home = str(Path.home()).rstrip("/") + "/"
    return PLACES.findall(text) + ([home] if len(home) > 2 and home in text and not PLACES.search(home) else [])


def test_no_tracked_file_names_a_machine_or_a_registry():
    assert {name: places for name, text in tracked_texts() if (places := places_in(text))} == {}


@pytest.mark.parametrize(
    "parts", [("/wo", "rk/main"), ("/ho", "me/ann/x"), ("files.pythonho", "sted.org"), ("py", "pi.org")]
)
def test_a_planted_place_is_caught(parts):
    assert places_in(f"see {''.join(parts)} there")


def test_a_path_within_the_project_is_no_place():
    assert places_in("see docs/work/notes.md, tests/home/ and https://example.com/") == []
