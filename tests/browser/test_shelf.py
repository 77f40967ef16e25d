"""The shelf and what can be added to a bag, as she meets them in a browser."""

from __future__ import annotations

import io

from PIL import Image
from playwright.sync_api import expect


def swatch():
    written = io.BytesIO()
    Image.new("RGB", (300, 200), (60, 110, 90)).save(written, "JPEG")
    return {"name": "swatch.jpg", "mimeType": "image/jpeg", "buffer": written.getvalue()}


def test_a_material_from_its_label_to_a_priced_offer(page, own_address):
    shelf = page("/materials")
    shelf.get_by_label("Name").fill("Alder canvas, 8 oz")
    shelf.get_by_label("Kind").select_option("bottom-weight cloth")
    shelf.get_by_role("button", name="Add it").click()
    expect(shelf.get_by_role("heading", level=1)).to_have_text("Alder canvas, 8 oz")
    shelf.get_by_label("Weight", exact=True).fill("7.5 to 8.5 oz")
    shelf.get_by_label("Weight: how you know").select_option("on the label")
    shelf.get_by_role("button", name="Save", exact=True).click()
    expect(shelf.get_by_label("Weight", exact=True)).to_have_value("8.0 oz/yd² (7.5 to 8.5 oz/yd²)")
    shelf.get_by_text("Add an offer by length").click()
    shelf.get_by_label("Where").first.fill("Barn sale")
    shelf.get_by_label("Price", exact=True).first.fill("9.50")
    shelf.get_by_label("Width", exact=True).first.fill("58 in")
    shelf.get_by_label("Price", exact=True).first.fill("dear")
    shelf.get_by_role("button", name="Add this offer").first.click()
    expect(shelf.get_by_label("Price", exact=True).first).to_be_focused()  # a fault is brought to her
    page.console_errors.clear()
    shelf.get_by_label("Price", exact=True).first.fill("9.50")
    shelf.get_by_role("button", name="Add this offer").first.click()
    expect(shelf.get_by_text("Barn sale: $9.50")).to_be_visible()


def test_a_swatch_is_shown_on_the_shelf(page, own_address):
    shelf = page("/materials/pond-canvas")
    shelf.get_by_label("Picture of a swatch").set_input_files(swatch())
    shelf.get_by_role("button", name="Use this picture").click()
    picture = shelf.get_by_role("img", name="Swatch of Pond canvas, 10 oz")
    expect(picture).to_have_js_property("naturalWidth", 480)
    shelf.get_by_role("button", name="Undo the last change").click()
    expect(picture).to_have_count(0)


def test_a_pocket_is_taken_off_and_put_on_again(page, own_address):
    bag = page("/bags/harbour-market-tote")
    bag.get_by_text("Pockets, straps, fastenings and the rest").click()
    bag.locator("#inside_pockets").select_option("none")
    expect(bag.locator("#pocket_width_mm")).to_have_count(0)
    expect(bag.locator("#work")).not_to_contain_text("Hem the top of the pocket")
    bag.locator("#inside_pockets").select_option("one")
    expect(bag.locator("#pocket_width_mm")).to_have_value("7 in")
    expect(bag.locator("#work")).to_contain_text("Hem the top of the pocket")
