"""The cutting table and the stash on the page, as a maker without script uses them."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest

from bagwright.model.source import Reading
from bagwright.store.materials import load_materials, save_material
from bagwright.store.stash import load_stash
from bagwright.workflows.cutting_table import view_table
from bagwright.workflows.desk import view_bag
from bagwright.workflows.tell_stash import stash_of_file
from tests.web.html import fields, read
from tests.workflows.demo_values import TOTE

TABLE = f"/bags/{TOTE}/layouts/pond-canvas"


def shown(client, address):
    answer = client.get(address)
    assert answer.status_code == 200, answer.text[-600:]
    return answer.text


def done(client, address, sent):
    answer = client.post(address, data=sent)
    assert answer.status_code == 303, answer.text[-600:]
    return shown(client, answer.headers["location"].partition("#")[0])


def cut(client, **others):
    html = shown(client, TABLE)
    sent = fields(html, f"{TABLE}/cut")
    kept = re.findall(r'name="keep" value="(\d+)"', html)
    return done(client, f"{TABLE}/cut", {**sent, "keep": kept, "bin": "blue box", **others})


def test_the_bag_leads_to_the_table_and_the_table_to_paper(client):
    assert f'href="{TABLE}"' in shown(client, f"/bags/{TOTE}")
    html = shown(client, TABLE)
    for words in ("Order of cuts", "from the cut end", "What is left", "R1:", "Take care", "straight rows"):
        assert words in html
    for name in ("cutting-a4.pdf", "cutting-letter.pdf"):
        paper = client.get(f"{TABLE}/{name}")
        assert (paper.status_code, paper.headers["content-type"]) == (200, "application/pdf")
        assert paper.content.startswith(b"%PDF")
    assert client.get(f"{TABLE}/cutting-a5.pdf").status_code == 404
    assert client.get(f"/bags/{TOTE}/layouts/no-such").status_code == 404


def test_one_press_keeps_the_cutting_and_one_press_undoes_it(client):
    html = cut(client)
    assert "in the stash" in html
    stash = shown(client, "/stash")
    assert "Pond canvas" in stash and "blue box" in stash and "Harbour market tote" in stash
    undo = fields(html, f"{TABLE}/cut/undo")
    html = done(client, f"{TABLE}/cut/undo", undo)
    assert "taken back" in html
    assert "Nothing is in the stash yet" in shown(client, "/stash")
    redo = fields(html, f"{TABLE}/cut/redo")
    done(client, f"{TABLE}/cut/redo", redo)
    assert "blue box" in shown(client, "/stash")


def test_a_button_pressed_twice_keeps_one_cutting(client):
    html = shown(client, TABLE)
    sent = {**fields(html, f"{TABLE}/cut"), "keep": ["0"]}
    done(client, f"{TABLE}/cut", sent)
    assert done(client, f"{TABLE}/cut", sent).count("for 1 bag; 1 piece is") == 1


def test_a_layout_that_changed_is_not_cut_unseen(client):
    sent = fields(shown(client, TABLE), f"{TABLE}/cut")
    answer = client.post(f"{TABLE}/cut", data={**sent, "layout": "another", "keep": ["0"]})
    assert answer.status_code == 409
    assert "has changed since you opened it" in answer.text
    assert "Nothing is in the stash yet" in shown(client, "/stash")


@pytest.mark.parametrize(("motif_in_mm", "along_mm"), [(70.0, 150.0), (None, 150.0), (70.0, 2000.0)])
def test_remnants_of_printed_cloth_keep_the_place_of_its_motifs_where_that_is_known(
    client, desk, motif_in_mm, along_mm
):
    """The first motif lies where the material says, and on the cut end; the next ones whole repeats on.

    No piece shows a motif that comes again after 2 m, so none says where the end is cut off.
    """
    with desk.store() as store:
        (kept,) = (one for one in load_materials(store) if one.value.id == "pond-canvas")
        printed = replace(
            kept.value,
            repeat_along_mm=Reading.exact(along_mm),
            repeat_across_mm=Reading.exact(150.0),
            motif_in_mm=Reading.exact(motif_in_mm) if motif_in_mm else None,
            selvedge_mm=Reading.exact(12.0),
            shrinkage_share=None,
        )
        save_material(store, printed, expected_version=kept.version)
    cut(client)
    with desk.store() as store:
        pieces = [one.value for one in load_stash(store)]
    _, plan = view_table(desk, TOTE, "pond-canvas")
    assert len(pieces) == len(plan.remnants) > 0
    if motif_in_mm is None or along_mm > 1000:
        assert {piece.motif for piece in pieces} == {None}
        return
    crosswise = printed.crosswise_shrinkage_share.value if printed.crosswise_shrinkage_share else 0.0
    steps = 150.0, 150.0 * (1 - crosswise)
    firsts = 0.0, (70.0 - 12.0) * (1 - crosswise)
    for remnant in (one.remnant.region for one in plan.remnants):
        alike = [piece for piece in pieces if abs(piece.region.area_mm2 - remnant.area_mm2) < 0.01]
        assert any(on_print(piece.motif, remnant.bounds, firsts, steps) for piece in alike)


def on_print(motif, bounds, firsts, steps):
    """Whether a place on a remnant, put back where that lay, is whole repeats from the first motif."""
    offs = [(at + low - first) / step for at, low, first, step in zip(motif, bounds[:2], firsts, steps, strict=True)]
    return all(abs(off - round(off)) < 1e-6 for off in offs)


def test_straight_rows_are_a_choice_of_the_bag_and_can_be_undone(client, desk):
    html = shown(client, TABLE)
    sent = fields(html, f"{TABLE}/rows")
    html = done(client, f"{TABLE}/rows", sent)
    assert "All cloths of this bag are laid in straight rows now." in html
    assert {sheet.layout.found_by for sheet in view_bag(desk, TOTE).answer.layouts} == {"straight rows"}
    assert client.post(f"{TABLE}/rows", data=sent).status_code == 409
    undo = fields(shown(client, f"/bags/{TOTE}"), f"/bags/{TOTE}/undo")
    done(client, f"/bags/{TOTE}/undo", undo)
    assert "straight rows" not in {sheet.layout.found_by for sheet in view_bag(desk, TOTE).answer.layouts}


NEW = {
    "material": "pond-canvas",
    "long": "18 in",
    "wide": "11",
    "bin": "drawer",
    "side_up": "wrong side",
    "value": "2.50",
}


def test_a_piece_is_added_found_changed_used_up_and_brought_back(client):
    assert "18 × 11 in" in read_text(done(client, "/stash", NEW))
    assert "18 × 11 in" in read_text(shown(client, "/stash?long=10+in&wide=17&material="))
    assert "Nothing in the stash is like that" in shown(client, "/stash?long=12+in&wide=17&material=")
    assert "Nothing in the stash is like that" in shown(client, "/stash?material=chalk-poplin")
    action = re.search(r'action="(/stash/[\w-]+)"', shown(client, "/stash"))
    assert action
    sent = fields(shown(client, "/stash"), action[1])
    html = done(client, action[1], {**sent, "wide": "9 1/2", "note": "one corner is stained"})
    assert "18 × 9 1/2 in" in read_text(html) and "one corner is stained" in html
    assert client.post(action[1], data=sent).status_code == 409
    html = done(client, f"{action[1]}/used", fields(html, f"{action[1]}/used"))
    assert "is out of the stash" in html
    html = done(client, f"{action[1]}/undo", fields(html, f"{action[1]}/undo"))
    assert "18 × 9 1/2 in" in read_text(html)
    html = done(client, f"{action[1]}/undo", fields(html, f"{action[1]}/undo"))
    assert "18 × 11 in" in read_text(html)


HIDE = {
    "material": "saddle-hide",
    "long": "",
    "wide": "",
    "corners": "0 x 2; 30 x 0; 34 x 20; 4 x 24",
    "flaws": "round 2 at 10 x 10; 3 x 1 at 20 x 5",
    "lesser": "34 x 4 at 0 x 0",
}


def test_a_hide_is_added_with_its_corners_flaws_and_lesser_parts_and_they_are_changed(client):
    html = done(client, "/stash", HIDE)
    assert "odd shape, holds" in html and ">good<" in html
    (piece,) = json.loads(client.get("/stash/stash.json").content)["pieces"]
    assert (len(piece["outline"]), len(piece["flaws"]), len(piece["lesser"])) == (4, 2, 1)
    action = re.search(r'action="(/stash/[\w-]+)"', html)
    assert action
    sent = fields(html, action[1])
    assert sent["flaws"] == "round 2 in at 10 in x 10 in; 3 in x 1 in at 20 in x 5 in"
    done(client, action[1], {**sent, "flaws": "3 x 1 at 20 x 5"})
    (changed,) = json.loads(client.get("/stash/stash.json").content)["pieces"]
    assert (len(changed["flaws"]), changed["lesser"]) == (1, piece["lesser"])


def read_text(html):
    return re.sub(r"\s+", " ", " ".join(read(html).texts)).replace("9 1/2  in", "9 1/2 in")


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"long": "wide"}, "cannot be read as a size"),
        ({"long": "99 yd"}, "is out of range"),
        ({"material": "no-such"}, "is not on the shelf"),
        ({"value": "dear"}, "is not an amount of money"),
        ({"side_up": "upside down"}, "is not one of the choices"),
        ({"note": "x" * 501}, "is too long"),
        ({"corners": "0 x 0; 9 x 9; 9 x 0; 0 x 9"}, "crosses itself"),
        ({"flaws": "3 x 3 at 90 x 0"}, "lies outside the piece"),
        ({"flaws": "18 x 11 at 0 x 0"}, "leave nothing to cut from"),
        ({"lesser": "the belly"}, "cannot be read as an area"),
    ],
)
def test_what_cannot_be_taken_is_told_beside_its_field_and_changes_nothing(client, changed, words):
    answer = client.post("/stash", data={**NEW, **changed})
    assert answer.status_code == 422
    assert words in answer.text
    assert 'aria-invalid="true"' in answer.text
    assert "Nothing is in the stash yet" in shown(client, "/stash")


def test_a_wish_that_cannot_be_read_is_told(client):
    done(client, "/stash", NEW)
    answer = client.get("/stash?long=wide&wide=&material=")
    assert answer.status_code == 422
    assert "cannot be read as a size" in answer.text


def test_the_stash_as_a_file_is_read_by_the_command(client):
    cut(client)
    done(client, "/stash", NEW)
    found = stash_of_file(client.get("/stash/stash.json").content)
    assert len(found) == len(json.loads(client.get("/stash/stash.json").content)["pieces"]) >= 2
    table = client.get("/stash/stash.csv").text.splitlines()
    assert table[0].startswith("id,material,length_mm") and len(table) == len(found) + 1


def test_unknown_pieces_and_deeds_are_told_plainly(client):
    assert client.post("/stash/no-such", data={"version": "1"}).status_code == 404
    assert client.post("/stash/no-such/eaten", data={"version": "1"}).status_code == 404
    assert client.get("/stash?gone=no-such").status_code == 200
    assert client.get(f"{TABLE}?undone=no-such").status_code == 200
