"""Her own pieces on the page, without script: bring, look, take, mark, join, prove, undo; and what is refused."""

from __future__ import annotations

import asyncio
import math
import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from starlette.exceptions import HTTPException

from bagwright.store.bags import load_bag
from bagwright.web.guard import LARGEST_UPLOAD_BYTES, counted
from tests.web.bag_on_page import shown_version
from tests.web.html import fields, ids, invalid_fields, read, said, what_could_run
from tests.web.test_escaping import NASTY, assert_harmless

ROUND_MM = 220 + 140 + 30 * math.pi
DRAWING = f"""<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="300mm" viewBox="0 0 600 300">
<path id="front" d="M20 20h200v110a30 30 0 0 1-30 30h-140a30 30 0 0 1-30-30z"/>
<rect id="gusset" x="20" y="200" width="{ROUND_MM!r}" height="60"/></svg>""".encode()


def svg(body, size=""):
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 99 99">{body}</svg>'.encode()


def bring(client, data=DRAWING, *, to="/drawing", name="quay.svg", **texts):
    return client.post(to, files={"drawing": (name, data, "image/svg+xml")}, data={"scale_unit": "", **texts})


def taken(client, data=DRAWING, **answers):
    """A new bag of a drawing's pieces; its address."""
    look = bring(client, data).headers["location"]
    given = {"name": "Quay bag", "line": "stitch", "allowance": "10 mm", "role": "outer", **answers}
    return client.post(look.partition("?")[0], data=given).headers["location"]


def version_of(client, path):
    """The version that the page would send, without drawing the page."""
    with client.app.state.desk.store() as store:
        return str(load_bag(store, path.removeprefix("/bags/")).version)


def send(client, path, what, **texts):
    version = version_of(client, path)
    sent = {"version": version, "shown_units": "inch", "shown_fraction": "16", **texts}
    return client.post(f"{path}/{what}", data=sent)


def sew(client, path, one, other="", **texts):
    return send(client, path, "seams", **{"seam.one": one, "seam.other": other, **texts})


def own_of(desk, path):
    with desk.store() as store:
        return load_bag(store, path.removeprefix("/bags/")).own


def text_of(html):
    return " ".join(" ".join(read(html).texts).split())


def headline(client, path):
    html = client.get(path).text
    return re.findall(r'id="pieces-title">Pieces</h2><p class="(\w+)">([^<]*)', html)[0]


def test_the_bags_page_offers_to_bring_pieces(client):
    html = client.get("/").text
    assert "Bring your own pieces" in html
    assert fields(html, "/drawing").keys() == {"drawing", "scale_unit"}


def test_a_drawing_is_shown_before_it_is_taken(client, desk):
    before = sorted(path.name for path in desk.home.iterdir())
    answer = bring(client)
    assert answer.status_code == 303
    html = client.get(answer.headers["location"]).text
    told = text_of(html)
    assert "quay.svg" in told
    assert "The file gives its size: width 600mm." in told
    assert {"front", "gusset"} <= set(told.split())
    assert what_could_run(html) == []
    assert len(set(ids(html))) == len(ids(html))
    assert sorted(path.name for path in desk.home.iterdir()) == before
    assert "Quay" not in client.get("/").text


def test_from_a_drawing_to_a_sound_bag_without_script(client, desk):
    path = taken(client)
    assert headline(client, path) == ("look", "Nothing is sewn together yet: join the edges into seams below.")
    assert send(client, path, "pieces/front", **{"front.count": "2", "front.edge_1_use": "opening"}).status_code == 303
    told = text_of(client.get(path).text)
    assert "17 7/8 in of it is not sewn to anything yet." in told.replace(" 7/8 ", " 7/8 ")
    for one, other in (
        ("front/1/edge_1", "gusset/1/edge_1"),
        ("front/2/edge_1", "gusset/1/edge_3"),
    ):
        assert sew(client, path, one, other).status_code == 303
    assert headline(client, path) == (
        "look",
        "Not sound yet: 2 edges are not sewn as declared. Each is marked at its place.",
    )
    send(client, path, "pieces/gusset", **{"gusset.edge_1_use": "opening", "gusset.edge_3_use": "opening"})
    assert headline(client, path)[0] == "checked"
    own = own_of(desk, path)
    assert [seam.name for seam in own.seams] == [
        "Sew front, copy 1, edge 1 to gusset, edge 1",
        "Sew front, copy 2, edge 1 to gusset, edge 3",
    ]
    # Face to face: the second edge runs against the first.
    assert own.seams[0].sides[1].from_mm > own.seams[0].sides[1].to_mm
    html = client.get(path).text
    assert "The whole bag weighs" in html
    assert "Every layout checked" in html
    for paper in ("templates-a4.pdf", "pieces.svg", "pieces.dxf"):
        assert client.get(f"{path}/{paper}").status_code == 200


