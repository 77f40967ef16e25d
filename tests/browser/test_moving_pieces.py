"""A piece of a layout dragged and moved by keys in a real browser, judged while it moves."""

from __future__ import annotations

import re

from playwright.sync_api import expect


def test_a_piece_is_dragged_judged_and_put_back_by_keys(page):
    table = page("/bags/harbour-market-tote/layouts/pond-canvas/moving")
    piece = table.locator(".movable").nth(1)
    verdict = table.locator("#verdict")
    expect(verdict).to_contain_text("Checked: nothing overlaps")
    place = table.locator("#along_1")
    printed = place.input_value()

    box = piece.bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    table.mouse.move(x, y)
    table.mouse.down()
    table.mouse.move(x - 60, y + 23, steps=5)
    table.mouse.up()
    expect(verdict).to_contain_text(re.compile(r"lies on (Outer panel|Strap)\."))
    expect(piece).to_have_class("movable at-fault")
    assert place.input_value() != printed

    table.reload()
    piece = table.locator(".movable").nth(1)
    piece.focus()
    before = piece.bounding_box()
    table.keyboard.press("Shift+ArrowDown")
    expect(place).not_to_have_value(printed)
    after = piece.bounding_box()
    assert before and after and after["y"] > before["y"]
