"""What saves on a bag: ranked, at a price, tried as a copy beside the original."""

from __future__ import annotations

import html
import re

from bagwright.costing.savings import SearchLimits
from bagwright.model.stash import StashPiece
from bagwright.store.stash import save_stash_piece
from bagwright.workflows.desk import view_bag
from bagwright.workflows.saving_scraps import scrap_changes
from bagwright.workflows.savings import SavingsAsked, savings_of_bag
from tests.web.html import fields
from tests.workflows.demo_values import TOTE

PAGE = f"/bags/{TOTE}/savings"


def sent_by_first_form(text):
    form = re.search(r'<form method="post".*?</form>', text, re.DOTALL)
    assert form
    return {key: html.unescape(value) for key, value in re.findall(r'name="(\w+)" value="([^"]*)"', form[0])}


def test_bag_leads_to_its_savings_and_they_are_worked_out_when_seen(client):
    assert f'href="{PAGE}"' in client.get(f"/bags/{TOTE}").text
    page = client.get(f"{PAGE}?target=%2445&keep=may+stand").text
    assert f'hx-get="{PAGE}/found?target=%2445&amp;keep=may+stand"' in page
    part = client.get(f"{PAGE}/found", headers={"hx-request": "true"}).text
    assert "<html" not in part
    assert "The price that pays you falls by $" in part


def test_savings_are_told_in_words_and_one_is_tried_as_a_copy_beside_the_original(client):
    found = client.get(f"{PAGE}/found?target=45").text
    assert "<h1>What would make it cheaper</h1>" in found
    assert "bring the price that pays you to $4" in found
    assert "Worked out as one bag, not added up." in found
    falls = [float(one) for one in re.findall(r"falls by \$([\d.]+), to", found.split("One change at a time")[1])]
    alone = falls[: found.count('name="change"')]
    assert len(alone) > 4
    sent = sent_by_first_form(found.split("One change at a time")[1])
    made = client.post(PAGE, data=sent)
    assert made.status_code == 303
    beside = client.get(made.headers["location"]).text
    assert "Harbour market tote is as it was. Change the copy as you like" in beside
    copy = made.headers["location"].rpartition("/")[2]
    assert client.get(f"/bags/{copy}").status_code == 200
    put_away = sent_by_first_form(beside)
    away = client.post(f"/bags/{copy}/away", data=put_away)
    assert away.headers["location"] == f"/?away={copy}"
    assert f'href="/bags/{copy}"' not in client.get("/").text


def test_what_cannot_be_tried_is_refused_and_nothing_is_kept(client):
    before = client.get("/").text
    for sent, status in (
        ({"version": "9", "change": "run=5"}, 409),
        ({"version": "1", "change": ["run=5", "run=2"]}, 422),
        ({"version": "1"}, 422),
    ):
        assert client.post(PAGE, data=sent).status_code == status
    assert client.get("/").text == before


def test_a_price_that_is_none_is_told_beside_its_field(client):
    answer = client.get(f"{PAGE}?target=cheap")
    assert answer.status_code == 422
    assert 'id="target-fault"' in answer.text
    assert "hx-get=" not in answer.text.split("<main")[1]


def test_what_the_stash_saves_agrees_with_the_bag_once_it_is_cut(client, desk):
    ring = ((0.0, 0.0), (1500.0, 0.0), (1500.0, 1100.0), (0.0, 1100.0))
    piece = StashPiece(id="rest", material_id="pond-canvas", outer=ring, grain_deg=0.0)
    with desk.store() as store:
        save_stash_piece(store, piece, expected_version=0)
    (scraps,) = scrap_changes(desk, view_bag(desk, TOTE))
    found = savings_of_bag(desk, TOTE, SavingsAsked(limits=SearchLimits(most_tried=1)))
    saving = next(one for one in found.savings.ranked if one.changes == (scraps.key,))
    assert re.fullmatch(r"Cut \d+ pieces of Pond canvas, 10 oz from your stash", scraps.does)
    assert not scraps.is_of_bag
    cut = f"/bags/{TOTE}/stash/pond-canvas/cut"
    assert client.post(cut, data=fields(client.get(f"/bags/{TOTE}/stash").text, cut)).status_code == 303
    price = view_bag(desk, TOTE).answer.price
    assert price
    assert (price.paid_price, price.floor) == (saving.outcome.price, saving.outcome.cost)