def test_every_change_can_be_undone_and_a_copy_goes_its_own_way(client, desk):
    path = taken(client)
    whole = own_of(desk, path)
    send(client, path, "pieces/gusset/remove")
    assert [piece.id for piece in own_of(desk, path).pieces] == ["front"]
    send(client, path, "undo")
    assert own_of(desk, path) == whole
    copied = client.post(f"{path}/copy").headers["location"]
    sew(client, copied, "front/1/edge_1", "gusset/1/edge_1")
    assert own_of(desk, path) == whole
    assert len(own_of(desk, copied).seams) == 1


def test_a_seam_that_does_not_come_out_is_told_beside_it(client):
    path = taken(client)
    sew(client, path, "front/1/edge_2", "gusset/1/edge_2")
    html = client.get(path).text
    (item,) = re.findall(r'<ol class="seams">.*?</ol>', said(html), re.S)
    assert "Its sides differ by" in item
    assert "(140.0 mm)" in item
    assert headline(client, path)[1].startswith(
        "Not sound yet: 4 edges are not sewn as declared and 1 seam does not come out"
    )


@pytest.mark.parametrize(
    ("texts", "field"),
    [
        ({"seam.one": ""}, "seam.one"),
        ({"seam.other": ""}, "seam.other"),
        ({"seam.one": "hood/1/top"}, "piece"),
        ({"seam.one": "front/9/edge_1"}, "seam.one"),
        ({"seam.one": "front/1/brim"}, "seam.one"),
        ({"seam.kind": "glue"}, "seam.kind"),
        ({"seam.ease": "much"}, "seam.ease"),
        ({"seam.ease": "90 in"}, "seam.ease"),
        ({"seam.one_from": "90 in"}, "seam.one_from"),
        ({"seam.one_from": "5 in", "seam.one_to": "4 in"}, "seam.one_to"),
        ({"seam.name": "x" * 101}, "seam.name"),
    ],
)
def test_a_seam_that_cannot_be_is_refused_beside_its_field(client, desk, texts, field):
    path = taken(client)
    before = own_of(desk, path)
    chosen = {"seam.one": "front/1/edge_1", "seam.other": "gusset/1/edge_1"}
    answer = send(client, path, "seams", **{**chosen, **texts})
    assert answer.status_code == 422
    assert field in invalid_fields(answer.text) or (field == "piece" and "is no piece of this bag" in answer.text)
    assert own_of(desk, path) == before


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("name", ""),
        ("name", "x" * 61),
        ("role", "hood"),
        ("count", "0"),
        ("count", "two"),
        ("count", "21"),
        ("mirror", "maybe"),
        ("mirror", "pairs"),
        ("grain_deg", "up"),
        ("grain_deg", "999"),
        ("edge_0_name", ""),
        ("edge_0_name", "2"),
        ("edge_0_use", "glue"),
        ("edge_0_allowance", "wide"),
        ("edge_0_allowance", "9 in"),
        ("edge_1_use", "fold"),
    ],
)
def test_what_cannot_be_of_a_piece_is_refused_beside_its_field(client, desk, name, text):
    path = taken(client)
    before = own_of(desk, path)
    field = f"front.{name}"
    answer = send(client, path, "pieces/front", **{field: text, "front.edge_1_allowance": "1 in"})
    if name == "edge_1_use":  # the top is straight, so it may lie on the fold; it takes no allowance then
        assert own_of(desk, path).pieces[0].fold_edge == "edge_2"
        assert own_of(desk, path).pieces[0].allowance_mm["edge_2"] == 0
        return
    assert answer.status_code == 422
    assert invalid_fields(answer.text) == {field}
    if name not in ("role", "mirror", "edge_0_use"):
        assert fields(answer.text, f"{path}/pieces/front")[field] == text
    assert own_of(desk, path) == before


