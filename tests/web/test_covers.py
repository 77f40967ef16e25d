"""Inner layers from scraps on the page: found, used with one press, brought back with another."""

from __future__ import annotations

import pytest

from bagwright.model.stash import StashPiece
from bagwright.store.stash import load_stash, save_stash_piece
from tests.web.html import fields

PAGE = "/bags/lantern-card-wallet/scraps"


@pytest.fixture
def scrap(desk):
    """One that holds a panel of the wallet's interfacing."""
    piece = StashPiece(id="rest", material_id="mist-fuse", outer=((0, 0), (240, 0), (240, 205), (0, 205)), bin="box 3")
    with desk.store() as store:
        return save_stash_piece(store, piece, expected_version=0).value


def stash_ids(desk):
    with desk.store() as store:
        return {kept.value.id for kept in load_stash(store)}


def test_the_page_comes_at_once_and_asks_for_its_answer(client):
    page = client.get(PAGE)
    assert page.status_code == 200 and f'hx-get="{PAGE}?look=1"' in page.text
    assert f'href="{PAGE}"' in client.get("/bags/lantern-card-wallet").text


def test_an_empty_stash_says_what_to_do(client):
    page = client.get(PAGE, params={"look": "1"})
    assert page.status_code == 200 and "take a photo of them" in page.text


def test_what_cannot_be_read_is_said(client):
    page = client.get(PAGE, params={"look": "1", "enough": "lots", "gap": "9 km"})
    assert page.status_code == 200 and "is not a number from 50 to 100" in page.text


def test_a_scrap_is_used_printed_and_brought_back(client, desk, scrap):
    page = client.get(PAGE, params={"look": "1"})
    assert (
        "One scrap holds all of it" in page.text and "box 3" in page.text and "press from the cloth side" in page.text
    )
    assert client.get(f"{PAGE}/mist-fuse/true-scale-a4.pdf").content.startswith(b"%PDF")
    assert client.get(f"{PAGE}/mist-fuse/true-scale-a9.pdf").status_code == 404
    given = fields(page.text, f"{PAGE}/mist-fuse/used")
    assert client.post(f"{PAGE}/mist-fuse/used", data={**given, "seen": "else"}).status_code == 409
    assert stash_ids(desk) == {"rest"}
    assert client.post(f"{PAGE}/mist-fuse/used", data=given).headers["location"] == "/bags/lantern-card-wallet/stash"
    assert "rest" not in stash_ids(desk)
    undo = "/bags/lantern-card-wallet/stash/cuttings/undo"
    client.post(undo, data=fields(client.get("/bags/lantern-card-wallet/stash").text, undo))
    assert stash_ids(desk) == {"rest"}
