"""The shelf on the page: adding, changing, undoing, offers, pictures, the table."""

from __future__ import annotations

import csv
import io

import pytest
from PIL import Image

from tests.web.bag_on_page import shown_version
from tests.web.html import fields, ids, invalid_fields, read, what_could_run

CANVAS = "/materials/pond-canvas"


BOXES = ("directional", "holes_stay", "half_drop", "laid_double")
"""Boxes to tick: a browser sends none of them while they are empty."""


def post(client, path, *, page=CANVAS, files=None, **texts):
    sent = {"version": str(shown_version(client.get(page).text)), **texts}
    return client.post(path, data=sent, files=files, follow_redirects=False)


def form(client, page=CANVAS):
    values = fields(client.get(page).text, page)
    return {key: value for key, value in values.items() if key not in BOXES}


def picture(kind="PNG", size=(900, 600)):
    written = io.BytesIO()
    Image.new("RGB", size, (120, 40, 30)).save(written, kind)
    return written.getvalue()


def test_page_is_whole(client):
    html = client.get(CANVAS).text
    found = ids(html)
    assert len(found) == len(set(found))
    assert what_could_run(html) == []
    for _, attributes in read(html).tags:
        assert not attributes.get("for") or attributes["for"] in found


def test_saving_what_is_shown_changes_nothing(client):
    before = shown_version(client.get(CANVAS).text)
    assert post(client, CANVAS, **form(client)).status_code == 303
    assert shown_version(client.get(CANVAS).text) == before


def test_typed_range_and_source_are_kept_and_undone(client):
    old = form(client)["thickness_mm"]
    typed = {**form(client), "thickness_mm": "0.5 to 0.7 mm", "thickness_mm_known": "measured by you"}
    typed["thickness_mm_said_by"] = "stack of ten, under a book"
    assert post(client, CANVAS, **typed).status_code == 303
    assert form(client)["thickness_mm"] == "0.024 in (0.020 to 0.028 in)"
    assert post(client, f"{CANVAS}/undo").status_code == 303
    assert form(client)["thickness_mm"] == old
    assert post(client, f"{CANVAS}/redo").status_code == 303
    assert form(client)["thickness_mm"] == "0.024 in (0.020 to 0.028 in)"


def test_all_faults_come_back_beside_their_fields_with_what_was_typed(client):
    typed = {**form(client), "name": " ", "thickness_mm": "9 in", "mass_gsm": "heavy", "shrinkage_share": "90 %"}
    answer = post(client, CANVAS, **typed)
    assert answer.status_code == 422
    assert invalid_fields(answer.text) == {"name", "thickness_mm", "mass_gsm", "shrinkage_share"}
    assert fields(answer.text, CANVAS)["mass_gsm"] == "heavy"
    assert form(client)["mass_gsm"] != "heavy"


def test_page_that_is_out_of_date_overwrites_nothing(client):
    typed = {**form(client), "fibres": "hemp", "version": "99"}
    answer = client.post(CANVAS, data=typed)
    assert answer.status_code == 409
    assert form(client)["fibres"] == "cotton"


def test_new_material_starts_from_what_is_usual_for_its_kind(client):
    answer = client.post("/materials", data={"name": "Moss felt", "kind": "felt"}, follow_redirects=False)
    page = answer.headers["location"]
    assert form(client, page)["thickness_mm"] == "0.079 in (0.039 to 0.118 in)"
    assert "Moss felt" in client.get("/materials").text


def test_new_material_without_a_name_rejects_beside_the_field(client):
    answer = client.post("/materials", data={"name": "", "kind": "felt"})
    assert (answer.status_code, invalid_fields(answer.text)) == (422, {"name"})


def test_copy_takes_the_offers_along(client):
    answer = post(client, f"{CANVAS}/copy")
    page = answer.headers["location"]
    assert "(copy)" in form(client, page)["name"]
    assert client.get(page).text.count('class="offer"') == client.get(CANVAS).text.count('class="offer"')


def test_material_put_away_leaves_the_shelf_but_not_its_bags(client):
    assert post(client, f"{CANVAS}/away").status_code == 303
    assert "Put away" in client.get("/materials").text
    assert client.get("/bags/harbour-market-tote").status_code == 200
    assert post(client, f"{CANVAS}/back").status_code == 303
    assert "is put away" not in client.get(CANVAS).text


def test_new_offer_is_bought_from_and_can_be_taken_off_and_brought_back(client):
    offer = {"sold": "by length", "seller": "Barn sale", "price": "1.00", "priced_per_mm": "1 yd", "width_mm": "60 in"}
    offer |= {"step_mm": "1/8 yd", "dated": "2026-11-01", "price_breaks": "from 5: 0.90"}
    assert post(client, f"{CANVAS}/offers", **offer).status_code == 303
    html = client.get(CANVAS).text
    assert "Barn sale: $1.00, by length" in html
    barn = next(
        str(a["value"])
        for t, a in read(html).tags
        if t == "input" and a.get("name") == "offer_id" and str(a.get("value")).startswith("barn-sale")
    )
    assert "Barn sale" not in client.get("/materials").text
    gone = client.post(f"{CANVAS}/offers/drop", data={"offer_id": barn, "version": "1"}, follow_redirects=True)
    assert "Barn sale" not in gone.text and "Bring it back" in gone.text
    back = client.post(f"{CANVAS}/offers/back", data={"offer_id": barn}, follow_redirects=True)
    assert "Barn sale: $1.00" in back.text


