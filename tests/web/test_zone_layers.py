"""A layer for one zone, chosen on the page of a bag and told there."""

from __future__ import annotations

import re

from tests.web.bag_on_page import shown_version
from tests.web.html import said
from tests.workflows.demo_values import POUCH, TOTE


def role(client, bag: str, key: str = "outer") -> str:
    found = re.search(rf'<form class="layers" id="role-{key}".*?</form>', client.get(f"/bags/{bag}").text, re.DOTALL)
    assert found
    return found[0]


def choose(client, bag: str, *layers: tuple[str, str]):
    sent = {"version": str(shown_version(client.get(f"/bags/{bag}").text))}
    for number, (material, extent) in enumerate(layers):
        held = "basted" if number else "loose"
        sent |= {f"material_{number}": material, f"extent_{number}": extent, f"held_{number}": held}
    return client.post(f"/bags/{bag}/layers/outer", data=sent)


def test_choice_lists_the_zones_by_name_but_not_for_the_outermost_layer(client):
    outermost, inner = re.findall(r'<select id="outer-\d-e".*?</select>', role(client, TOTE), re.DOTALL)
    assert "zone" not in outermost
    names = re.findall(r'<option value="zone: [^"]*">([^<]*)<', inner)
    assert names == ["only the front and back", "only the base", "only the left side", "only the right side"]


def test_layer_of_a_zone_is_kept_and_told_with_its_piece_and_its_panel(client):
    assert choose(client, TOTE, ("pond-canvas", "whole piece"), ("moss-felt", "zone: base")).status_code == 303
    page = client.get(f"/bags/{TOTE}").text
    assert '<option value="zone: base" selected>only the base</option>' in page
    assert "Outer panel: base" in re.findall(r"<th[^>]*>([^<]*)</th>", page)
    assert "Base, with the " in page and "The rest: " in page
    swaps = client.get(f"/bags/{TOTE}/swaps/outer").text
    assert "on the base stays as it is" in swaps
    assert 'value="zone: base"' in swaps
    assert "others do not count" in client.get(f"/bags/{TOTE}/held").text


def test_zone_that_is_not_there_is_refused_beside_the_layers(client):
    answer = choose(client, TOTE, ("pond-canvas", "whole piece"), ("moss-felt", "zone: lid"))
    assert answer.status_code == 422
    assert "is no zone of the outer" in answer.text and "left side" in answer.text


def test_zone_that_went_with_the_depth_is_told_and_stays_chosen(client):
    choose(client, POUCH, ("fern-lawn", "whole piece"), ("moss-felt", "zone: base"))
    version = shown_version(client.get(f"/bags/{POUCH}").text)
    sent = {"version": str(version), "depth_mm": "0"}
    assert client.post(f"/bags/{POUCH}/size", data=sent).status_code == 303
    outer = role(client, POUCH)
    assert "is meant for the base, which this bag does not have now" in outer
    assert "only the base, not there now" in outer


def test_zone_that_is_most_of_a_panel_names_what_is_told_of_it(client):
    choose(client, TOTE, ("pond-canvas", "whole piece"), ("moss-felt", "zone: front and back"))
    page = said(client.get(f"/bags/{TOTE}").text)
    assert "Front and back: a " in page
    assert "Outside the front and back, without the Moss craft felt, 2 mm, it stands" in page
    assert "The rest:" not in page


def test_run_says_which_layer_of_a_bag_is_not_cut(client):
    choose(client, POUCH, ("fern-lawn", "whole piece"), ("moss-felt", "zone: base"))
    version = shown_version(client.get(f"/bags/{POUCH}").text)
    client.post(f"/bags/{POUCH}/size", data={"version": str(version), "depth_mm": "0"})
    run = client.post("/runs", data={"name": "Spring market"}).headers["location"]
    client.post(run, data={"version": "1", "add": POUCH})
    assert "Moss craft felt, 2 mm for its base is not cut: it has no base now." in said(client.get(run).text)
