"""The zips of a bag on its page: what to buy, what to do, where the foot meets bulk."""

from __future__ import annotations

import re

from tests.web.bag_on_page import BagOnPage
from tests.web.html import said
from tests.workflows.demo_values import TOTE

POUCH = "reed-pencil-pouch"


def zips_of(html: str) -> list[str]:
    return re.findall(r'<article class="zip.*?</article>', html, re.DOTALL)


def test_bag_without_a_zip_shows_none(client):
    assert zips_of(BagOnPage(client, TOTE).html()) == []


def test_pouch_tells_what_to_buy_in_which_order_and_where_it_is_thick(client):
    (told,) = zips_of(BagOnPage(client, POUCH).html())
    assert "Buy a ready-made zip" in told and "from the roll" in told
    headings = [told.index(word) for word in ("Made ready from the roll", "Or from a ready-made zip", "Then sewn in")]
    assert headings == sorted(headings)
    assert "Where a tab begins: 4 layers, 3 beside them." in told
    assert "{" not in told


def test_top_zip_added_to_a_tote_is_told_and_bought(client):
    bag = BagOnPage(client, TOTE)
    assert bag.post("size", top_zip="1").status_code == 303
    (told,) = zips_of(bag.html())
    assert "Zip across the top" in told and "Width with the cloth beside it" in told
    assert bag.post("size", top_zip="recessed").status_code == 303
    assert len(zips_of(bag.html())) == 1


def test_ready_made_zip_needs_no_slider(client):
    bag = BagOnPage(client, POUCH)
    assert 'id="role-slider"' in bag.html()
    answer = bag.post("layers/zip_chain", material_0="reed-zip", extent_0="whole piece", held_0="loose")
    assert answer.status_code == 303
    html = said(bag.html())
    assert 'id="role-slider"' not in html
    assert "each 10 in long" in html
    assert "missing before the whole answer" not in html
