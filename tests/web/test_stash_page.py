"""A long stash on the page: part by part, whatever is looked for or typed."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest

from bagwright.model.money import Money
from bagwright.model.stash import StashPiece
from bagwright.store.stash import save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.web.stash_page import ON_ONE_PAGE
from bagwright.workflows.desk import Desk
from bagwright.workflows.stash_changes import stash_piece, the_stash
from tests.web.html import invalid_fields

PIECES = 90


@pytest.fixture
def full(desk: Desk) -> Desk:
    with desk.store() as store, transaction(store):
        for number in range(PIECES):
            side = 100.0 + number
            outer = ((0.0, 0.0), (side, 0.0), (side, 80.0), (0.0, 80.0))
            piece = StashPiece(id=f"left-{number}", material_id="pond-canvas", outer=outer, grain_deg=0.0)
            save_stash_piece(store, piece, expected_version=0)
    return desk


def shown(html: str) -> list[str]:
    return re.findall(r'action="/stash/(left-\d+)/used"', html)


def test_every_piece_is_on_one_part_of_the_list(full, client):
    in_all = len(the_stash(full))
    seen: list[str] = []
    for first in range(0, in_all, ON_ONE_PAGE):
        html = client.get(f"/stash?from={first}").text
        assert html.count('/used"') <= ON_ONE_PAGE
        seen += shown(html)
    assert sorted(seen) == sorted(f"left-{number}" for number in range(PIECES))
    assert f"of {in_all}" in client.get("/stash").text


@pytest.mark.parametrize("start", ["-5", "999999", "x", "9" * 30, "41"])
def test_any_start_leads_to_a_part(full, client, start):
    answer = client.get("/stash", params={"from": start})
    assert answer.status_code == 200 and shown(answer.text)


def test_other_parts_keep_what_is_looked_for(full, client):
    html = client.get("/stash?material=pond-canvas").text
    assert "material=pond-canvas&amp;from=40" in html


def test_a_fault_is_shown_with_its_piece_however_far_down_it_stands(full, client):
    answer = client.post("/stash/left-3", data={"version": "1", "long": "x", "wide": "2 in"})
    assert "left-3" in shown(answer.text)
    assert invalid_fields(answer.text)


def test_pieces_are_found_by_grain_age_bin_and_worth_and_the_query_stays(full, client):
    today = date.today()
    kinds = [
        ("old", today - timedelta(days=400), "Box 10", Decimal(3), None),
        ("new", today, "box 2", Decimal(1), 0.0),
        ("odd", None, "", None, None),
    ]
    with full.store() as store:
        for name, dated, place, worth, grain in kinds:
            piece = StashPiece(
                id=f"left-{name}",
                material_id="cloud-fleece",
                outer=((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)),
                grain_deg=grain,
                dated=dated,
                bin=place,
                value=Money(worth, "USD") if worth else None,
            )
            save_stash_piece(store, piece, expected_version=0)

    def found(query: str) -> list[str]:
        html = client.get(f"/stash?material=cloud-fleece&{query}").text
        return re.findall(r'action="/stash/left-(\w+)/used"', html)

    assert found("order=oldest+first") == ["old", "new", "odd"] and found("order=newest+first")[0] == "new"
    assert "No day told" in client.get("/stash?order=newest+first").text  # under the day they came on
    assert found("order=worth+most+first") == ["old", "new", "odd"]
    assert found("order=by+where+it+lies") == ["new", "old", "odd"]
    assert (found("age=over-year"), found("age=month"), found("bin=BOX+2")) == (["old"], ["new"], ["new"])
    assert (found("worth_from=2"), found("worth_to=2"), found("grain=known")) == (["old"], ["new"], ["new"])
    assert found("grain=along&long=300+mm&wide=200+mm") == ["new"] and not found("grain=along&long=200+mm&wide=300+mm")
    html = client.get("/stash?age=x&grain=y&worth_from=z&order=q").text
    assert set(invalid_fields(html)) == {"age", "grain", "worth_from", "order"}
    query = "material=cloud-fleece&bin=box"
    html = client.get(f"/stash?{query}&saved=left-new&x=1").text
    assert f'name="find" value="{query.replace("&", "&amp;")}"' in html and "Saved." in html
    sent = {"version": "1", "find": query + "&saved=1&next=//elsewhere"}
    answer = client.post("/stash/left-new/used", data=sent, follow_redirects=False)
    assert answer.headers["location"] == f"/stash?{query}&gone=left-new"
    refused = client.post("/stash/left-old", data={**sent, "value": "x"})
    assert refused.status_code == 422 and re.findall(r'action="/stash/left-(\w+)/used"', refused.text) == ["old"]


def test_a_piece_that_is_out_is_not_brought_back_by_a_change_from_another_tab(full, client):
    client.post("/stash/left-1/used", data={"version": "1"})
    assert client.post("/stash/left-1", data={"version": "2", "bin": "door"}).status_code == 409
    assert stash_piece(full, "left-1").retired
