"""The stash as a table: out, edited, in again; every fault of it at once."""

from __future__ import annotations

import csv
import io

from bagwright.model.stash import StashPiece
from bagwright.store.stash import load_stash, retire_stash_piece, save_stash_piece

HEAD = "id,material,length_mm,width_mm,bin,side_up,value,note,dated\n"


def stash(desk):
    with desk.store() as store:
        return {kept.value.id: kept.value for kept in load_stash(store)}


def keep(desk, piece):
    with desk.store() as store:
        return save_stash_piece(store, piece, expected_version=0)


def take_in(client, text):
    data = text.encode() if isinstance(text, str) else text
    return client.post("/stash/table", files={"table": ("stash.csv", data, "text/csv")})


def test_rows_add_rectangles_and_change_what_is_there(client, desk):
    keep(desk, StashPiece(id="old", material_id="pond-canvas", outer=((0, 0), (500, 0), (500, 300), (0, 300))))
    rows = HEAD + 'old,"Pond canvas, 10 oz",500.00,250,drawer,wrong side,2.50,=danger,2026-03-01\n'
    answer = take_in(client, rows + ",fern-lawn,400,300,,,,,\n")
    assert answer.status_code == 303
    assert "Taken in: 1 new, 1 changed." in client.get(answer.headers["location"]).text
    found = stash(desk)
    old = found.pop("old")
    assert old.outer == ((0, 0), (500, 0), (500, 250), (0, 250))
    assert (old.bin, old.side_up, str(old.value and old.value.amount)) == ("drawer", "wrong side", "2.50")
    (new,) = found.values()
    assert (new.material_id, new.region.area_mm2, new.grain_deg) == ("fern-lawn", 120_000.0, 0.0)


def test_a_table_taken_in_as_it_was_saved_changes_nothing(client, desk):
    odd = ((0.0, 0.0), (500.0, 0.0), (480.0, 300.0), (0.0, 300.0))
    flaw = ((9.0, 9.0), (20.0, 9.0), (20.0, 20.0))
    keep(desk, StashPiece(id="odd", material_id="saddle-hide", outer=odd, note="-5 C in winter", flaws=(flaw,)))
    keep(desk, StashPiece(id="rest", material_id="pond-canvas", outer=((0, 0), (1 / 3 + 99, 0), (99, 40), (0, 40))))
    before = stash(desk)
    answer = take_in(client, client.get("/stash/stash.csv").content)
    assert answer.headers["location"] == "/stash?new=0&changed=0"
    assert stash(desk) == before


def test_rejects_every_wrong_row_at_once_and_keeps_nothing(client, desk):
    kept = keep(desk, StashPiece(id="gone", material_id="pond-canvas", outer=((0, 0), (90, 0), (90, 30))))
    with desk.store() as store:
        retire_stash_piece(store, "gone", expected_version=kept.version)
    keep(desk, StashPiece(id="odd", material_id="pond-canvas", outer=((0, 0), (90, 0), (0, 30))))
    rows = [
        ",no-such,wide,0,,upside down,dear,,tomorrow",
        "gone,pond-canvas,90,30,,,,,",
        "odd,pond-canvas,90,30,,,,,",
        "twice,pond-canvas,90,30,,,,,",
        "twice,pond-canvas,90,30,,,-1,,",
        ",pond-canvas,90,30,,,,,",
    ]
    answer = take_in(client, HEAD + "\n".join(rows))
    assert answer.status_code == 422
    for place in (
        "Row 2, material: No-such is not on the shelf",
        "Row 2, length_mm",
        "Row 2, width_mm",
        "Row 2, side_up",
        "Row 2, value",
        "Row 2, dated",
        "Row 3, id",
        "Row 4, length_mm",
        "Row 5, id",
        "Row 6, id",
        "Row 6, value",
    ):
        assert place in answer.text
    assert "Row 7" not in answer.text
    assert set(stash(desk)) == {"odd"}


def test_rejects_what_is_no_table(client):
    for text in (b"\xff\xfe", "", HEAD, "material,weight\nx,1\n", 'material,"length_mm\n'):
        answer = take_in(client, text)
        assert answer.status_code == 422
        assert "nothing was changed" in answer.text
    assert client.post("/stash/table", data={}).status_code == 422


def test_the_saved_table_is_safe_to_open_elsewhere(client, desk):
    keep(desk, StashPiece(id="s", material_id="pond-canvas", outer=((0, 0), (90, 0), (90, 30)), note="=1+1"))
    (row,) = csv.DictReader(io.StringIO(client.get("/stash/stash.csv").text))
    assert row["note"] == "'=1+1"
