"""Scraps in a real browser: an outline put right in its picture, and a cutting kept and taken back."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

PHOTO = Path(__file__).parents[2] / "docs" / "pictures" / "mat-photo.jpg"


def middle(page: Page, what: str) -> tuple[float, float]:
    """Of the first that fits, in pixels of the window."""
    box = page.locator(what).first.bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def corners(page: Page) -> list[list[float]]:
    """Of the first outline, as they stand in its field."""
    return [[float(number) for number in pair.split()] for pair in page.input_value("#corners-1").split(";")]


def moved(before: list[list[float]], after: list[list[float]]) -> list[tuple[float, float]]:
    """How far each corner that moved did."""
    apart = ((x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in zip(before, after, strict=True))
    return [(round(x, 1), round(y, 1)) for x, y in apart if abs(x) + abs(y) > 0.05]


def test_corners_are_dragged_by_mouse_and_finger_and_moved_by_keys(page):
    mat = page("/mat", has_touch=True)
    mat.set_input_files("#photo", PHOTO)
    mat.get_by_role("button", name="Find the outlines").click()
    expect(mat.locator(".mat-picture")).to_be_visible()
    expect(mat.locator(".corner")).to_have_count(0)
    mat.mouse.click(*middle(mat, "[data-outline='1'] path"))
    found = corners(mat)
    expect(mat.locator(".corner")).to_have_count(len(found))

    x, y = middle(mat, ".corner")
    mat.mouse.move(x, y)
    mat.mouse.down()
    mat.mouse.move(x + 30, y - 20, steps=3)
    mat.mouse.up()
    dragged = corners(mat)
    ((across, up),) = moved(found, dragged)
    assert across > 2 and up > 2

    x, y = middle(mat, ".corner")
    finger = mat.context.new_cdp_session(mat)
    for kind, places in (("touchStart", [(x + 9, y)]), ("touchMove", [(x - 21, y)]), ("touchEnd", [])):
        touches = [{"x": across, "y": up} for across, up in places]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touches})
    touched = corners(mat)
    ((across, _),) = moved(dragged, touched)
    assert across < -2

    mat.locator(".corner[tabindex='0']").focus()
    mat.keyboard.press("PageDown")
    mat.keyboard.press("Shift+ArrowUp")
    assert moved(touched, corners(mat)) == [(0.0, 5.0)]
    mat.get_by_role("button", name="Corners as found").click()
    assert corners(mat) == found


def test_a_cutting_is_kept_and_undone(page):
    table = page("/bags/harbour-market-tote/layouts/pond-canvas")
    table.get_by_role("button", name="I cut this").click()
    said = table.locator("#cut [role=status]").first
    expect(said).to_contain_text("To the stash")
    table.get_by_role("button", name="Undo").first.click()
    expect(table.get_by_role("button", name="Keep it after all").first).to_be_visible()
