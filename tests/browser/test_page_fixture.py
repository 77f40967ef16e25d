"""The fixtures of the browser tests must themselves notice faults: each is planted on a page of our own here."""

from __future__ import annotations

import io
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from tests.browser.conftest import leaves_loopback, read_address

GOOD = "<h1>Cut list</h1><p>Two of the gusset.</p>"
FAINT = '<p style="color:#ccc">Two of the gusset.</p>'
FAULTY = "<script>console.error('no such piece')</script><script>throw new Error('torn')</script>"
FOREIGN = "<img alt='a bag' src='http://192.0.2.1/bag.png'><img alt='a bag' src='http://bags.example/bag.png'>"
PAGES = {"/good": GOOD, "/faint": FAINT, "/faulty": FAULTY, "/foreign": FOREIGN}


class Handler(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        body = PAGES.get(self.path)
        self.send_response(200 if body else 404)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.end_headers()
        head = "<!doctype html><html lang='en'><head><title>Bag</title><link rel='icon' href='data:,'></head>"
        self.wfile.write(f"{head}<body><main>{body}</main></body></html>".encode())

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: the test output is for the tests."""


@pytest.fixture
def planted() -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def test_a_good_page_has_no_faults(page, planted, accessibility_faults):
    good = page(f"{planted}/good")
    assert good.inner_text("h1") == "Cut list"
    assert accessibility_faults(good) == []


def test_faint_text_is_an_accessibility_fault(page, planted, accessibility_faults):
    assert any(fault.startswith("color-contrast") for fault in accessibility_faults(page(f"{planted}/faint")))


def test_console_errors_and_exceptions_are_kept(page, planted):
    page(f"{planted}/faulty")
    assert [error.rpartition(": ")[2] for error in page.console_errors] == ["no such piece", "torn"]
    page.console_errors.clear()


def test_requests_off_the_machine_are_refused(page, planted):
    page(f"{planted}/foreign")
    assert sorted(page.refused) == ["http://192.0.2.1/bag.png", "http://bags.example/bag.png"]
    page.refused.clear()
    page.console_errors.clear()


@pytest.mark.parametrize(
    "url", ["http://bags.example/", "https://192.0.2.1/", "ftp://bags.example/", "//bags.example/"]
)
def test_leaves_loopback_is_true_of(url):
    assert leaves_loopback(url)


@pytest.mark.parametrize(
    "url", ["http://127.0.0.1:80/a", "http://localhost/", "http://[::1]:8/", "data:,", "about:blank"]
)
def test_leaves_loopback_is_false_of(url):
    assert not leaves_loopback(url)


def test_the_announced_address_is_read():
    said = io.StringIO("laying out the example bag\nbagwright is at http://127.0.0.1:40123/\n")
    assert read_address(said) == "http://127.0.0.1:40123/"


def test_a_demo_that_ends_early_is_quoted():
    with pytest.raises(AssertionError, match="no such option"):
        read_address(io.StringIO("no such option\n"))
