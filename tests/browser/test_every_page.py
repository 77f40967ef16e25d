"""Every page in a real browser: no accessibility fault in light or dark, nothing too wide at any width, no error.

The demo is opened once and each page loaded once; width and colours change while it is open.
"""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import TimeoutError, expect
from starlette.routing import Match, Route
from starlette.testclient import TestClient

from bagwright.web.app import build_app
from bagwright.web.door import Door
from bagwright.workflows.desk import Desk
from tests.browser.test_own_pieces import looked_at, made, sew

TOTE, WALLET = "/bags/harbour-market-tote", "/bags/lantern-card-wallet"
MAT_PHOTO = Path(__file__).parents[2] / "docs" / "pictures" / "mat-photo.jpg"
WIDTHS_PX = (390, 820, 1280, 1440)
PAGES = (
    "/",
    "/bonds",
    "/mat",
    "/materials",
    "/materials/cloud-fleece",
    "/materials/pond-canvas/measure",
    "/nothing",
    "/runs",
    "/runs/autumn-market",
    "/runs/autumn-market/scraps",
    "/runs/autumn-market/supplies",
    "/stash",
    "/stash/fleece-long/corners",
    "/stash/today",
    "/workroom",
    "/workroom/costs",
    "/workroom/times",
    f"{TOTE}/held",
    f"{TOTE}/layouts/pond-canvas",
    f"{TOTE}/layouts/pond-canvas/moving",
    f"{TOTE}/measuring",
    f"{TOTE}/scraps",
    f"{TOTE}/sewing",
    f"{TOTE}/stash",
    f"{TOTE}/steps",
    f"{TOTE}/time",
    f"{WALLET}/asking",
    f"{WALLET}/money",
    f"{WALLET}/quotes",
    f"{WALLET}/savings",
    f"{WALLET}/swaps/outer",
    WALLET,
    TOTE,
)
MADE_FIRST = {
    "/sign-in": "test_the_door_to_a_network",
    "/drawings/{token}": "test_a_drawing_taken_in",
    "/mat/{token}": "test_a_photo_of_the_mat",
    "/bags/{bag_id}/beside/{copy_id}": "test_two_bags_side_by_side",
}
"""Addresses of pages that are there only after something was done, and which test below looks at them."""
NO_PAGES = {
    "/bags": "leads on",
    "/bags/{bag_id}/card": "part of /",
    "/bags/{bag_id}/folded": "part of a bag",
    "/bags/{bag_id}/savings/found": "part of savings",
    "/bags/{bag_id}/savings/shared": "part of savings",
    "/mat/{token}/correct": "leads on",
    "/searches/{search_id}/news": "part of a bag",
    **dict.fromkeys(
        (
            "/bags/{bag_id}/bag.json",
            "/bags/{bag_id}/layouts/{material_id}/{paper}",
            "/bags/{bag_id}/savings/savings.{kind}",
            "/bags/{bag_id}/scraps/covers.{kind}",
            "/bags/{bag_id}/scraps/{material_id}/true-scale-{sheet}.pdf",
            "/bags/{bag_id}/{paper}",
            "/bonds/csv",
            "/drawing.css",
            "/everything.sqlite3",
            "/everything/{name}",
            "/favicon.ico",
            "/mat/cards/{name}",
            "/mat/whole/{size}/{colour}",
            "/mat/{token}/outlines.svg",
            "/mat/{token}/picture.jpg",
            "/materials/csv",
            "/materials/{material_id}/swatch.jpg",
            "/ruler-test/{card}",
            "/runs/{run_id}/scraps/covers.{kind}",
            "/runs/{run_id}/scraps/{material_id}/true-scale-{sheet}.pdf",
            "/runs/{run_id}/{paper}",
            "/stash/stash.csv",
            "/stash/stash.json",
            "/stash/{piece_id}/picture",
        ),
        "a file",
    ),
}


ALL_OPEN = """() => {
  for (const one of document.querySelectorAll("main details")) one.open = true;
  for (const one of document.querySelectorAll("main [hx-trigger=revealed]")) htmx.trigger(one, "revealed");
}"""
FITS = "document.documentElement.scrollWidth <= innerWidth"
SOON_MS = 5_000
COLOURS = ("color-contrast", "link-in-text-block")


def settled(shown) -> None:
    """What comes by itself is there, and every part that can be opened is open."""
    shown.wait_for_load_state("load")
    shown.evaluate(ALL_OPEN)
    shown.wait_for_function("!document.querySelector('.htmx-request')")