def test_offer_with_faults_rejects_all_at_once_and_never_takes_a_missing_price(client):
    answer = post(
        client, f"{CANVAS}/offers", sold="by length", seller="", price="", width_mm="x", step_mm="", dated="soon"
    )
    assert answer.status_code == 422
    assert {"seller", "price", "width_mm", "step_mm", "dated", "priced_per_mm"} <= invalid_fields(answer.text)


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_picture_is_kept_small_and_shown(client, kind):
    assert post(client, f"{CANVAS}/swatch", files={"picture": ("p", picture(kind))}).status_code == 303
    answer = client.get(f"{CANVAS}/swatch.jpg")
    shown = Image.open(io.BytesIO(answer.content))
    assert (shown.format, shown.size) == ("JPEG", (480, 480))
    assert "swatch.jpg" in client.get(CANVAS).text


@pytest.mark.parametrize(
    "data", [b"", b"no picture", picture()[:200], b"<svg onload='alert(1)'/>", b"GIF89a" + b"\0" * 99]
)
def test_what_is_no_picture_rejects_and_changes_nothing(client, data):
    answer = post(client, f"{CANVAS}/swatch", files={"picture": ("p.png", data)})
    assert answer.status_code == 422
    assert "is no picture" in answer.text
    assert client.get(f"{CANVAS}/swatch.jpg").status_code == 404


def test_picture_of_too_many_pixels_rejects(client, monkeypatch):
    monkeypatch.setattr("bagwright.workflows.swatches.MOST_PIXELS", 1000)
    answer = post(client, f"{CANVAS}/swatch", files={"picture": ("p.png", picture())})
    assert answer.status_code == 422 and "too many pixels" in answer.text


def test_table_property_comes_back_as_it_went(client):
    table = client.get("/materials/csv").content
    answer = client.post("/materials/csv", files={"table": ("materials.csv", table)}, follow_redirects=True)
    assert "Taken in: 0 new, 0 changed." in answer.text


def test_changed_table_changes_the_shelf(client):
    rows = list(csv.DictReader(io.StringIO(client.get("/materials/csv").text)))
    own = next(row for row in rows if row["id"] == "pond-canvas")
    own |= {"fibres": "hemp", "thickness_mm": "0.7", "thickness_mm_low": "0.6", "thickness_mm_high": "0.8"}
    new = {**own, "id": "new-hemp", "name": "New hemp"}
    written = io.StringIO()
    table = csv.DictWriter(written, list(own))
    table.writeheader()
    table.writerows([own, new])
    answer = client.post("/materials/csv", files={"table": ("m.csv", written.getvalue())}, follow_redirects=True)
    assert "Taken in: 1 new, 1 changed." in answer.text
    assert form(client)["thickness_mm"] == "0.028 in (0.024 to 0.031 in)"


@pytest.mark.parametrize(
    ("table", "told"),
    [
        (b"", "has no row"),
        (b"\xff\xfe\x00", "no table"),
        (b"id,name,kind\n", "has no row"),
        (b"id,colour\nx,red\n", "names no column"),
        (b"id,name,kind\nx,X,velvet\n", "row 2, kind"),
        (b"id,name,kind,mass_gsm\nx,X,felt,heavy\n", "row 2, mass_gsm"),
        (b"id,name,kind\nx,X,felt\nx,Y,felt\n", "is used twice"),
    ],
)
def test_faulty_table_rejects_and_changes_nothing(client, table, told):
    before = client.get("/materials/csv").content
    answer = client.post("/materials/csv", files={"table": ("m.csv", table)})
    assert answer.status_code == 422
    assert told in answer.text
    assert client.get("/materials/csv").content == before


def test_cells_that_a_table_program_would_run_are_made_harmless(client):
    typed = {**form(client), "note": "=1+2"}
    post(client, CANVAS, **typed)
    rows = csv.DictReader(io.StringIO(client.get("/materials/csv").text))
    assert next(row["note"] for row in rows if row["id"] == "pond-canvas") == "'=1+2"
    client.post("/materials/csv", files={"table": ("m.csv", client.get("/materials/csv").content)})
    assert form(client)["note"] == "=1+2"


@pytest.mark.parametrize("card", ["slope-card-a4.pdf", "slope-card-letter.pdf"])
def test_slope_card_is_linked_and_there(client, card):
    assert f'href="/ruler-test/{card}?angle_deg=41.5"' in client.get(f"{CANVAS}/measure").text
    answer = client.get(f"/ruler-test/{card}")
    assert (answer.status_code, answer.content[:5]) == (200, b"%PDF-")
    assert client.get("/ruler-test/other.pdf").status_code == 404
