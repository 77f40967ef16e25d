"""Who may speak to the page, and what every answer carries.

Headers after the Fetch Standard (Origin, Sec-Fetch-Site) and RFC 9110 (421 Misdirected Request, 413 Content Too Large);
what each must say is from memory of these.
"""

from __future__ import annotations

import re

import pytest

from bagwright.web.guard import LARGEST_FORM_BYTES
from tests.web.bag_on_page import BagOnPage, shown_version
from tests.workflows.demo_values import WALLET

ADDRESSES = [
    "/",
    "/materials",
    "/workroom",
    f"/bags/{WALLET}",
    f"/bags/{WALLET}/pieces.svg",
    "/nothing",
    "/static/page.css",
]


@pytest.fixture
def wallet(client):
    return BagOnPage(client, WALLET)


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.1:8123", "localhost", "localhost:8123", "[::1]", "[::1]:8123"])
def test_this_machine_is_answered(client, host):
    assert client.get("/workroom", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST", "OPTIONS"])
@pytest.mark.parametrize(
    "host",
    ["bags.example", "bags.example:80", "127.0.0.1.bags.example", "127.0.0.1@bags.example", "", "0.0.0.0", "192.0.2.1"],
)
def test_a_foreign_host_is_refused(client, method, host):
    answer = client.request(method, "/", headers={"host": host, "origin": f"http://{host}"})
    assert answer.status_code == 421
    assert_strict(answer)


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://bags.example"},
        {"origin": "null"},
        {"origin": "https://127.0.0.1"},
        {"origin": "http://127.0.0.1:9"},
        {"origin": "http://localhost"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": "http://127.0.0.1", "sec-fetch-site": "cross-site"},
    ],
)
def test_a_foreign_origin_changes_nothing(wallet, headers):
    version = shown_version(wallet.html())
    for what in ("run", "undo", "away", "copy", "search"):
        answer = wallet.client.post(
            f"{wallet.path}/{what}", data={"version": str(version), "run_count": "9"}, headers=headers
        )
        assert answer.status_code == 403
        assert_strict(answer)
    assert shown_version(wallet.html()) == version
    assert "(copy)" not in wallet.client.get("/").text
    assert not wallet.client.app.state.searches.by_id


@pytest.mark.parametrize("headers", [{"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin"}, {}])
def test_the_page_itself_may_change_a_bag(wallet, headers):
    assert wallet.post("run", headers=headers, run_count="9").status_code == 303


def test_a_form_that_is_too_large_or_of_untold_length_is_refused(wallet):
    large = wallet.post("name", name="x" * (LARGEST_FORM_BYTES + 1))
    untold = wallet.client.post(f"{wallet.path}/name", content=iter([b"name=Other&version=", b"1"]))
    for answer in (large, untold):
        assert answer.status_code == 413
        assert_strict(answer)
    assert "<h1>Lantern card wallet</h1>" in wallet.html()


@pytest.mark.parametrize("path", [*ADDRESSES, "/drawing.css", "/favicon.ico", "/bags/nothing", "/searches/none/news"])
def test_every_answer_has_strict_headers(client, path):
    assert_strict(client.get(path))


def test_refused_changes_and_ways_on_have_strict_headers(wallet):
    assert_strict(wallet.post("run", run_count="no"))
    assert_strict(wallet.post("run", run_count="2"))
    assert_strict(wallet.client.post("/nothing"))
    assert_strict(wallet.client.put("/workroom", content=b""))


def assert_strict(answer):
    """Only our own files run, nobody frames the page, no type is guessed, nothing is kept in a cache."""
    policy = dict(part.strip().split(" ", 1) for part in answer.headers["content-security-policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == policy["form-action"] == "'self'"
    assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
    assert not re.search(r"unsafe|\*|https?:", answer.headers["content-security-policy"])
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["x-frame-options"] == "DENY"
    assert answer.headers["referrer-policy"] in ("same-origin", "no-referrer")
    assert answer.headers["cross-origin-opener-policy"] == "same-origin"
    assert answer.headers["cross-origin-resource-policy"] == "same-origin"
    assert answer.headers["cache-control"] == "no-store"