def test_all_of_a_piece_is_taken_over_at_once(client, desk):
    path = taken(client)
    send(
        client,
        path,
        "pieces/front",
        **{
            "front.name": "Panel",
            "front.role": "lining",
            "front.count": "2",
            "front.mirror": "pairs",
            "front.grain_deg": "45",
            "front.is_face": "no",
            "front.edge_0_name": "foot",
            "front.edge_0_allowance": "1/2",
            "front.edge_1_name": "7",
            "front.edge_1_use": "hem",
            "front.edge_1_allowance": "0",
        },
    )
    own = own_of(desk, path)
    piece = own.pieces[0]
    assert (piece.name, piece.role, piece.count, piece.mirror, piece.grain_deg) == ("Panel", "lining", 2, "pairs", 45)
    assert own.faces == ("gusset",)
    assert piece.allowance_mm == {"foot": 12.7, "edge_7": 0.0}
    assert piece.edge_use == {"foot": "seam", "edge_7": "hem"}
    assert "Lining" in client.get(path).text


def test_a_field_left_as_it_was_printed_keeps_its_exact_size(client, desk):
    path = taken(client)  # 10 mm is printed as 3/8 in
    shown = fields(client.get(path).text, f"{path}/pieces/front")
    assert shown["front.edge_0_allowance"] == "3/8 in"
    before = own_of(desk, path)
    assert send(client, path, "pieces/front", **shown).status_code == 303
    assert own_of(desk, path) == before


def test_edges_are_divided_and_put_together(client, desk):
    path = taken(client)
    texts = {"gusset.edge": "edge_1", "gusset.divide_at": "100 mm"}
    assert send(client, path, "pieces/gusset/edges", how="divide", **texts).status_code == 303
    assert [edge.name for edge in own_of(desk, path).pieces[1].net.edges] == [
        "edge_1",
        "edge_5",
        "edge_2",
        "edge_3",
        "edge_4",
    ]
    send(client, path, "pieces/gusset/edges", how="together", **texts)
    assert [edge.name for edge in own_of(desk, path).pieces[1].net.edges] == ["edge_1", "edge_2", "edge_3", "edge_4"]
    refused = send(client, path, "pieces/gusset/edges", how="divide", **{**texts, "gusset.divide_at": "3 yd"})
    assert refused.status_code == 422
    assert invalid_fields(refused.text) == {"gusset.divide_at"}


def test_a_piece_is_copied_and_the_last_one_stays(client, desk):
    path = taken(client)
    send(client, path, "pieces/front/copy")
    assert [(piece.id, piece.name) for piece in own_of(desk, path).pieces][:2] == [
        ("front", "front"),
        ("front_copy", "front (copy)"),
    ]
    send(client, path, "pieces/front/remove")
    send(client, path, "pieces/gusset/remove")
    refused = send(client, path, "pieces/front_copy/remove")
    assert refused.status_code == 422
    assert "is the only piece" in refused.text


def test_seams_are_moved_and_taken_out(client, desk):
    path = taken(client)
    sew(client, path, "front/1/edge_1", "gusset/1/edge_1", **{"seam.name": "First"})
    sew(client, path, "front/1/edge_2", "", **{"seam.kind": "hem", "seam.name": "Hem"})
    last = own_of(desk, path).seams[1].id
    send(client, path, f"seams/{last}", how="earlier")
    assert [(seam.order, seam.name) for seam in own_of(desk, path).seams] == [(1, "Hem"), (2, "First")]
    send(client, path, f"seams/{last}", how="earlier")
    send(client, path, f"seams/{last}", how="remove")
    assert [seam.name for seam in own_of(desk, path).seams] == ["First"]
    assert send(client, path, f"seams/{last}", how="remove").status_code == 422


def test_ease_and_parts_of_an_edge_are_kept(client, desk):
    path = taken(client)
    parts = {"seam.one_from": "10 mm", "seam.one_to": "70 mm", "seam.other_to": "60 mm", "seam.way": "turned"}
    sew(client, path, "front/1/edge_1", "gusset/1/edge_2", **parts)
    sew(client, path, "front/1/edge_2", "gusset/1/edge_4", **{"seam.ease": "all"})
    parted, eased = own_of(desk, path).seams
    assert [(side.from_mm, side.to_mm) for side in parted.sides] == [(10, 70), (0, 60)]
    assert eased.sides[0].ease_mm == pytest.approx(140)
    assert eased.sides[0].sewn_length_mm == pytest.approx(eased.sides[1].sewn_length_mm)


