"""Scraps in a real browser: an outline put right in its picture, and a cutting kept and taken back."""

from __future__ import annotations

from fractions import Fraction
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import FilePayload, Page, expect

PHOTO = Path(__file__).parents[2] / "docs" / "pictures" / "mat-photo.jpg"
SMALL_PX = (1080, 810)


def small_photo() -> bytes:
    """Fewer pixels: it is the hand on the corners that is tried here."""
    data = BytesIO()
    with Image.open(PHOTO) as photo:
        photo.resize(SMALL_PX, Image.Resampling.LANCZOS).save(data, "JPEG", quality=92)
    return data.getvalue()


def middle(page: Page, what: str) -> tuple[float, float]:
    """Of the first that fits, in pixels of the window."""
    box = page.locator(what).first.bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def corners(page: Page) -> list[list[float]]:
    """Of the first outline, as they stand in its field, in inches."""
    pairs = [pair.split(" x ") for pair in page.input_value("#corners-1").split("; ")]
    return [[float(sum(Fraction(part) for part in size.split())) for size in pair] for pair in pairs]


def moved(before: list[list[float]], after: list[list[float]]) -> list[tuple[float, float]]:
    """How far each corner that moved did; the others stand as they were, to the letter."""
    apart = ((x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in zip(before, after, strict=True))
    return [(x, y) for x, y in apart if x or y]


def test_corners_are_dragged_by_mouse_and_finger_and_moved_by_keys(page):
    mat = page("/mat", has_touch=True)
    mat.set_input_files("#photo", FilePayload(name="mat.jpg", mimeType="image/jpeg", buffer=small_photo()))
    mat.get_by_role("button", name="Find the outlines").click()
    expect(mat.get_by_text("Press an outline to see it near")).to_be_visible()  # said by the script: it is ready
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
    assert across > 0.08 and up > 0.08

    x, y = middle(mat, ".corner")
    finger = mat.context.new_cdp_session(mat)
    for kind, places in (("touchStart", [(x + 9, y)]), ("touchMove", [(x - 21, y)]), ("touchEnd", [])):
        touches = [{"x": across, "y": up} for across, up in places]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touches})
    touched = corners(mat)
    ((across, _),) = moved(dragged, touched)
    assert across < -0.08

    mat.locator(".corner[tabindex='0']").focus()
    mat.keyboard.press("Shift+ArrowUp")
    assert moved(touched, corners(mat)) == [(0.0, 0.125)]
    before = corners(mat)
    mat.keyboard.press("PageDown")
    mat.keyboard.press("ArrowRight")
    ((across, up),) = moved(before, corners(mat))
    assert abs(across) < 1 / 16 and abs(up) < 1 / 16  # from its exact place, which was told to the sixteenth
    mat.get_by_role("button", name="Corners as found").click()
    assert corners(mat) == found


def test_a_cutting_is_kept_and_undone(page):
    table = page("/bags/harbour-market-tote/layouts/fern-lawn")
    table.get_by_role("button", name="I cut this").click()
    said = table.locator("#cut [role=status]").first
    expect(said).to_contain_text("To the stash")
    table.get_by_role("button", name="Undo").first.click()
    expect(table.get_by_role("button", name="Keep it after all").first).to_be_visible()
