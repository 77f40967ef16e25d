"""Her usual allowances on the page: typed in the workroom, told at a new bag with where they come from."""

from __future__ import annotations

from tests.web.html import fields

HINT = "Your usual one, kept in the workroom: 12.7 mm (1/2 in)."


def test_what_is_typed_in_the_workroom_is_told_at_the_next_bag(client):
    room = client.get("/workroom").text
    assert 'id="allowances"' in room
    typed = fields(room, "/workroom")
    assert typed["seam_allowance_mm"] == ""
    refused = client.post("/workroom", data={**typed, "seam_allowance_mm": "3 in"})
    assert refused.status_code == 422
    assert "4 mm to 20 mm" in refused.text
    assert client.post("/workroom", data={**typed, "seam_allowance_mm": "1/2 in"}).status_code == 303
    assert fields(client.get("/workroom").text, "/workroom")["seam_allowance_mm"] == "1/2 in"
    new = client.post("/bags", data={"form": "boxed_tote"})
    page = client.get(new.headers["location"]).text
    assert HINT in page
    assert "Common practice, no source: 12.7 mm (1/2 in)." in page
    assert 'href="/workroom#allowances"' in page
    size = fields(page, f"{new.headers['location']}/size")
    client.post(f"{new.headers['location']}/size", data={**size, "seam_allowance_mm": "1 cm"})
    changed = client.get(new.headers["location"]).text
    assert "This bag has 10 mm (about 3/8 in); your usual 12.7 mm (1/2 in) is kept in the workroom." in changed
