"""The bag folded up, turned in a real browser: by dragging, by keys, by links, and without a script."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

TOTE = "/bags/harbour-market-tote"


@pytest.fixture
def bag(page):
    opened = page(TOTE)
    expect(opened.locator("#folded .turning")).to_be_visible()
    return opened


def side(bag):
    return bag.locator("#folded-up-desc")


def test_it_is_there_after_the_page_and_has_words_for_those_who_do_not_see_it(bag):
    table = bag.get_by_role("group", name="The bag folded up")
    expect(table).to_be_visible()
    expect(bag.get_by_role("img", name="The bag folded up")).to_be_visible()
    expect(side(bag)).to_have_text(re.compile(r"^Its front and its right side, seen from above\. It stands .* wide"))
    expect(bag.locator("#folded figcaption")).to_contain_text("litres")


def test_arrow_keys_turn_it_and_the_focus_stays(bag):
    table = bag.locator("#folded .turntable")
    table.focus()
    for _ in range(4):
        bag.keyboard.press("ArrowRight")  # faster than answers come; none of them is lost
    expect(bag.locator("#folded")).to_have_attribute("data-turn", "90")
    expect(side(bag)).to_have_text(re.compile("^Its right side, seen from above"))
    bag.keyboard.press("ArrowDown")
    bag.keyboard.press("ArrowDown")
    expect(side(bag)).to_have_text(re.compile("^Its right side, seen from below"))
    expect(table).to_be_focused()


def test_dragging_turns_it(bag):
    bag.locator("#folded .turntable").scroll_into_view_if_needed()
    box = bag.locator("#folded .turntable").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    bag.mouse.move(x, y)
    bag.mouse.down()
    bag.mouse.move(x - 100, y, steps=8)
    bag.mouse.up()
    # 100 px at 0.6 degrees each, from 30: it turns to the left under the hand, so more of its right side shows.
    expect(bag.locator("#folded")).to_have_attribute("data-turn", "90")
    bag.mouse.move(x + 50, y)
    expect(bag.locator("#folded")).to_have_attribute("data-turn", "90")


def test_links_turn_it_without_leaving_the_page(bag):
    bag.evaluate("window.stayed = true")
    bag.get_by_role("link", name="Turn right").click()
    expect(bag.locator("#folded")).to_have_attribute("data-turn", "60")
    expect(bag.get_by_role("link", name="Turn right")).to_be_focused()
    bag.get_by_role("link", name="Higher").click()
    expect(bag.locator("#folded")).to_have_attribute("data-tilt", "40")
    assert bag.evaluate("window.stayed")


def test_a_change_keeps_the_side_that_she_looks_at(page, own_address):
    bag = page(TOTE)
    bag.get_by_role("link", name="Turn left").click()
    expect(bag.locator("#folded")).to_have_attribute("data-turn", "0")
    bag.locator("#width_mm").fill("17 5/16")
    bag.locator("#width_mm").press("Tab")
    expect(bag.locator("#folded figcaption")).to_contain_text("17 5/16 in wide")
    expect(bag.locator("#folded")).to_have_attribute("data-turn", "0")
    expect(side(bag)).to_have_text(re.compile("^Its front, seen from above"))


def test_without_a_script_links_turn_it(page):
    bag = page(f"{TOTE}?turn=30&tilt=20", java_script_enabled=False)
    expect(side(bag)).to_have_text(re.compile("^Its front and its right side"))
    bag.get_by_role("link", name="Turn left").click()
    expect(side(bag)).to_have_text(re.compile("^Its front, seen from above"))
    assert bag.url.endswith("?turn=0&tilt=20#folded")
    bag.get_by_role("link", name="Lower").click()
    expect(side(bag)).to_have_text(re.compile("^Its front, seen straight on"))


def test_it_fits_a_phone_and_lets_it_scroll(page):
    bag = page(TOTE, width_px=390, height_px=800)
    expect(bag.locator("#folded .turning")).to_be_visible()
    box = bag.locator("#folded .turntable > svg").bounding_box()
    assert box["x"] >= 0 and box["x"] + box["width"] <= 390
    assert bag.locator("#folded .turntable").evaluate("table => getComputedStyle(table).touchAction") == "pan-y"
