"""Measuring a material on the page: readings typed, read back, kept, undone."""

from __future__ import annotations

import pytest

from bagwright.body.ruler_test import bending_length_mm
from bagwright.body.standing import standing_height_mm
from bagwright.model.source import SourceKind
from bagwright.web import measure_routes
from bagwright.workflows.material_changes import material_on_shelf
from tests.web.bag_on_page import shown_version
from tests.web.html import fields, ids, invalid_fields, read, said, what_could_run

CANVAS = "/materials/pond-canvas"
PAGE = f"{CANVAS}/measure"
# Eight readings about 2 in, one far off; three across in millimetres; ten layers; a rectangle on a scale.
TYPED = {
    "along_up": "2, 2 1/16, 1 15/16, 2, 2 13/16",
    "along_down": "1 7/8, 1 15/16, 1 7/8, 1 7/8",
    "across_up": "41, 43, 42 mm",
    "stack_layers": "10",
    "stack_height": "5/16",
    "piece_mass": "34",
    "piece_length": "20",
    "piece_width": "8",
}


def canvas(desk):
    return material_on_shelf(desk, "pond-canvas").material


def look(client, page=PAGE, **texts):
    return client.post(page, data={**fields(client.get(page).text, f"{page}#found"), "do": "look", **texts})


def save(client, looked, page=PAGE, **texts):
    """Press the second button on the page that was read back."""
    shown = {k: v for k, v in fields(looked.text, f"{page}#found").items() if not k.startswith("keep_")}
    return client.post(page, data={**shown, "do": "keep", **texts})


def test_every_address_is_tried_here():
    assert {route.path for route in measure_routes.ROUTES} == {"/materials/{material_id}/measure"}


def test_page_is_whole_before_and_after_readings(client):
    for html in (client.get(PAGE).text, look(client, **TYPED).text):
        found = ids(html)
        assert len(found) == len(set(found))
        assert what_could_run(html) == []
        assert all(a["for"] in found for _, a in read(html).tags if a.get("for"))
    assert PAGE in client.get(CANVAS).text


def test_readings_are_read_back_and_nothing_is_kept_by_looking(client, desk):
    before = canvas(desk)
    answer = look(client, **TYPED)
    assert answer.status_code == 200
    # What was typed stays in its fields, and the one that is far off is shown with a box to tick.
    assert TYPED.items() <= fields(answer.text, f"{PAGE}#found").items()
    assert 'name="keep_along_up"' in answer.text and 'name="keep_along_down"' not in answer.text
    assert canvas(desk) == before


def test_what_is_saved_is_what_the_body_room_makes_of_the_readings(client, desk):
    old = canvas(desk)
    answer = save(client, look(client, **TYPED))
    assert (answer.status_code, answer.headers["location"]) == (303, f"{CANVAS}?measured")
    kept = canvas(desk)
    # Means by hand: up (2 + 2 1/16 + 1 15/16 + 2)/4 = 2 in without the far one, down 1.890625 in.
    assert kept.overhang_mm.value == pytest.approx(25.4 * (2 + 1.890625) / 2, abs=0.06)
    assert kept.crosswise_overhang_mm.value == 42.0
    assert kept.thickness_mm.value == pytest.approx(25.4 * 5 / 16 / 10, abs=0.001)
    assert kept.mass_gsm.value == pytest.approx(34 / (0.508 * 0.2032), abs=0.06)
    for one in (kept.overhang_mm, kept.crosswise_overhang_mm, kept.thickness_mm, kept.mass_gsm):
        assert one.source.kind is SourceKind.MEASURED and one.source.said_by[-4:].isdecimal()
        assert one.low < one.value < one.high
    version = str(shown_version(client.get(CANVAS).text))
    assert client.post(f"{CANVAS}/undo", data={"version": version}).status_code == 303
    assert canvas(desk) == old


def test_reading_that_stands_out_counts_if_she_says_so(client, desk):
    changed = save(client, look(client, **TYPED), keep_along_up="1")
    # Ticked after the look: it is shown once more before anything is kept.
    assert changed.status_code == 200 and "look once more" in changed.text
    assert save(client, changed, keep_along_up="1").status_code == 303
    assert canvas(desk).overhang_mm.value == pytest.approx(25.4 * (10.8125 / 5 + 1.890625) / 2, abs=0.06)


