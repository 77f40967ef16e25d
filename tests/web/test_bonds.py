"""A tested pair on the page: read back, kept, counted on the bag's page, taken off, brought back."""

from __future__ import annotations

import re

from bagwright.web import bond_routes
from tests.web.bag_on_page import BagOnPage
from tests.web.html import fields, ids, invalid_fields, read, said, what_could_run

TOTE = "/bags/harbour-market-tote"
PAIR = {"outer": "pond-canvas", "inner": "cloud-fleece", "held": "fused"}
TYPED = {**PAIR, "scrap_up": "3 1/2, 3 9/16, 3 1/2, 3 1/2, 4 3/4", "scrap_down": "3 3/8, 3 7/16, 3 3/8, 3 3/8"}
FORM = "/bonds#found"


def shown(html):
    return {k: v for k, v in fields(html, FORM).items() if not k.startswith("keep_")}


def look(client, **texts):
    return client.post("/bonds", data={**shown(client.get("/bonds").text), "do": "look", **texts})


def save(client, looked, **texts):
    return client.post("/bonds", data={**shown(looked.text), "do": "keep", **texts})


def act(client, deed):
    html = client.get("/bonds").text
    found = re.search(rf'action="/bonds/{deed}"><input[^>]* value="([^"]+)"><input[^>]* value="(\d+)"', html)
    assert found
    return client.post(f"/bonds/{deed}", data={"bond_id": found[1], "version": found[2]})


def test_every_address_is_tried_here():
    assert {route.path for route in bond_routes.ROUTES} == {"/bonds", "/bonds/csv", "/bonds/{deed}"}


def test_page_is_whole_empty_read_back_and_with_a_pair(client):
    pages = [client.get("/bonds").text, (looked := look(client, **TYPED)).text]
    save(client, looked)
    for html in (*pages, client.get("/bonds").text):
        found = ids(html)
        assert len(found) == len(set(found))
        assert what_could_run(html) == []
        assert all(a["for"] in found for _, a in read(html).tags if a.get("for"))


def test_a_scrap_is_read_back_before_it_is_kept(client):
    answer = look(client, **TYPED)
    assert answer.status_code == 200
    assert TYPED.items() <= fields(answer.text, FORM).items()
    assert 'name="keep_scrap_up"' in answer.text and "Together they act" in answer.text
    assert "No pair is tested yet" in client.get("/bonds").text
    changed = save(client, answer, keep_scrap_up="1")
    assert changed.status_code == 200 and "look once more" in changed.text
    assert "No pair is tested yet" in client.get("/bonds").text


def test_kept_pair_counts_on_the_page_of_the_bag_until_it_is_taken_off(client):
    bag = BagOnPage(client, "harbour-market-tote")
    counted = "Counted here: your fused scrap of Pond canvas, 10 oz and Cloud fusible fleece."
    stands = re.compile(r"A flat strip of these layers stands [^.]* high by itself")
    before = stands.search(said(bag.html()))
    assert before and counted not in said(bag.html())
    answer = save(client, look(client, **TYPED))
    assert (answer.status_code, answer.headers["location"]) == (303, "/bonds?kept")
    after = stands.search(said(bag.html()))
    assert after and counted in said(bag.html()) and after[0] != before[0]
    assert act(client, "remove").headers["location"] == "/bonds?removed"
    widened = stands.search(said(bag.html()))
    assert widened and widened[0] == before[0] and counted not in said(bag.html())
    assert act(client, "undo").status_code == 303
    assert counted in said(bag.html())
    assert act(client, "redo").status_code == 303
    assert counted not in said(bag.html())


def test_all_faults_come_back_beside_their_fields_with_what_was_typed(client):
    typed = {"outer": "", "inner": "../x", "held": "taped", "angle_deg": "2", "scrap_up": "90", "scrap_down": "b"}
    answer = look(client, **typed)
    assert answer.status_code == 422
    assert invalid_fields(answer.text) == {"outer", "inner", "held", "angle_deg", "scrap_up", "scrap_down"}
    assert fields(answer.text, FORM)["scrap_up"] == "90"
    assert invalid_fields(look(client, **PAIR).text) == {"scrap_up"}


def test_pair_changed_in_another_tab_is_not_overwritten(client):
    looked = look(client, **TYPED)
    assert save(client, look(client, **TYPED)).status_code == 303
    answer = save(client, looked)
    assert answer.status_code == 409 and TYPED.items() <= fields(answer.text, FORM).items()
    assert (
        client.post("/bonds/remove", data={"bond_id": "cloud-fleece+pond-canvas+fused", "version": "9"}).status_code
        == 409
    )
    assert client.post("/bonds/remove", data={"bond_id": "none", "version": "1"}).status_code == 404
    assert client.post("/bonds/burn", data={}).status_code == 404


def test_address_can_name_the_pair(client):
    html = client.get("/bonds", params=PAIR).text
    assert PAIR.items() <= fields(html, FORM).items()
    assert "<b>" not in client.get("/bonds?outer=<b>&held=<b>").text
