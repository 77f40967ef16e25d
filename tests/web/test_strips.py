"""How strips are cut, chosen on the page of a cloth, undone on the page of the bag."""

from __future__ import annotations

import re
from dataclasses import replace

from bagwright.model.material import Layer, OfferByLength
from bagwright.store.bags import load_bag, save_bag
from bagwright.store.materials import load_offers, save_offer
from tests.web.bag_on_page import shown_version
from tests.web.html import fields
from tests.workflows.demo_values import TOTE
from tests.workflows.test_strip_ways import piped_bag

TABLE = f"/bags/{TOTE}/layouts/pond-canvas"


def test_bands_are_chosen_drawn_and_undone(client):
    page = client.get(TABLE).text
    version = shown_version(page)
    assert "take least cloth" in page and "right across the cloth, at its far end" not in page
    chosen = client.post(f"{TABLE}/strips", data={"version": version, "all straight": "bands"})
    assert (chosen.status_code, chosen.headers["location"]) == (303, f"{TABLE}#strips")
    banded = client.get(TABLE).text
    assert "right across the cloth, at its far end" in banded
    assert re.search(r'<option value="bands" selected>', banded)
    stale = client.post(f"{TABLE}/strips", data={"version": version, "all straight": "laid"})
    assert stale.status_code == 409
    now = shown_version(banded)
    refused = client.post(f"{TABLE}/strips", data={"version": now, "piece no-such": "bands"})
    assert refused.status_code == 422 and "is no strip of this cloth" in refused.text
    client.post(f"/bags/{TOTE}/undo", data={"version": now})
    assert "right across the cloth, at its far end" not in client.get(TABLE).text


def test_a_bias_square_is_chosen_for_cloth_that_is_not_laid_yet(desk, client):
    """Half a piping, 45 degrees across the cloth, is wider than cloth of 450 mm if cut by itself; out of
    bias squares no wider than that it is laid."""
    piped_bag(desk)
    with desk.store() as store:
        bag = load_bag(store, "piped")
        role = next(role for role in bag.stacks if "piping" in role and role != "piping_cord")
        save_bag(store, replace(bag, stacks={**bag.stacks, role: (Layer("fern-lawn"),)}))
        for kept in load_offers(store):
            if isinstance(kept.value, OfferByLength) and kept.value.material_id == "fern-lawn":
                save_offer(store, replace(kept.value, width_mm=450.0), expected_version=kept.version)
    cloth = "/bags/piped/layouts/fern-lawn"
    bag_page = client.get("/bags/piped").text
    assert f'href="{cloth}"' in bag_page and "too narrow at every width" in bag_page
    html = client.get(cloth).text
    assert "It is not laid yet" in html and "too narrow at every width" in html and "Piping" in html
    sent = {**fields(html, f"{cloth}/strips"), "all bias": "bias square"}
    stale = client.post(f"{cloth}/strips", data={**sent, "version": "99"})
    assert stale.status_code == 409 and "It is not laid yet" in stale.text
    assert client.post(f"{cloth}/strips", data=sent).status_code == 303
    html = client.get(cloth).text
    assert "It is not laid yet" not in html and "Bias square" in html
    assert client.get("/bags/piped/layouts/no-such").status_code == 404
