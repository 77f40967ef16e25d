"""Corners of a piece of the stash, moved, added and dropped with number fields alone; areas typed by corners."""

from __future__ import annotations

import pytest

from bagwright.geometry.region import Region
from bagwright.model.stash import StashPiece
from bagwright.store.stash import load_stash_piece, save_stash_piece
from tests.web.html import fields

HIDE = StashPiece(
    id="hide",
    material_id="saddle-hide",
    outer=((0.0, 0.0), (1001.3, 12.7), (990.6, 609.6), (25.4, 635.0)),
    flaws=(((254.0, 254.0), (304.8, 254.0), (279.4, 304.8)),),
    lesser=(((0.0, 0.0), (254.0, 0.0), (254.0, 254.0), (0.0, 254.0)),),
)
PAGE = "/stash/hide/corners"


@pytest.fixture
def hide(desk):
    with desk.store() as store:
        return save_stash_piece(store, HIDE, expected_version=0).value


def kept(desk) -> StashPiece:
    with desk.store() as store:
        return load_stash_piece(store, "hide").value


def sent(client, address=PAGE, **changed):
    return {**fields(client.get(address).text, PAGE), **changed}


def test_a_corner_is_moved_added_and_dropped_and_what_is_left_alone_keeps_its_exact_place(client, desk, hide):
    html = client.get(PAGE).text
    assert 'value="39 7/16 in"' in html and 'aria-label="Corner 4, up"' in html  # 1001.3 mm, shown rounded
    answer = client.post(PAGE, data=sent(client, deed="add-1"))
    assert answer.status_code == 200 and "Nothing is saved yet" in answer.text
    rows = fields(answer.text, PAGE)
    # By hand: half-way from (39 7/16, 1/2) to (39, 24) lie 39 7/32 and 12 1/4, shown to the sixteenth.
    assert rows["y-2"] == "12 1/4 in" and rows["x-2"] in ("39 3/16 in", "39 1/4 in")
    moved = {**rows, "x-2": "42 in", "y-0": "-1 in", "deed": "save"}
    assert client.post(PAGE, data=moved).status_code == 303
    assert kept(desk).outer == ((0.0, -25.4), (1001.3, 12.7), (1066.8, 311.15), (990.6, 609.6), (25.4, 635.0))
    answer = client.post(PAGE, data=sent(client, deed="drop-2"))
    assert client.post(PAGE, data={**fields(answer.text, PAGE), "deed": "save"}).status_code == 303
    assert kept(desk).outer == ((0.0, -25.4), *HIDE.outer[1:])


def test_flaws_and_lesser_parts_have_corners_too(client, desk, hide):
    part = f"{PAGE}?part=flaws-0"
    assert "Flaw 1" in client.get(PAGE).text and "Only good, 1" in client.get(part).text
    answer = client.post(PAGE, data=sent(client, part, deed="save", **{"x-2": "11 in", "y-2": "13 in"}))
    assert answer.status_code == 303 and answer.headers["location"].endswith("part=flaws-0&saved=1")
    assert kept(desk).flaws == (((254.0, 254.0), (304.8, 254.0), (279.4, 330.2)),)
    assert kept(desk).outer == HIDE.outer
    assert client.get(f"{PAGE}?part=flaws-7").status_code == 404


def test_rejects_corners_that_make_no_piece_and_keeps_nothing(client, desk, hide):
    for changed, words in (
        ({"x-1": "wide"}, "cannot be read"),
        ({"x-1": "39 in", "y-1": "24 in", "x-2": "39 in", "y-2": "1 in"}, "crosses itself"),
        ({"x-2": "2 in", "y-2": "2 in", "x-1": "2 in", "y-1": "0"}, "lies outside the piece"),
    ):
        answer = client.post(PAGE, data=sent(client, deed="save", **changed))
        assert answer.status_code == 422 and words in answer.text
        drawn = client.post(PAGE, data=sent(client, deed="draw", **changed))
        assert drawn.status_code == 200
    over = {"x-0": "-9 in", "y-0": "-9 in", "x-1": "99 in", "y-1": "-9 in", "x-2": "0", "y-2": "99 in"}
    answer = client.post(PAGE, data=sent(client, f"{PAGE}?part=flaws-0", deed="save", **over))
    assert answer.status_code == 422 and "leaves nothing to cut from" in answer.text
    assert client.post(PAGE, data=sent(client, deed="save", version="9")).status_code == 409
    assert client.post(PAGE, data=sent(client, deed="no-such")).status_code == 404
    assert kept(desk) == HIDE
    # Three corners stay, whatever is dropped.
    three = client.post(PAGE, data=sent(client, f"{PAGE}?part=flaws-0", deed="drop-0"))
    assert "y-2" in fields(three.text, PAGE)


def test_areas_are_typed_by_their_corners_in_the_stash(client, desk, hide):
    """By hand: a triangle of 4 x 3 in has an area of 6 square inches."""
    form = fields(client.get("/stash").text, "/stash/hide")
    assert form["flaws"] == "10 in x 10 in to 12 in x 10 in to 11 in x 12 in"
    typed = "10 x 10 to 14 x 10 to 10 x 13; 2 x 2 at 20 x 5"
    assert client.post("/stash/hide", data={**form, "flaws": typed}).status_code == 303
    triangle, square = (Region.from_ring(ring) for ring in kept(desk).flaws)
    assert triangle.area_mm2 == pytest.approx(6 * 25.4**2) and square.area_mm2 == pytest.approx(4 * 25.4**2)
    bad = client.post(
        "/stash/hide", data={**fields(client.get("/stash").text, "/stash/hide"), "lesser": "1 x 1 to 2 x 2"}
    )
    assert bad.status_code == 422 and "has fewer than three different corners" in bad.text
