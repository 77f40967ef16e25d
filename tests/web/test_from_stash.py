"""A bag's pieces cut from the stash on the page: what it saves, one press, one press back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.model.source import Reading
from bagwright.model.stash import StashPiece
from bagwright.store.materials import load_materials, save_material
from bagwright.store.stash import load_stash, save_stash_piece
from bagwright.workflows.desk import view_bag
from bagwright.workflows.from_stash import stash_for_bag
from tests.web.html import fields
from tests.workflows.demo_values import TOTE

STASH = f"/bags/{TOTE}/stash"
CUT = f"{STASH}/pond-canvas/cut"


@pytest.fixture
def remnant(desk):
    """A piece of the bag's canvas that holds its pieces, with a flaw in it."""
    flaw = ((300.0, 300.0), (340.0, 300.0), (340.0, 340.0), (300.0, 340.0))
    ring = ((0.0, 0.0), (1500.0, 0.0), (1500.0, 1100.0), (0.0, 1100.0))
    piece = StashPiece(id="rest", material_id="pond-canvas", outer=ring, grain_deg=0.0, bin="blue box", flaws=(flaw,))
    with desk.store() as store:
        return save_stash_piece(store, piece, expected_version=0).value


def stash_ids(desk):
    with desk.store() as store:
        return {kept.value.id for kept in load_stash(store)}


def canvas_mm(desk):
    answer = view_bag(desk, TOTE).answer
    return sum(sheet.bought_mm for sheet in answer.chosen_layouts() if sheet.material.id == "pond-canvas")


def shown(client, address=STASH, **others):
    answer = client.get(address, **others)
    assert answer.status_code == 200, answer.text[-500:]
    return answer.text


def done(client, address, sent):
    answer = client.post(address, data=sent)
    assert answer.status_code == 303, answer.text[-500:]
    return shown(client, answer.headers["location"])


def test_a_stash_without_anything_of_it_says_so_and_keeps_the_bag_quiet(client):
    assert "Nothing of what this bag is made of lies in your stash" in shown(client)
    assert shown(client, headers={"hx-request": "true"}).strip() == ""
    assert 'hx-get="/bags/' in shown(client, f"/bags/{TOTE}")
    assert client.get("/bags/no-such/stash").status_code == 404


def test_pieces_on_the_stash_save_what_the_shop_would_take(client, desk, remnant):
    view = view_bag(desk, TOTE)
    (offer,) = stash_for_bag(desk, view).offers
    html = shown(client)
    for words in ("Cut these from the stash", "Cut from it:", "in blue box", "less today", offer.pays_then.said()):
        assert words in html
    assert "from your stash" in shown(client, headers={"hx-request": "true"})
    before_mm, before = canvas_mm(desk), view.answer
    html = done(client, CUT, fields(html, CUT))
    assert "no longer on the buying list" in html
    after = view_bag(desk, TOTE).answer
    assert canvas_mm(desk) < before_mm
    assert after.money_in_all()[0] == offer.pays_then < before.money_in_all()[0]
    assert remnant.id not in stash_ids(desk)
    html = done(client, f"{STASH}/cuttings/undo", fields(html, f"{STASH}/cuttings/undo"))
    assert stash_ids(desk) == {remnant.id}
    assert view_bag(desk, TOTE).answer.money_in_all() == before.money_in_all()
    done(client, f"{STASH}/cuttings/redo", fields(html, f"{STASH}/cuttings/redo"))
    assert remnant.id not in stash_ids(desk)
    assert view_bag(desk, TOTE).answer.money_in_all()[0] == offer.pays_then


def test_sewn_bags_free_the_next_ones_and_a_changed_bag_buys_again(client, desk, remnant):
    before = view_bag(desk, TOTE).answer.money_in_all()[0]
    html = shown(client)
    html = done(client, CUT, fields(html, CUT))
    sewn = done(client, f"{STASH}/cuttings/sewn", fields(html, f"{STASH}/cuttings/sewn"))
    assert "For the next ones every piece is bought again" in sewn
    assert view_bag(desk, TOTE).answer.money_in_all()[0] == before
    done(client, f"{STASH}/cuttings/unsewn", fields(sewn, f"{STASH}/cuttings/unsewn"))
    sent = fields(shown(client, f"/bags/{TOTE}"), f"/bags/{TOTE}/size")
    changed = client.post(f"/bags/{TOTE}/size", data={**sent, "width_mm": "14 in"})
    assert changed.status_code == 303
    assert "the bag has changed since" in shown(client)


def test_rejects_what_has_changed_meanwhile_and_a_second_press_keeps_one_cutting(client, desk, remnant):
    sent = fields(shown(client), CUT)
    assert client.post(CUT, data={**sent, "seen": "other"}).status_code == 409
    assert stash_ids(desk) == {remnant.id}
    done(client, CUT, sent)
    left = stash_ids(desk)
    done(client, CUT, sent)
    assert stash_ids(desk) == left
    assert client.post(f"{STASH}/cuttings/eaten", data={}).status_code == 404
    assert client.post(f"{STASH}/cuttings/undo", data={"cutting_id": "no-such", "version": "1"}).status_code == 404
    assert client.post(f"{STASH}/cuttings/undo", data={**sent, "version": "99"}).status_code == 409


def test_printed_pieces_are_cut_from_the_stash_only_where_a_motif_is_told(client, desk, remnant):
    """The panels are large enough to show a motif of 150 x 150 mm in their middle; nothing else of the canvas is."""
    with desk.store() as store:
        (kept,) = (one for one in load_materials(store) if one.value.id == "pond-canvas")
        repeat = Reading.exact(150.0)
        printed = replace(kept.value, repeat_along_mm=repeat, repeat_across_mm=repeat)
        save_material(store, printed, expected_version=kept.version)
    html = shown(client)
    assert "1 piece of it does not say where a motif lies" in html
    offers = stash_for_bag(desk, view_bag(desk, TOTE)).offers
    assert not {place.id for offer in offers for one in offer.laid for place in one.placements} & {"outer"}
    sent = {**fields(shown(client, "/stash"), f"/stash/{remnant.id}"), "motif": "2 in x 3 in"}
    done(client, f"/stash/{remnant.id}", sent)
    assert fields(shown(client, "/stash"), f"/stash/{remnant.id}")["motif"] == "2 in x 3 in"
    assert "does not say where" not in shown(client)
    (offer,) = stash_for_bag(desk, view_bag(desk, TOTE)).offers
    laid = [(one, place) for one in offer.laid for place in one.placements if place.id == "outer"]
    assert laid
    left = printed.shrinkage_share.value if printed.shrinkage_share else 0.0
    crosswise = printed.crosswise_shrinkage_share.value if printed.crosswise_shrinkage_share else 0.0
    (outer,) = (piece for piece in offer.pieces if piece.id == "outer")
    assert outer.anchor
    for _, place in laid:
        x, y = place.move.apply(outer.anchor)
        along, across = 150 * (1 - left), 150 * (1 - crosswise)
        assert abs((x - 50.8 + along / 2) % along - along / 2) < 1e-3
        assert abs((y - 76.2 + across / 2) % across - across / 2) < 1e-3
    sent = {**fields(shown(client, "/stash"), f"/stash/{remnant.id}"), "motif": "somewhere"}
    answer = client.post(f"/stash/{remnant.id}", data=sent)
    assert answer.status_code == 422 and "cannot be read as a place" in answer.text
