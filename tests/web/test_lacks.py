"""A bag of materials that little is known of: every page says what is missing, and where to put it right."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import pytest
from starlette.testclient import TestClient

from bagwright.errors import Problem
from bagwright.web.app import build_app
from bagwright.web.lacks import lacks_of
from bagwright.web.swap_page import swaps_page
from bagwright.workflows.desk import Desk, view_bag
from bagwright.workflows.swap_search import swaps_of_role
from tests.web.bag_on_page import shown_version
from tests.web.html import read

TOTE = "/bags/harbour-market-tote"


@pytest.fixture
def foam(client):
    """The tote with a foam behind its outer of which nothing is known; gives the foam's address."""
    page = client.post("/materials", data={"name": "bag foam", "kind": "foam"}).headers["location"]
    version = str(shown_version(client.get(TOTE).text))
    layers = {"material_0": "pond-canvas", "extent_0": "whole piece", "held_0": "loose"}
    layers |= {"material_1": page.removeprefix("/materials/"), "extent_1": "whole piece", "held_1": "basted"}
    assert client.post(f"{TOTE}/layers/outer", data={"version": version, **layers}).status_code == 303
    return page


@pytest.mark.parametrize("part", ["", "/held", "/sewing", "/measuring", "/swaps/outer", "/asking", "/money"])
def test_what_is_missing_is_told_with_the_way_to_it(client, foam, part):
    answer = client.get(f"{TOTE}{part}")
    assert answer.status_code == 200
    assert f'href="{foam}/measure"' in answer.text
    assert "Bag foam has no thickness yet." in " ".join(read(answer.text).texts)
    assert "materials.bag-foam" not in answer.text


@pytest.mark.parametrize("part", ["", "/held", "/sewing", "/measuring", "/swaps/outer", "/asking", "/money"])
def test_headings_follow_in_order(client, part):
    levels = [int(tag[1]) for tag, _ in read(client.get(f"{TOTE}{part}").text).tags if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_swaps_name_what_could_not_be_tried(client):
    client.post("/materials", data={"name": "bag foam", "kind": "foam"})
    told = " ".join(read(client.get(f"{TOTE}/swaps/outer").text).texts)
    assert re.search(r"Not tried, as a price, a weight, a thickness or the stiffness is missing: [^.]*bag foam", told)


def test_swaps_say_so_if_nothing_can_be_tried(desk):
    view = view_bag(desk, "harbour-market-tote")
    found = replace(swaps_of_role(view, "outer"), lines=(), tried=0)
    assert swaps_page(view, found).told.startswith("Nothing on your shelf can be tried yet.")


def test_price_that_is_missing_leads_to_the_offers():
    problem = Problem(
        place="materials[felt].offers", value="felt", what="has no price yet", allowed="", remedy="Add it."
    )
    (lack,) = lacks_of([problem], "tote")
    assert (lack.href, lack.link) == ("/materials/felt#offers-title", "Add a price")


def test_swaps_of_no_panel_are_not_there(client, foam):
    assert client.get(f"{TOTE}/swaps/handles").status_code == 404


def test_material_put_away_is_marked_where_a_bag_still_uses_it(client):
    page = "/materials/cloud-fleece"
    version = str(shown_version(client.get(page).text))
    assert client.post(f"{page}/away", data={"version": version}).status_code == 303
    assert "Cloud fusible fleece (put away)" in client.get(TOTE).text
    assert "Cloud fusible fleece" not in client.get("/bonds").text
    asked = client.get("/bonds?outer=pond-canvas&inner=cloud-fleece").text
    assert '<option value="cloud-fleece" selected>Cloud fusible fleece (put away)' in asked
    for part in ("/held", "/sewing", "/measuring", "/swaps/outer"):
        assert client.get(f"{TOTE}{part}").status_code == 200


def test_bonds_on_an_empty_shelf_lead_to_the_first_material(tmp_path):
    with TestClient(build_app(Desk(tmp_path)), base_url="http://127.0.0.1") as client:
        assert 'href="/materials#new-title"' in client.get("/bonds").text
        assert client.get("/materials").status_code == 200


def test_lack_without_a_place_to_go_is_told_all_the_same():
    problem = Problem(place="width_mm", value="9", what="is too small", allowed="10 and more", remedy="Make it wider.")
    (lack,) = lacks_of([problem], "tote")
    assert (lack.words, lack.href) == ("9 is too small. Make it wider.", "")
