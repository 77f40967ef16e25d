"""How strips are cut, chosen on the page of a cloth, undone on the page of the bag."""

from __future__ import annotations

import re

from tests.web.bag_on_page import shown_version
from tests.workflows.demo_values import TOTE

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
