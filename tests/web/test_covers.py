"""Inner layers from scraps on the page: found, used with one press, brought back with another."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.model.stash import StashPiece
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.stash import load_stash, save_stash_piece
from bagwright.workflows.desk import view_bag
from bagwright.workflows.searches import Searches
from tests.web.html import fields, invalid_fields

WALLET = "lantern-card-wallet"
PAGE = f"/bags/{WALLET}/scraps"


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


def test_what_is_asked_is_kept_with_the_bag_and_undone(client, desk, scrap):
    before = view_bag(desk, WALLET).answer.bag
    given = fields(client.get(PAGE).text, PAGE)
    bad = client.post(PAGE, data={**given, "enough": "lots", "gap": "9 km", "seconds": "0"})
    assert bad.status_code == 422 and invalid_fields(bad.text) == {"enough", "gap", "seconds"}
    assert view_bag(desk, WALLET).answer.bag == before
    del given["turns_freely"]  # not ticked
    asked = {**given, "enough": "80", "gap": "3/8 in", "scraps": "2", "seconds": "7", "allowance": "1"}
    kept = client.post(PAGE, data=asked)
    assert kept.status_code == 303
    bag = view_bag(desk, WALLET).answer.bag
    assert bag.scraps == ScrapWishes(
        enough_share=0.8, widest_gap_mm=9.525, max_scraps=2, with_allowance=True, seconds=7
    )
    html = client.get(kept.headers["location"]).text
    assert "up to 7 seconds" in html
    assert client.post(PAGE, data=asked).status_code == 409
    assert client.post(f"{PAGE}/undo", data=fields(html, f"{PAGE}/undo")).status_code == 303
    assert view_bag(desk, WALLET).answer.bag.scraps == before.scraps == ScrapWishes()


def test_a_longer_look_is_told_as_it_goes_and_can_be_stopped(client, desk, scrap):
    started = client.post(f"{PAGE}/search")
    assert started.headers["location"] == f"{PAGE}?look=1#improve"
    searches: Searches = client.app.state.searches
    (search,) = searches.by_id.values()
    assert any(news.covered or news.is_done for news in search.news())
    assert client.post(f"/searches/{search.id}/stop", headers={"hx-request": "true"}).status_code == 204
    told = list(search.news())
    assert told[-1].is_done and not told[-1].fault and told[-1].covered == 1
    assert "Looking at Mist" in client.get(f"/searches/{search.id}/news").text or told[-1].cloth == ""
    page = client.get(f"{PAGE}?look=1").text
    assert "The last look found 1 piece from scraps." in page and "One scrap holds all of it" in page


def test_a_scrap_is_used_printed_and_brought_back(client, desk, scrap):
    page = client.get(PAGE, params={"look": "1"})
    assert (
        "One scrap holds all of it" in page.text and "box 3" in page.text and "press from the cloth side" in page.text
    )
    assert client.get(f"{PAGE}/mist-fuse/true-scale-a4.pdf").content.startswith(b"%PDF")
    assert client.get(f"{PAGE}/mist-fuse/true-scale-a9.pdf").status_code == 404
    (row, *_) = client.get(f"{PAGE}/covers.json").json()["tables"]["covers"]
    assert row["scrap_id"] == "rest" and row["is_enough"] and row["measures"]["covered_share"] > 0.97
    assert client.get(f"{PAGE}/covers.csv").text.count("rest") >= 1 and client.get(f"{PAGE}/covers.exe").is_error
    given = fields(page.text, f"{PAGE}/mist-fuse/used")
    assert client.post(f"{PAGE}/mist-fuse/used", data={**given, "seen": "else"}).status_code == 409
    assert stash_ids(desk) == {"rest"}
    assert client.post(f"{PAGE}/mist-fuse/used", data=given).headers["location"] == "/bags/lantern-card-wallet/stash"
    assert "rest" not in stash_ids(desk)
    undo = "/bags/lantern-card-wallet/stash/cuttings/undo"
    client.post(undo, data=fields(client.get("/bags/lantern-card-wallet/stash").text, undo))
    assert stash_ids(desk) == {"rest"}


def test_one_stash_serves_all_bags_of_a_run_and_no_scrap_two_of_them(client, desk, scrap):
    with desk.store() as store:
        save_stash_piece(store, replace(scrap, id="more", bin="box 4"), expected_version=0)
        wallet = load_bag(store, WALLET)
        save_bag(store, replace(wallet, id="gift", name="Gift wallet", version=0))
    run = client.post("/runs", data={"name": "Autumn"}).headers["location"]
    for bag in (WALLET, "gift"):
        client.post(run, data={**fields(client.get(run).text, run), "add": bag})
    assert f'href="{run}/scraps"' in client.get(run).text
    assert f'hx-get="{run}/scraps?look=1"' in client.get(f"{run}/scraps").text
    html = client.get(f"{run}/scraps?look=1").text
    assert html.count("Lantern card wallet: Inside</h3>") == html.count("Gift wallet: Inside</h3>") == 1
    assert "in box 3" in html and "in box 4" in html and 'href="/stash?at=rest#piece-rest"' in html
    assert client.get(f"{run}/scraps/mist-fuse/true-scale-a4.pdf").content.startswith(b"%PDF")
    rows = client.get(f"{run}/scraps/covers.json").json()["tables"]["covers"]
    assert {row["scrap_id"] for row in rows} == {"rest", "more"}
    form = f"{run}/scraps/mist-fuse/used"
    assert client.post(form, data={**fields(html, form), "seen": "other"}).status_code == 409
    for _ in range(2):  # a button pressed twice
        assert client.post(form, data=fields(html, form)).headers["location"] == f"{run}#cut-before"
    assert not {"rest", "more"} & stash_ids(desk)
    shown = client.get(run).text
    assert shown.count("Undo it, or say that they are sewn") == 2
    assert client.post(f"{run}/scraps/search").headers["location"] == f"{run}/scraps?look=1#improve"