def test_a_measure_is_proved(client, desk):
    path = taken(client)
    asked = {"measure.name": "Width at the top", "measure.asked": "200 mm", "measure.edges": "front/1/edge_2"}
    send(client, path, "measures", **asked)
    assert own_of(desk, path).measures[0].key == "width_at_the_top"
    assert "7 7/8 in asked, 7 7/8 in as its edges add up" in text_of(client.get(path).text)
    send(client, path, "measures", **{**asked, "measure.name": "Depth", "measure.asked": "90 mm"})
    refused = send(client, path, "measures", **{"measure.name": "", "measure.asked": "wide"})
    assert invalid_fields(refused.text) == {"measure.name", "measure.asked", "measure.edges"}
    send(client, path, "measures/depth")
    assert [measure.key for measure in own_of(desk, path).measures] == ["width_at_the_top"]


def test_more_pieces_come_from_another_drawing(client, desk):
    path = taken(client)
    version = version_of(client, path)
    flap = svg('<path id="flap" d="M5 5h60v40h-60z"/>', 'width="99mm"')
    look = bring(client, flap, to=f"{path}/drawing", version=version).headers["location"]
    sent = fields(client.get(look).text, look.partition("?")[0])
    assert sent["bag"] == path.removeprefix("/bags/")
    assert client.post(look.partition("?")[0], data=sent).headers["location"].startswith(f"{path}?since=")
    assert [piece.id for piece in own_of(desk, path).pieces] == ["front", "gusset", "flap"]


def test_a_stale_page_changes_nothing(client, desk):
    path = taken(client)
    old = str(shown_version(client.get(path).text))
    sew(client, path, "front/1/edge_1", "gusset/1/edge_1")
    before = own_of(desk, path)
    answer = client.post(f"{path}/pieces/front", data={"version": old, "front.name": "Other"})
    assert answer.status_code == 409
    assert "changed in another tab" in answer.text
    assert own_of(desk, path) == before


# Size, line and what the file leaves open.


def test_a_drawing_without_a_size_is_asked_about(client, desk):
    plain = svg('<path id="flap" d="M5 5h60v40h-60z"/>')
    look = bring(client, plain).headers["location"]
    html = client.get(look).text
    assert "Is that so?" in html
    base = look.partition("?")[0]
    known = {"known_edge": "flap.edge_1", "known_length": "6 in", "line": "cut", "allowance": "1/2 in"}
    again = client.get(base, params=known)
    assert "Is that so?" not in again.text
    path = client.post(base, data={**known, "name": "Flap", "role": "outer"}).headers["location"]
    (piece,) = own_of(desk, path).pieces
    # The drawn edge is the cut line: 6 in with its half inch at either end.
    assert piece.net.edge("edge_1").length_mm == pytest.approx(5 * 25.4, abs=1e-3)
    assert piece.region().width_mm == pytest.approx(6 * 25.4, abs=1e-3)


@pytest.mark.parametrize(
    ("answers", "field"),
    [
        ({"known_length": "far"}, "known_length"),
        ({"known_length": "3 in", "known_edge": "front.edge_77"}, "known_length"),
        ({"scale_unit": "furlong"}, "scale_unit"),
        ({"line": "chalk"}, "line"),
        ({"allowance": "thick"}, "allowance"),
        ({"role": "hood"}, "role"),
    ],
)
def test_answers_that_cannot_be_read_are_refused_beside_their_fields(client, answers, field):
    base = bring(client).headers["location"].partition("?")[0]
    for answer in (client.get(base, params=answers), client.post(base, data={"name": "Bag", **answers})):
        assert answer.status_code == 422
        assert invalid_fields(answer.text) == {field}
    assert ">Bag</a>" not in client.get("/").text


