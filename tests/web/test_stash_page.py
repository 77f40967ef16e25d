"""A long stash on the page: part by part, whatever is looked for or typed."""

from __future__ import annotations

import re

import pytest

from bagwright.model.stash import StashPiece
from bagwright.store.stash import save_stash_piece
from bagwright.store.transaction import transaction
from bagwright.web.stash_page import ON_ONE_PAGE
from bagwright.workflows.desk import Desk
from bagwright.workflows.stash_changes import the_stash
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
