"""Which test at home tells most: a part of the bag's page, a page of its own, links to where readings are typed."""

from __future__ import annotations

import pytest

from bagwright.web import paying_page
from tests.web.html import fields, ids, read, what_could_run

BAGS = ("harbour-market-tote", "reed-pencil-pouch")
CANVAS = "/materials/pond-canvas"


def links(html):
    return [a["href"] for tag, a in read(html).tags if tag == "a"]


def doubt_canvas(client, overhang="20 mm to 200 mm"):
    """Put the canvas back to a guess that is so wide that the tote may stand or not."""
    typed = {k: v for k, v in fields(client.get(CANVAS).text, CANVAS).items() if k not in ("directional", "holes_stay")}
    known = {"overhang_mm": overhang, "overhang_mm_known": "guess"}
    assert client.post(CANVAS, data={**typed, **known}).status_code == 303


def test_every_address_is_tried_here():
    assert {route.path for route in paying_page.ROUTES} == {"/bags/{bag_id}/measuring"}


@pytest.mark.parametrize("bag", BAGS)
def test_part_and_page_tell_the_same_and_lead_to_the_forms(client, bag):
    address = f"/bags/{bag}/measuring"
    part = client.get(address, headers={"hx-request": "true"}).text
    page = client.get(address).text
    assert "<h3" in part
    part = client.get(f"{address}?top", headers={"hx-request": "true"}).text
    assert part.strip() in page and "<html" not in part and what_could_run(page) == []
    assert len(ids(page)) == len(set(ids(page)))
    for href in links(part):
        assert client.get(href).status_code == 200
    assert f'hx-get="{address}"' in client.get(f"/bags/{bag}").text


def test_pair_to_be_fused_is_chosen_already_where_the_link_leads(client):
    part = client.get("/bags/harbour-market-tote/measuring").text
    pair = next(href for href in links(part) if href.startswith("/bonds?"))
    chosen = fields(client.get(pair).text, "/bonds#found")
    assert (chosen["outer"], chosen["inner"], chosen["held"]) == ("pond-canvas", "cloud-fleece", "fused")


def test_test_that_settles_whether_it_stands_comes_first(client):
    assert "may stand or slump" not in client.get("/bags/harbour-market-tote/measuring").text
    doubt_canvas(client)
    html = client.get("/bags/harbour-market-tote/measuring").text
    assert "Front and back may stand or slump: the readings allow both." in html
    # The best test comes first and says how often it settles that.
    best = html[html.index("<strong>") : html.index("Type in what you read")]
    assert "Pond canvas, 10 oz" in best and "of cases you then know whether it stands" in best


def test_layers_without_readings_are_told_not_guessed(client):
    typed = {k: v for k, v in fields(client.get(CANVAS).text, CANVAS).items() if k not in ("directional", "holes_stay")}
    assert client.post(CANVAS, data={**typed, "overhang_mm": ""}).status_code == 303
    answer = client.get("/bags/harbour-market-tote/measuring")
    assert answer.status_code == 200
    assert "has no stiffness (the ruler test tells it) yet" in answer.text
    assert f'href="{CANVAS}/measure"' in answer.text
    assert client.get("/bags/none/measuring").status_code == 404
