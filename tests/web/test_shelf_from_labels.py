"""A shelf typed in from shop labels: what a name tells is offered, what is usual is marked, what is missing is said."""

from __future__ import annotations

import pytest

from bagwright.model.material import Material, MaterialKind
from bagwright.units import GSM_PER_OZ_YD2
from bagwright.workflows.material_changes import material_on_shelf
from bagwright.workflows.name_numbers import not_yet_used, numbers_in_name
from tests.web.bag_on_page import shown_version
from tests.web.html import fields, invalid_fields, read


def add(client, name, kind):
    return client.post("/materials", data={"name": name, "kind": kind}).headers["location"]


def text_of(html):
    return " ".join(" ".join(read(html).texts).split())


def kept(desk, page):
    return material_on_shelf(desk, page.removeprefix("/materials/")).material


def act(client, page, deed, **texts):
    return client.post(f"{page}/{deed}", data={"version": str(shown_version(client.get(page).text)), **texts})


def test_numbers_of_a_name_are_told_and_not_used_until_she_says_so(client, desk):
    page = add(client, "canvas 10 oz 60 in cotton", "bottom-weight cloth")
    html = client.get(page).text
    told = text_of(html)
    assert "Weight 10 oz" in told and "Made of cotton" in told and "60 in wide" in told
    assert kept(desk, page).mass_gsm.source.kind.value == "typical range"
    assert act(client, page, "from-name").status_code == 303
    cloth = kept(desk, page)
    # Ten international ounces on one international square yard.
    assert cloth.mass_gsm.value == pytest.approx(10 * 28.349523125 / 0.9144**2)
    assert (cloth.mass_gsm.source.kind.value, cloth.fibres) == ("on the label", "cotton")
    assert "Put these in" not in client.get(page).text
    act(client, page, "undo")
    assert kept(desk, page).mass_gsm.source.kind.value == "typical range"


def test_width_of_a_name_stands_in_the_form_of_an_offer_until_there_is_one(client):
    page = add(client, "faux leather 54 in", "coated cloth")
    assert 'value="54 in"' in client.get(page).text
    offer = {"sold": "by length", "seller": "Stall", "price": "9.00", "priced_per_mm": "1 yd", "width_mm": "54 in"}
    act(client, page, "offers", **offer, step_mm="1/8 yd", dated="2026-11-01", price_breaks="")
    assert "Its name tells more" not in client.get(page).text


def test_name_in_two_tabs_overwrites_nothing(client, desk):
    page = add(client, "felt 3 mm", "felt")
    old = shown_version(client.get(page).text)
    assert act(client, page, "from-name").status_code == 303
    assert client.post(f"{page}/from-name", data={"version": str(old)}).status_code == 409
    assert kept(desk, page).thickness_mm.value == 3.0


@pytest.mark.parametrize(
    ("name", "kind", "readings", "size", "sides"),
    [
        ("sew-in foam 20x58 in", MaterialKind.FOAM, {}, ("20 in", "58 in"), 0),
        ("fusible fleece, 45 in", MaterialKind.FLEECE, {}, ("45 in", ""), 1),
        ("two-sided fusible foam", MaterialKind.FOAM, {}, ("", ""), 2),
        ('lining cotton 44/45"', MaterialKind.PLAIN_CLOTH, {}, ("44 in", ""), None),
        ("340 g/m² duck, 150 cm", MaterialKind.BOTTOM_WEIGHT, {"mass_gsm": "340 gsm"}, ("150 cm", ""), None),
        # Numbered duck: 19 - number ounces on 36 x 22 in; reference facts K17: No. 8 is 18.0 oz/yd2.
        ("No. 8 duck", MaterialKind.BOTTOM_WEIGHT, {"mass_gsm": "18.00 oz"}, ("", ""), None),
        # Leather: one ounce is 1/64 in (several trade pages).
        ("bridle side 8 oz", MaterialKind.LEATHER, {"thickness_mm": "0.1250 in"}, ("", ""), None),
        # Tex is grams a kilometre by definition.
        ("thread tex 60", MaterialKind.THREAD, {"mass_gpm": "0.06 g"}, ("", ""), None),
        ("1/4 in gingham", MaterialKind.PLAIN_CLOTH, {}, ("", ""), None),
        ("patchwork 4 x 4 in", MaterialKind.PLAIN_CLOTH, {}, ("", ""), None),
    ],
)
def test_name_is_read_as_a_sewer_would(name, kind, readings, size, sides):
    found = numbers_in_name(name, kind)
    assert (dict(found.readings), (found.width, found.length), found.glued_sides) == (readings, size, sides)


@pytest.mark.parametrize("name", ["0 oz felt", "9999999 gsm felt", "felt 0/0 in", "felt 1,500 gsm", "felt " + "9" * 90])
def test_name_that_tells_no_sound_number_offers_none(name):
    assert not not_yet_used(Material(id="x", name=name, kind=MaterialKind.FELT), ()).readings


def test_usual_values_are_marked_with_their_range_in_the_list_and_on_the_page(client):
    page = add(client, "market canvas", "bottom-weight cloth")
    card = text_of(client.get("/materials").text).partition("market canvas")[2][:300]
    assert "Weight 5.9 to 14.7 oz/yd² usual" in card
    assert "Usual for its kind, not measured on yours." in client.get(page).text


@pytest.mark.parametrize(
    ("kind", "stay"), [("coated cloth", True), ("cork cloth", True), ("leather", True), ("felt", False)]
)
def test_holes_stay_from_the_start_where_they_do(client, desk, kind, stay):
    assert kept(desk, add(client, f"my {kind}", kind)).holes_stay is stay


def test_kind_without_usual_values_says_what_to_find_out(client):
    page = add(client, "bag foam", "foam")
    assert "No weight yet: look for oz or gsm on the label" in client.get("/materials").text
    told = text_of(client.get(page).text)
    assert "No thickness yet" in told and "No stiffness yet: no label tells it: do the ruler test." in told


def test_number_typed_over_a_usual_one_no_longer_passes_for_usual(client, desk):
    page = add(client, "market canvas", "bottom-weight cloth")
    typed = fields(client.get(page).text, page)
    for box in ("directional", "holes_stay", "half_drop", "laid_double"):
        typed.pop(box)
    assert client.post(page, data={**typed, "mass_gsm": "10 oz"}).status_code == 303
    cloth = kept(desk, page)
    assert cloth.mass_gsm.value == pytest.approx(10 * GSM_PER_OZ_YD2)
    assert cloth.mass_gsm.source.kind.value == "on the label"
    assert cloth.thickness_mm.source.kind.value == "typical range"


def test_thickness_without_a_unit_rejects_where_bare_numbers_are_inches(client):
    page = add(client, "market canvas", "bottom-weight cloth")
    typed = {**fields(client.get(page).text, page), "thickness_mm": "1"}
    answer = client.post(page, data=typed)
    assert (answer.status_code, invalid_fields(answer.text)) == (422, {"thickness_mm"})
    assert "Add in or mm." in answer.text


def test_shelf_keeps_to_inches_in_an_inch_workroom(client):
    page = add(client, "market canvas", "bottom-weight cloth")
    values = fields(client.get(page).text, page)
    assert not [name for name, text in values.items() if " mm" in text and not name.endswith(("_said_by", "_known"))]
