"""A photo of the mat on the page: taken in, looked at, its scraps put into the stash."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from bagwright.model.brought_photo import BroughtPhoto
from bagwright.model.stash import StashPiece
from bagwright.store.photos import MOST_PHOTOS, load_photo, save_photo
from bagwright.store.safekeeping import bring_back, everything
from bagwright.store.stash import retire_stash_piece, save_stash_piece
from bagwright.web.app import build_app
from bagwright.workflows.desk import Desk
from bagwright.workflows.mat_photo import keep_photo
from bagwright.workflows.stash_changes import the_stash
from tests.web.html import fields, ids, invalid_fields, said, what_could_run

PHOTO = Path(__file__).parents[2] / "docs" / "pictures" / "mat-photo.jpg"


def is_sound(html: str) -> bool:
    return what_could_run(html) == [] and len(ids(html)) == len(set(ids(html)))


def brought(client, data: bytes, **texts: str):
    return client.post("/stash/photo", files={"photo": ("table.jpg", data, "image/jpeg")}, data=texts)


@pytest.fixture(scope="module")
def photo(tmp_path_factory: pytest.TempPathFactory) -> BroughtPhoto:
    """Read once for all that look at it."""
    desk = Desk(tmp_path_factory.mktemp("photo"))
    token = keep_photo(desk, "table.jpg", PHOTO.read_bytes(), {"thickness": "0.1 mm"})
    with desk.store() as store:
        return load_photo(store, token)


@pytest.fixture
def address(client, desk: Desk, photo: BroughtPhoto) -> str:
    """Of a photo that was read."""
    with desk.store() as store:
        save_photo(store, "table", photo)
    return "/mat/table"


def a_material(html: str) -> str:
    found = re.search(r'<select id="material".*?<option value="([^"]+)"', html, re.DOTALL)
    assert found
    return found[1]


def test_a_photo_becomes_pieces_of_the_stash_with_their_pictures(client, desk: Desk, address):
    html = client.get(address).text
    assert is_sound(html)
    assert "4 outlines found" in html
    before = {item.piece.id for item in the_stash(desk)}
    material = a_material(html)
    answers = {"material": material, "grain": "edge", "side_up": "wrong side", "bin": "box 3"}
    own = {"keep-1": "on", "keep-3": "on", "note-3": "with a hole", "value-3": "1.50", "side_up-3": "either side"}
    shown = client.post(address, data={**answers, **own}).headers["location"]
    assert "2 pieces from the picture are in the stash now." in said(client.get(shown).text)
    new = [item.piece for item in the_stash(desk) if item.piece.id not in before]
    assert sorted((piece.side_up.value, piece.note, piece.bin) for piece in new) == [
        ("either side", "with a hole", "box 3"),
        ("wrong side", "", "box 3"),
    ]
    assert {piece.note: piece.value and piece.value.said() for piece in new} == {"with a hole": "$1.50", "": None}
    # The first was drawn 150 by 80 mm, the third as a ring, 90 mm across with a hole of 30.
    assert sorted(piece.region.area_mm2 for piece in new) == pytest.approx([5655, 12_000], rel=0.012)
    assert all(0.05 < piece.error_mm < 1 for piece in new)
    assert [piece.region.bounds[:2] for piece in new] == [pytest.approx((0, 0), abs=1e-6)] * 2
    shown = client.get(f"/stash/{new[0].id}/picture")
    assert (shown.headers["content-type"], shown.content[:3]) == ("image/jpeg", b"\xff\xd8\xff")
    assert client.get("/stash").status_code == 200


def test_faults_are_told_beside_their_fields_and_nothing_is_kept(client, desk: Desk, address):
    before = len(the_stash(desk))
    material = a_material(client.get(address).text)
    typed = {
        "material": material,
        "side_up": "up",
        "grain_deg": "slanted",
        "material-2": "moon",
        "value-1": "much",
        "keep-1": "on",
    }
    answer = client.post(address, data={**typed, "keep-2": "on"})
    assert answer.status_code == 422
    assert is_sound(answer.text)
    assert invalid_fields(answer.text) == {"side_up", "grain_deg", "material-2", "value-1"}
    none = client.post(address, data={"material": material, "side_up": "right side"})
    assert (none.status_code, "Nothing is ticked" in none.text) == (422, True)
    assert len(the_stash(desk)) == before


def test_corners_are_in_her_units_and_those_left_alone_stay_exactly_as_found(client, desk: Desk, address):
    html = client.get(address).text
    corners = fields(html, address)["corners-1"]
    assert "rounded to 1/16" in said(html) and re.search(r"5 (7/8|15/16) x ", corners)  # drawn 150 by 80 mm
    typed = {"material": a_material(html), "side_up": "right side", "keep-1": "on"}

    old = {item.piece.id for item in the_stash(desk)}

    def kept_as(corners: str) -> list[tuple[float, float]]:
        """Put in again and again, it stays one piece, which takes the new corners."""
        assert client.post(address, data={**typed, "corners-1": corners}).status_code == 303
        (new,) = [item.piece for item in the_stash(desk) if item.piece.id not in old]
        return list(new.outer)

    found, places = kept_as(corners), corners.split("; ")
    assert len(places) == len(found) and kept_as("") == found
    far = max(range(len(found)), key=lambda i: sum(found[i]))
    others = [one for i, one in enumerate(found) if i != far]
    places[far] = "6 1/2 x 4"
    moved = kept_as("; ".join(places))
    assert moved.pop(far) == pytest.approx((165.1, 101.6)) and moved == others
    assert kept_as("; ".join(one for i, one in enumerate(places) if i != far)) == others
    assert kept_as("0 x 0; 4 x 0; 100 mm x 60 mm") == [(0.0, 0.0), (101.6, 0.0), (100.0, 60.0)]
    for wrong in ("0 x 0; 4 x 4; 4 x 0; 0 x 4", "0 x 0; 4 3; 4 x wide", "0 x 0; 4 x 4", "0 x 0; 9 yd x 0; 0 x 4"):
        refused = client.post(address, data={**typed, "corners-1": wrong})
        assert (refused.status_code, invalid_fields(refused.text)) == (422, {"corners-1"})


def test_an_outline_is_parted_joined_again_and_each_step_undone(client, desk: Desk, address):
    """The first was drawn 150 by 80 mm."""
    answers = {"bin": "box 3", "keep-1": "on", "line-1": "3 x -1; 3 x 5", "do": "part-1"}
    parted = client.post(f"{address}/correct", data=answers)
    assert (parted.status_code, "5 outlines found" in parted.text, is_sound(parted.text)) == (200, True, True)
    assert 'value="box 3"' in parted.text and "Outline 1 is parted; the rest of it is now 5." in parted.text
    assert client.get(f"{address}/correct").headers["location"] == address
    joined = client.post(f"{address}/correct", data={"do": "join-1", "join-1": "5"})
    assert "4 outlines found" in joined.text and "Outline 1 and outline 5 are one now: 1." in joined.text
    undone = client.post(f"{address}/correct", data={"do": "undo", "keep-1": "on"}).text
    ticked = {name for name in fields(undone, address) if name.startswith("keep-")}
    assert (
        "5 outlines found" in undone and len(re.findall(r'name="keep-\d+" checked', undone)) == 2 and len(ticked) == 5
    )
    assert "4 outlines found" in client.post(f"{address}/correct", data={"do": "undo"}).text
    for typed, name in (({"do": "part-1", "line-1": "here"}, "line-1"), ({"do": "join-1", "join-1": "4"}, "join-1")):
        refused = client.post(f"{address}/correct", data=typed)
        assert (refused.status_code, invalid_fields(refused.text)) == (422, {name})
    assert client.post("/mat/x/correct", data={"do": "undo"}).status_code == 404


def test_a_photo_outlives_a_restart_and_is_put_in_the_stash_once(client, desk: Desk, photo, address):
    typed = {"material": a_material(client.get(address).text), "side_up": "right side", "keep-1": "on"}
    assert client.post(f"{address}/correct", data={"do": "join-1", "join-1": "1"}).status_code == 422
    client.post(f"{address}/correct", data={"line-1": "3 x -1; 3 x 5", "do": "part-1"})
    old = {item.piece.id for item in the_stash(desk)}

    def new(at: TestClient, **more: str) -> list[StashPiece]:
        assert at.post(address, data=typed | more).status_code == 303
        return [item.piece for item in the_stash(desk) if item.piece.id not in old]

    with TestClient(build_app(Desk(desk.home)), base_url=str(client.base_url), follow_redirects=False) as later:
        html = later.get(address).text
        assert "5 outlines found" in html and "Undo the last parting" in html
        assert "5 outlines, none in the stash yet" in said(later.get("/mat").text)
        (first,), (again,) = new(later), new(later)  # the button pressed twice
        assert again == first and "1 of them in the stash" in said(later.get("/mat").text)
        html = later.get(address).text
        assert is_sound(html) and "In the stash." in html and not re.search(r'name="keep-1" checked', html)
        (moved,) = new(later, bin="box 9")
        assert (moved.id, moved.bin) == (first.id, "box 9")
    with desk.store() as store:
        save_stash_piece(store, replace(moved, bin="lid"), expected_version=2)
    refused = client.post(address, data=typed)
    assert (refused.status_code, "changed there since" in refused.text) == (422, True)
    with desk.store() as store:
        retire_stash_piece(store, moved.id, expected_version=3)
        file = everything(store)  # what is kept as one file leaves photos that are looked at where they are
        bring_back(store, file)
        assert photo.data[:200] not in file and load_photo(store, "table").data == photo.data
    assert new(client)[0].id != moved.id  # taken out of the stash, it may be put in anew
    with desk.store() as store:
        for number in range(MOST_PHOTOS):
            save_photo(store, str(number), photo)
    gone = client.get(address)
    assert (gone.status_code, "made room for newer ones" in gone.text, is_sound(gone.text)) == (404, True, True)


def test_an_empty_shelf_says_what_to_do(tmp_path, photo):
    desk = Desk(tmp_path)
    with desk.store() as store:
        save_photo(store, "table", photo)
    with TestClient(build_app(desk), base_url="http://127.0.0.1") as fresh:
        html = fresh.get("/mat/table").text
    assert is_sound(html) and '<a href="/materials">Add what these are made of</a>' in html


def test_looking_again_takes_other_answers(client, address):
    again = client.post(f"{address}/again", data={"card": "49 mm", "template": "on"})
    assert again.status_code == 303
    html = client.get(again.headers["location"]).text
    assert 'value="49 mm"' in html
    assert "Make them pieces of a bag" in html
    drawing = client.post(f"{again.headers['location']}/pieces", data={"keep-1": "on", "grain": "edge"})
    drawn = said(client.get(drawing.headers["location"]).text)
    # It was drawn 150 by 80 mm: by cards of 49 mm it is 147 by 78.4, and stands upright.
    assert re.search(r"3 (1/16|1/8) in x 5 (3/4|13/16) in with its seam allowance", drawn)
    assert invalid_fields(client.post(f"{address}/pieces", data={"keep-1": "on", "grain_deg": "x"}).text) == {
        "grain_deg"
    }
    assert "Round them again when you cut" in html and "Round them again" not in client.get(address).text
    assert client.get(f"{again.headers['location']}/outlines.svg").content.startswith(b"<?xml")
    assert client.get(f"{again.headers['location']}/picture.jpg").content[:3] == b"\xff\xd8\xff"


@pytest.mark.parametrize(
    ("data", "said"), [(b"", "is empty"), (b"GIF89a", "a GIF picture"), (PHOTO.read_bytes()[:30_000], "damaged")]
)
def test_rejects_what_is_no_picture(client, data, said):
    answer = brought(client, data)
    assert (answer.status_code, said in answer.text) == (422, True)
    assert is_sound(answer.text)


def test_the_page_hands_out_cards_and_knows_no_other_photo(client):
    html = client.get("/mat").text
    assert is_sound(html)
    links = re.findall(r'href="(/mat/cards/[^"]+)"', html)
    assert [client.get(link).content[:5] for link in links] == [b"%PDF-"] * 2
    mats = re.findall(r'href="(/mat/whole/[^"]+)"', html)
    assert (len(mats), client.get(mats[0]).content[:5]) == (8, b"%PDF-")
    assert client.get("/mat/whole/A9/magenta").status_code == 404
    assert [client.get(path).status_code for path in ("/mat/x", "/mat/x/picture.jpg", "/mat/cards/x")] == [404] * 3


def test_what_her_ruler_says_is_kept_with_her_cards_and_used_for_the_next_picture(client):
    sent = brought(client, PHOTO.read_bytes(), card="94 mm", measured="100 mm")
    shown = client.get(sent.headers["location"]).text
    assert "47 mm" in shown and "turn the arrow in the picture" in shown
    html = client.get("/mat").text
    assert is_sound(html)
    assert 'value="47 mm"' in html and "Kept from your last picture: 47 mm" in said(html)
    assert invalid_fields(brought(client, PHOTO.read_bytes(), card="9 m", measured="100 mm").text) == {"card"}
    brought(client, PHOTO.read_bytes(), card="")
    assert "Kept from" not in client.get("/mat").text