def test_an_allowance_that_does_not_fit_is_told_and_the_drawing_shown(client):
    base = bring(client).headers["location"].partition("?")[0]
    answer = client.get(base, params={"line": "cut", "allowance": "3 in"})
    assert answer.status_code == 422
    assert "leaves nothing inside it" in answer.text
    assert "gusset" in answer.text


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"PK\x03\x04zip", "is a zip archive"),
        (b"\x00\x01junk", "is neither SVG nor DXF"),
        (b'<!DOCTYPE s [<!ENTITY a "b">]><svg>&a;</svg>', "declares entities"),
        (b'<svg><path id="bow" d="M0 0L50 50V0L0 50z"/></svg>', "crosses itself"),
        (b'<svg><path id="open" d="M0 0h90v90"/></svg>', "is open"),
        (b"<svg>" + b"<g/>" * 1_250_000 + b"</svg>", "larger than 5 MB"),
        (b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "holds no closed outline"),
    ],
)
def test_a_drawing_that_cannot_be_read_is_told_with_a_way_on(client, data, words):
    answer = bring(client, data, name="x.svg")
    assert answer.status_code == 422
    assert words in answer.text
    assert "Nothing was taken over" in answer.text
    assert fields(answer.text, "/drawing").keys() == {"drawing", "scale_unit"}


def test_no_file_at_all_is_told(client):
    assert "is empty" in client.post("/drawing", data={"scale_unit": ""}).text


def test_type_goes_by_content_not_by_name(client):
    assert bring(client, DRAWING, name="pattern.dxf").status_code == 303


def test_an_upload_too_large_is_refused_before_it_is_read(client):
    answer = client.post(
        "/drawing", content=b"x", headers={"content-length": str(LARGEST_UPLOAD_BYTES["/drawing"] + 1)}
    )
    assert answer.status_code == 413


def test_bytes_are_counted_while_they_come():
    chunks = iter([{"type": "http.request", "body": b"x" * 600, "more_body": True}] * 3)

    async def receive():
        return next(chunks)

    async def read_all():
        bounded = counted(receive, 1500)
        return [await bounded() for _ in range(3)]

    # In a thread of its own: the browser's tests may have left a running loop in this one.
    with ThreadPoolExecutor(1) as thread, pytest.raises(HTTPException) as refused:
        thread.submit(lambda: asyncio.run(read_all())).result()
    assert refused.value.status_code == 413


def test_a_forgotten_drawing_is_not_there(client):
    assert client.get("/drawings/0123456789abcdef").status_code == 404
    assert client.post("/drawings/0123456789abcdef", data={"name": "x"}).status_code == 404


def test_her_own_forms_are_not_for_other_bags(client):
    answer = client.post("/bags/harbour-market-tote/seams", data={"version": "1", "seam.one": "outer/1/top"})
    assert answer.status_code == 422


def test_sizes_of_a_form_are_not_for_her_own_bag(client, desk):
    path = taken(client)
    assert "Work it out" not in client.get(path).text
    assert send(client, path, "size", width_mm="12 in").status_code == 422


@pytest.mark.parametrize("text", NASTY)
def test_names_in_drawings_and_forms_stay_text(client, text):
    plain = text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
    drawing = svg(f'<path aria-label="{plain}" d="M5 5h60v40h-60z"/>', 'width="99mm"')
    look = bring(client, drawing, name=text).headers["location"]
    assert_harmless(client.get(look).text)
    path = client.post(look.partition("?")[0], data={"name": text, "role": "outer"}).headers["location"]
    assert_harmless(client.get(path).text)
    (piece,) = re.findall(r'id="own-piece-([a-z0-9_]+)"', client.get(path).text)
    for what, texts in {
        f"pieces/{piece}": {f"{piece}.name": text, f"{piece}.edge_0_name": text},
        "seams": {"seam.one": text, "seam.name": text, "seam.ease": text},
        "measures": {"measure.name": text, "measure.asked": text},
    }.items():
        assert_harmless(send(client, path, what, **texts).text)
    send(client, path, f"pieces/{piece}", **{f"{piece}.edge_0_name": text})
    assert_harmless(client.get(path).text)
    assert_harmless(client.get("/").text)


def test_the_page_has_no_id_twice(client):
    path = taken(client)
    sew(client, path, "front/1/edge_1", "gusset/1/edge_1")
    html = client.get(path).text
    assert len(set(ids(html))) == len(ids(html))