def faults_of(shown, accessibility_faults) -> list[str]:
    """Every width that is too narrow, faults in light at a phone's width, and of colour in dark at a desk's."""
    faults: list[str] = []
    for width_px in WIDTHS_PX:
        shown.set_viewport_size({"width": width_px, "height": 900})
        try:
            shown.wait_for_function(FITS, timeout=SOON_MS)
        except TimeoutError:
            faults.append(f"too wide at {width_px} px")
    shown.emulate_media(color_scheme="dark")
    faults += [f"dark: {fault}" for fault in accessibility_faults(shown, COLOURS)]
    shown.emulate_media(color_scheme="light")
    shown.set_viewport_size({"width": WIDTHS_PX[0], "height": 900})
    shown.evaluate("scrollTo(0, 0)")  # what happens to lie under the row that stays in reach would count as too small
    return faults + [f"light: {fault}" for fault in accessibility_faults(shown)]


def test_every_page_is_listed(tmp_path):
    """Each route that answers to GET is among the pages above, or said to be no page."""
    routes = [
        one for one in build_app(Desk(tmp_path)).routes if isinstance(one, Route) and "GET" in (one.methods or ())
    ]
    pages = set()
    for path in PAGES:
        scope = {"type": "http", "path": path, "method": "GET", "root_path": ""}
        pages |= {next((one.path for one in routes if one.matches(scope)[0] is Match.FULL), "none")}
    assert pages - {"none"} == {one.path for one in routes} - set(NO_PAGES) - set(MADE_FIRST)
    assert all(name in globals() for name in MADE_FIRST.values())


def test_every_page_can_be_used_by_all_and_fits(page, accessibility_faults):
    shown = page("/", bypass_csp=True)
    root = shown.url.rstrip("/")
    found = {}
    for path in PAGES:
        shown.goto(root + path)
        settled(shown)
        if faults := faults_of(shown, accessibility_faults):
            found[path] = faults
    page.console_errors[:] = [line for line in page.console_errors if "/nothing" not in line]
    assert found == {}
    expect(shown.locator("#folded .turning")).to_be_visible()


def test_the_door_to_a_network(page, accessibility_faults, tmp_path):
    client = TestClient(build_app(Desk(tmp_path), door=Door("bo-da-fu-ki")), base_url="http://127.0.0.1")
    door = client.get("/sign-in")
    assert door.status_code == 200
    shown = page("/nothing", bypass_csp=True)
    page.console_errors.clear()
    shown.route("**/sign-in", lambda route: route.fulfill(body=door.text, content_type="text/html; charset=utf-8"))
    shown.goto(shown.url.replace("/nothing", "/sign-in"))
    expect(shown.get_by_label("Password")).to_be_visible()
    assert faults_of(shown, accessibility_faults) == []


def test_a_photo_of_the_mat(page, accessibility_faults):
    shown = page("/mat", bypass_csp=True)
    shown.locator("input[type=file]").set_input_files(MAT_PHOTO)
    shown.get_by_role("button", name="Find the outlines").click()
    shown.wait_for_url("**/mat/*")
    settled(shown)
    assert faults_of(shown, accessibility_faults) == []


def test_a_drawing_taken_in(page, accessibility_faults):
    look = looked_at(page, bypass_csp=True)
    assert faults_of(look, accessibility_faults) == []
    bag = made(look)
    sew(bag, "front, edge 2", "gusset, edge 2")
    settled(bag)
    assert faults_of(bag, accessibility_faults) == []


def test_two_bags_side_by_side(page, accessibility_faults):
    shown = page(WALLET, bypass_csp=True)
    name = shown.url
    shown.get_by_role("button", name="Copy this bag").click()
    shown.wait_for_url(lambda url: url != name)
    copied = shown.url.rpartition("/")[2]
    shown.goto(f"{name}/beside/{copied}")
    settled(shown)
    assert faults_of(shown, accessibility_faults) == []


def test_zoomed_to_twice_its_size_everything_is_reached(page):
    """200 % on a desk of 1280 px: as many CSS pixels as half that width."""
    shown = page("/", width_px=640, height_px=450, device_scale_factor=2)
    root = shown.url.rstrip("/")
    for path in (TOTE, "/stash"):
        shown.goto(root + path)
        assert shown.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    shown.goto(root + TOTE)
    toggle = shown.locator(".tag-toggle")
    toggle.click()
    expect(shown.locator(".tag .main-price")).to_be_in_viewport()
    toggle.click()
    field = shown.locator("#width_mm")
    field.focus()
    box, bar = field.bounding_box(), toggle.bounding_box()
    assert box and bar and box["y"] + box["height"] <= bar["y"], "the tag's bar hides the field with the focus"
