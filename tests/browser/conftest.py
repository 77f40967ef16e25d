"""What the browser tests share: the demo, started as its user starts it, and pages that report every fault.

A test takes `page`, calls it with a path of the demo (or a whole loopback address) and gets a page to work with:

    def test_the_tag_shows_a_price(page):
        bag = page("/")

When the test ends it fails if a page logged an error to the console or asked for anything off this machine.
"""

from __future__ import annotations

import gzip
import os
import queue
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any, Protocol
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Route, expect, sync_playwright

from tests.browser.chromium import launch

ANNOUNCEMENT = "bagwright is at "
START_SECONDS = 120
WAIT_MS = 60_000
"""How long a page may take to come to what a test expects of it: much, as other tests may have the processor."""
expect.set_options(timeout=WAIT_MS)
LOOPBACK = {"127.0.0.1", "localhost", "::1"}
LOCAL_SCHEMES = {"about", "blob", "data"}
CONFORMANCE = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")

WHERE = {"exclude": [["svg[role=img] > *"]]}
"""What a drawing is made of is one image to a reader; it has thousands of parts, its inks are tested by themselves."""


class FindFaults(Protocol):
    """How the checker is called."""

    def __call__(self, page: Page, rules: Sequence[str] = ()) -> list[str]: ...


def leaves_loopback(url: str) -> bool:
    """Whether a request for `url` would go to another machine."""
    parts = urlsplit(url)
    return parts.scheme not in LOCAL_SCHEMES and parts.hostname not in LOOPBACK


def read_address(lines: IO[str]) -> str:
    """The address that the command announces, or a failure that quotes what it said instead."""
    said: queue.Queue[str | None] = queue.Queue()

    def listen() -> None:
        for line in lines:
            said.put(line)
        said.put(None)

    threading.Thread(target=listen, daemon=True).start()
    heard = ""
    try:
        while (line := said.get(timeout=START_SECONDS)) is not None:
            if line.startswith(ANNOUNCEMENT):
                return line.removeprefix(ANNOUNCEMENT).strip()
            heard += line
    except queue.Empty:
        heard += f"(nothing more within {START_SECONDS} s)"
    raise AssertionError(f"`bagwright demo` did not announce its address; it said:\n{heard}")


@contextmanager
def running_demo(home: Path) -> Iterator[str]:
    """The demo, running with `home` as its data folder; its address while the block lasts."""
    command = shutil.which("bagwright", path=str(Path(sys.executable).parent))
    assert command is not None, "The command `bagwright` is not installed here: run `make setup`."
    process = subprocess.Popen(
        [command, "demo", "--no-browser", "--port", "0"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "BAGWRIGHT_HOME": str(home), "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout is not None
    try:
        yield read_address(process.stdout)
    finally:
        process.terminate()
        try:
            process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        process.stdout.close()


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of one demo that all tests share: leave it as you found it."""
    with running_demo(tmp_path_factory.mktemp("home")) as where:
        yield where


@pytest.fixture(scope="module")
def own_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a demo for the tests of one file that change something: none what another of them looks at."""
    with running_demo(tmp_path_factory.mktemp("own")) as where:
        yield where


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests; each page gets a fresh profile in it."""
    with sync_playwright() as playwright:
        chromium = launch(playwright)
        yield chromium
        chromium.close()


@dataclass
class Pages:
    """Opens pages and keeps what went wrong in them; call it with a path or an address."""

    browser: Browser
    find_address: Callable[[], str]
    console_errors: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    contexts: list[BrowserContext] = field(default_factory=list)

    def __call__(self, where: str = "/", *, width_px: int = 1280, height_px: int = 900, **options: Any) -> Page:
        """A page at `where`; `options` are Playwright's for a new context (`color_scheme="dark"`, ...)."""
        context = self.browser.new_context(
            viewport={"width": width_px, "height": height_px}, service_workers="block", **options
        )
        self.contexts.append(context)
        context.set_default_timeout(WAIT_MS)
        context.route(leaves_loopback, self._refuse)
        page = context.new_page()
        page.on("console", self._note_console)
        page.on("pageerror", lambda error: self.console_errors.append(f"{page.url}: {error}"))
        page.goto(where if "://" in where else self.find_address().rstrip("/") + where)
        return page

    def _refuse(self, route: Route) -> None:
        self.refused.append(route.request.url)
        route.abort()

    def _note_console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.console_errors.append(f"{message.location.get('url')}: {message.text}")


@pytest.fixture
def page(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Pages]:
    """Opens pages of the shared demo, or of its file's own if the test also takes `own_address`.

    A test that provokes an error on purpose checks and clears `page.console_errors` itself.
    """
    name = "own_address" if "own_address" in request.fixturenames else "address"
    pages = Pages(browser, lambda: str(request.getfixturevalue(name)))
    yield pages
    for context in pages.contexts:
        context.close()
    assert pages.refused == [], "a page asked for something off this machine"
    assert pages.console_errors == [], "a page logged errors"


@pytest.fixture(scope="session")
def axe_source() -> str:
    """The accessibility checker's script, vendored beside this file with its licence (MPL 2.0)."""
    return gzip.decompress((Path(__file__).parent / "axe.min.js.gz").read_bytes()).decode()


@pytest.fixture
def accessibility_faults(axe_source: str) -> FindFaults:
    """A function that returns the faults by WCAG 2.2 A and AA that the checker finds in a page, one line each.

    With `rules`, by those of its rules alone.
    """

    def find(page: Page, rules: Sequence[str] = ()) -> list[str]:
        if not page.evaluate("'axe' in window"):
            page.evaluate(axe_source)
        only = {"type": "rule", "values": list(rules)} if rules else {"type": "tag", "values": list(CONFORMANCE)}
        options = {"runOnly": only, "resultTypes": ["violations"]}
        found = page.evaluate(
            "async ([context, options]) => (await axe.run(context, options)).violations", [WHERE, options]
        )
        return [
            f"{fault['id']}: {fault['help']}: {node['target']} {node['failureSummary']}"
            for fault in found
            for node in fault["nodes"]
        ]

    return find
