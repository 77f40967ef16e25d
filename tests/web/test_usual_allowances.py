"""Her usual allowances on the page: typed in the workroom, told at a new bag with where they come from."""

from __future__ import annotations

from tests.web.html import fields, said


def test_a_change_of_settings_is_undone_and_redone_but_no_stale_one(client):
    assert "Undo the last change of settings" not in client.get("/workroom").text
    for pay in ("20", "30"):
        typed = fields(client.get("/workroom").text, "/workroom")
        client.post("/workroom", data={**typed, "hourly_pay": pay})
    room = client.get("/workroom").text
    undo = fields(room, "/workroom/undo")
    assert client.post("/workroom/undo", data=undo).headers["location"] == "/workroom?stepped"
    assert client.post("/workroom/undo", data=undo).status_code == 409
    undone = client.get("/workroom").text
    assert fields(undone, "/workroom")["hourly_pay"] == "20.00"
    client.post("/workroom/redo", data=fields(undone, "/workroom/redo"))
    again = fields(client.get("/workroom").text, "/workroom")
    assert again["hourly_pay"] == "30.00" and "Redo" not in client.get("/workroom").text


HINT = "Your usual one, kept in the workroom: 1/2 in (12.7 mm)."


def test_what_is_typed_in_the_workroom_is_told_at_the_next_bag(client):
    room = client.get("/workroom").text
    assert 'id="allowances"' in room
    typed = fields(room, "/workroom")
    assert typed["seam_allowance_mm"] == ""
    refused = client.post("/workroom", data={**typed, "seam_allowance_mm": "3 in"})
    assert refused.status_code == 422
    assert "about 3/16 in (4 mm) to about 13/16 in (20 mm)" in said(refused.text)
    assert client.post("/workroom", data={**typed, "seam_allowance_mm": "1/2 in"}).status_code == 303
    assert fields(client.get("/workroom").text, "/workroom")["seam_allowance_mm"] == "1/2 in"
    new = client.post("/bags", data={"form": "boxed_tote"})
    page = said(client.get(new.headers["location"]).text)
    assert HINT in page
    assert "Common practice, no source: 1/2 in (12.7 mm)." in page
    assert 'href="/workroom#allowances"' in page
    size = fields(page, f"{new.headers['location']}/size")
    client.post(f"{new.headers['location']}/size", data={**size, "seam_allowance_mm": "1 cm"})
    changed = said(client.get(new.headers["location"]).text)
    assert "This bag has about 3/8 in (10 mm); your usual 1/2 in (12.7 mm) is kept in the workroom." in changed


def test_the_first_change_of_settings_goes_back_to_the_usual_ones(client):
    usual = fields(client.get("/workroom").text, "/workroom")
    client.post("/workroom", data={**usual, "units": "metric"})
    client.post("/workroom/undo", data=fields(client.get("/workroom").text, "/workroom/undo"))
    back = client.get("/workroom").text
    assert fields(back, "/workroom") == {**usual, "version": "3"}
    assert "/workroom/undo" not in back and "/workroom/redo" in back
