"""Sewing a bag: what with, where it gets thick against her machine, what the straps bear."""

from __future__ import annotations

from dataclasses import replace

from bagwright.web.sewing_page import sewing_page
from bagwright.workflows.desk import view_bag
from tests.web.html import fields, invalid_fields
from tests.workflows.demo_values import TOTE

SEWING = f"/bags/{TOTE}/sewing"


def test_bag_leads_to_sewing_it(client):
    assert f'href="{SEWING}"' in client.get(f"/bags/{TOTE}").text


def test_needle_thread_and_thick_places_are_told(client):
    html = client.get(SEWING).text
    assert "<dt>Needle</dt>" in html
    assert "Too thick, even trimmed" in html
    assert "The other steps" in html


def test_a_stronger_machine_is_told_nothing_of_thick_places(client):
    assert client.post("/workroom", data={"version": "0", "takes_mm": "20 mm"}).status_code == 303
    html = client.get(SEWING).text
    assert "too thick" not in html
    assert "The other steps" in html


def test_needles_stop_at_what_her_machine_takes(client):
    assert "110/18" in client.get(SEWING).text
    assert client.post("/workroom", data={"version": "0", "thickest_needle_nm": "100"}).status_code == 303
    html = client.get(SEWING).text
    assert "110/18" not in html.partition("Who says so")[0]
    assert "Your machine takes needles up to 100/16: stay at that." in html
    assert '<option value="100" selected>100/16' in client.get("/workroom").text


def test_straps_are_told_for_the_load_that_is_typed(client):
    usual = fields(client.get(SEWING).text, f"{SEWING}#strap-title")
    assert usual["ends"] == "4"
    assert not invalid_fields(client.get(SEWING).text)
    light, heavy = (client.get(SEWING, params={"load": load}).text for load in ("1 lb", "200 lb"))
    assert "holds that well" in light
    assert "is weak for that load" in heavy
    assert "hang it up over something soft" in heavy


def test_faults_of_the_straps_stand_beside_their_fields(client):
    typed = {"load": "<b>", "ends": "2.5", "drop": "9 yd", "spread": "-1", "stitched": "0", "thread": "1"}
    html = client.get(SEWING, params=typed).text
    assert invalid_fields(html) == set(typed)
    assert fields(html, f"{SEWING}#strap-title") == typed


def test_a_bag_without_straps_is_asked_nothing_of_them(client):
    assert "What the straps bear" not in client.get("/bags/lantern-card-wallet/sewing").text


def test_a_bag_without_materials_says_what_is_missing(desk):
    view = view_bag(desk, TOTE)
    bare = replace(view, answer=replace(view.answer, bag=replace(view.answer.bag, stacks={})))
    page = sewing_page(bare, {})
    assert not page.facts
    assert any("material" in lack.words for lack in page.problems)
