"""Moving pieces of a layout by the form, as it works without a script."""

from __future__ import annotations

import re

from bagwright.cutting.check import check_layout
from bagwright.workflows.cutting_table import sheet_of
from bagwright.workflows.desk import view_bag
from tests.web.html import fields
from tests.workflows.demo_values import TOTE

HERE = f"/bags/{TOTE}/layouts/pond-canvas/moving"


def form(client):
    answer = client.get(HERE)
    assert answer.status_code == 200, answer.text[-500:]
    return answer.text, fields(answer.text, HERE)


def sent(client, changed, status=200):
    answer = client.post(HERE, data=changed)
    assert answer.status_code == status, answer.text[-800:]
    return answer.text


def laid(desk):
    view = view_bag(desk, TOTE)
    return sheet_of(view, "pond-canvas"), view.answer.price


def test_an_untouched_form_passes_and_keeps_every_place(client, desk):
    html, given = form(client)
    before, _ = laid(desk)
    assert "Checked: nothing overlaps" in html and 'class="movable"' in html
    client.post(HERE, data={**given, "deed": "keep"})
    after, _ = laid(desk)
    assert after.layout.placements == before.layout.placements
    assert after.layout.found_by == "you"


def test_an_overlap_is_told_by_name_and_is_not_kept(client, desk):
    _, given = form(client)
    before, _ = laid(desk)
    moved = {**given, "across_1": "0", "along_1": "1/2 in"}
    html = sent(client, moved)
    assert "It cannot be cut like this" in html
    assert re.search(r"(Outer panel|Strap) lies on (Outer panel|Strap)\.", html)
    assert html.count('class="movable at-fault"') == 2
    assert "It cannot be cut like this" in sent(client, {**moved, "deed": "keep"}, 422)
    assert laid(desk)[0].layout == before.layout


def test_a_piece_over_the_side_is_told(client):
    _, given = form(client)
    assert "reaches over the side of the cloth" in sent(client, {**given, "across_0": "56 in"})


def test_a_layout_of_hers_is_kept_priced_laid_aside_and_brought_back(client, desk):
    html, given = form(client)
    before, price = laid(desk)
    length = before.layout.length_mm
    strap = re.search(r'<tr data-number="(\d+)"><th scope="row">Strap', html)
    assert strap
    sent(client, {**given, f"along_{strap[1]}": "30 mm", "deed": "keep"}, 303)
    hers, dearer = laid(desk)
    assert hers.layout.found_by == "you" and hers.layout.length_mm > length + 20
    assert check_layout(hers.request, hers.layout.placements).passed
    assert price is not None and dearer is not None and price.materials < dearer.materials
    html, _ = form(client)
    assert "This is the layout you laid." in html
    client.post(f"{HERE}/found")
    assert laid(desk)[0].layout == before.layout
    client.post(f"{HERE}/undo")
    assert laid(desk)[0].layout == hers.layout
    assert client.post(f"{HERE}/lost").status_code == 404


def test_what_cannot_be_read_moves_nothing(client):
    _, given = form(client)
    html = sent(client, {**given, "along_0": "far", "turn_1": "45"}, 422)
    assert "cannot be read as a size" in html and "is not one of its turns" in html


def test_a_page_of_an_older_layout_keeps_nothing(client, desk):
    _, given = form(client)
    before, _ = laid(desk)
    html = sent(client, {**given, "layout": "older", "deed": "keep"}, 409)
    assert "Another layout lies here by now" in html
    assert laid(desk)[0].layout == before.layout
