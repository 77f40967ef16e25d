"""Measuring at the kitchen table, as she meets it in a browser."""

from __future__ import annotations

import re

from playwright.sync_api import expect

TOTE = "/bags/harbour-market-tote"


def test_the_best_test_is_named_done_and_counted(page, own_address, accessibility_faults):
    bag = page(TOTE, bypass_csp=True)
    bag.locator(".paying-later").scroll_into_view_if_needed()
    best = bag.locator(".paying .button")
    expect(best).to_have_text(re.compile("Fuse scraps of Pond canvas"))
    best.click()
    bag.get_by_label("Right side up").fill("3 1/2, 3 9/16, 3 1/2, 3 1/2, 4 3/4")
    bag.get_by_label("Right side down").fill("3 3/8, 3 7/16, 3 3/8, 3 3/8")
    bag.get_by_role("button", name="Work it out").click()
    expect(bag.get_by_role("checkbox", name="stands out from the others")).not_to_be_checked()
    assert accessibility_faults(bag) == []
    bag.get_by_role("button", name="Save for these two").click()
    expect(bag.get_by_role("status")).to_have_text("Saved. It counts now wherever these two meet.")
    bag.goto(own_address.rstrip("/") + TOTE)
    expect(bag.locator("#layers")).to_contain_text("Counted here: your fused scrap of Pond canvas, 10 oz")


def test_a_measured_material_shows_its_new_numbers(page, own_address, accessibility_faults):
    cloth = page("/materials/chalk-poplin/measure", bypass_csp=True)
    cloth.get_by_role("group", name="Strips cut along the selvedge").get_by_label("Right side up").fill("34, 35, 34 mm")
    cloth.get_by_role("button", name="Work it out").click()
    expect(cloth.get_by_role("heading", name="What your readings tell")).to_be_in_viewport()
    assert accessibility_faults(cloth) == []
    cloth.get_by_role("button", name="Save to Chalk poplin lining").click()
    expect(cloth.get_by_label("Stiffness, lengthwise", exact=True)).to_have_value(re.compile(r"^1 3/8 in"))
