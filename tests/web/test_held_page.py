"""What the panels do between their neighbours, as a page and as a part of the bag's page."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from bagwright.web.held_page import held_page
from bagwright.workflows import held_view
from bagwright.workflows.desk import view_bag
from tests.web.html import read
from tests.workflows.demo_values import TOTE

HELD = f"/bags/{TOTE}/held"


def test_bag_page_leads_to_it_and_the_page_holds_the_part_that_is_fetched(client):
    assert f'hx-get="{HELD}"' in client.get(f"/bags/{TOTE}").text
    assert f'href="{HELD}"' in client.get(f"/bags/{TOTE}").text
    html = client.get(HELD).text
    assert 'id="held"' in html and "<svg" in html


def test_sentence_tells_how_far_and_the_strip_stands_beside_it(client):
    text = " ".join(read(client.get(HELD).text).texts)
    assert re.search(r"The front or back bows by .* in or more", text)
    assert "A strip of the same layers, cut free, stands" in text
    assert "Left out: what is in the bag" in text


def test_units_are_hers(client):
    version = re.search(r'name="version" value="(\d+)"', client.get("/workroom").text)
    assert version
    client.post("/workroom", data={"version": version[1], "units": "metric"})
    assert re.search(r"bows by .* cm or more", " ".join(read(client.get(HELD).text).texts))


def test_bag_without_a_flat_upright_front_says_so(client):
    assert "This picture is for the flat front and back" in client.get("/bags/lantern-card-wallet/held").text


def test_missing_material_is_told_in_a_line(desk):
    view = view_bag(desk, TOTE)
    bare = replace(view.answer.bag, stacks={})
    page = held_page(replace(view, answer=replace(view.answer, bag=bare)))
    assert page.lacks[0].href == "/bags/harbour-market-tote#role-outer"
    assert not page.none and not page.panels


def test_second_look_solves_nothing(desk, monkeypatch: pytest.MonkeyPatch):
    view = view_bag(desk, TOTE)
    first = held_view.held_views(view)

    def never(panel: object) -> None:
        raise AssertionError("solved again")

    monkeypatch.setattr(held_view, "held_panel_body", never)
    assert held_view.held_views(view) == first