def test_what_was_changed_after_the_look_is_shown_before_it_is_kept(client, desk):
    before = canvas(desk)
    answer = save(client, look(client, **TYPED), along_down="3, 3, 3, 3")
    assert answer.status_code == 200 and "look once more" in answer.text
    assert canvas(desk) == before


def test_all_faults_come_back_beside_their_fields_with_what_was_typed(client, desk):
    before = canvas(desk)
    typed = {"along_up": "83, 84", "across_down": "long", "stack_layers": "10", "piece_mass": "40", "angle_deg": "90"}
    answer = look(client, **typed)
    assert answer.status_code == 422
    wrong = {"along_up", "across_down", "stack_height", "piece_length", "piece_width", "angle_deg"}
    assert invalid_fields(answer.text) == wrong
    assert typed.items() <= fields(answer.text, f"{PAGE}#found").items()
    assert canvas(desk) == before
    assert invalid_fields(look(client).text) == {"along_up"}  # nothing typed at all
    assert invalid_fields(look(client, piece_mass="0.3", piece_length="20", piece_width="8").text) == {"piece_mass"}


def test_readings_outlive_a_change_in_another_tab(client):
    looked = look(client, **TYPED)
    assert save(client, look(client, **TYPED)).status_code == 303
    answer = save(client, looked)
    assert answer.status_code == 409
    assert TYPED.items() <= fields(answer.text, f"{PAGE}#found").items()


def test_other_slope_keeps_the_old_direction_true(client, desk):
    old = canvas(desk)
    assert save(client, look(client, along_up="52, 52, 53, 52 mm", angle_deg="45")).status_code == 303
    new = canvas(desk)
    assert new.overhang_angle_deg == 45.0
    stiff = [bending_length_mm(m.crosswise_overhang_mm.value, angle_deg=m.overhang_angle_deg) for m in (old, new)]
    assert stiff[1] == pytest.approx(stiff[0])
    assert "slope of 45 degrees" in client.get(CANVAS).text


def test_words_tell_how_high_it_stands(client):
    html = look(client, along_up="100, 100, 100, 100 mm").text
    # 1.986353 x the bending length of 100 mm at 41.5 degrees: 99.3 mm, or 3 15/16 in.
    stands = standing_height_mm(bending_length_mm(100.0, angle_deg=41.5))
    assert stands == pytest.approx(99.3, abs=0.05)
    assert "3 15/16 in" in said(html) and "before it folds over" in html
    client.post("/workroom", data={**fields(client.get("/workroom").text, "/workroom"), "units": "metric"})
    assert "stands about 9.9 cm" in said(look(client, along_up="100, 100, 100, 100").text)


def test_heart_loop_stands_for_an_overhang(client, desk):
    loop = {"loop_strip": "200 mm", "loop_drop": "60 mm"}
    both = look(client, **loop, along_up="52 mm")
    assert invalid_fields(both.text) == {"loop_strip"}
    assert save(client, look(client, **loop)).status_code == 303
    # The worked example of the heart loop: 24.6 mm of bending length, and k = 0.4999 at 41.5 degrees.
    assert canvas(desk).overhang_mm.value == pytest.approx(24.6 / 0.4999, abs=0.2)


def test_what_is_no_sheet_is_not_measured_like_this(client):
    answer = client.get("/materials")
    webbing = next(a["href"] for _, a in read(answer.text).tags if "webbing" in (a.get("href") or ""))
    assert client.get(f"{webbing}/measure").status_code == 404
    assert "/measure" not in client.get(webbing).text


def test_slope_card_comes_at_any_angle(client):
    usual, steep = (client.get(f"/ruler-test/slope-card-a4.pdf{asked}") for asked in ("", "?angle_deg=60"))
    assert usual.status_code == steep.status_code == 200 and usual.content != steep.content
    assert client.get("/ruler-test/slope-card-a4.pdf?angle_deg=85").status_code == 422


def test_thickness_is_told_in_her_units_with_the_millimetres_of_labels(client):
    # 5/16 in of ten layers: 0.79 mm each, 0.031 in.
    told = " ".join(read(said(look(client, **TYPED).text)).texts)
    assert "One layer is 0.031 in (" in told
    assert "Labels of felt, foam and vinyl say millimetres: 0.79 mm." in told
    numbers = " ".join(read(said(client.get("/bags/harbour-market-tote").text)).texts)
    assert "1 mm thick" not in numbers and "0.137 in" in " ".join(numbers.split())
