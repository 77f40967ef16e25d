"""The maker's whole way through the page in a real browser: from nothing to papers, with every fault and way back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

TOTE, WALLET = "/bags/harbour-market-tote", "/bags/lantern-card-wallet"
WIDTHS_PX = (390, 820, 1280, 1440)
SEARCH_MS = 60_000


def started(page, name="Tide wallet", *, form="card_wallet", **options):
    """A bag of this test's own, so that the shared demo's bags stay as they are."""
    bags = page("/", **options)
    start = bags.locator("form", has=bags.locator(f'input[value="{form}"]'))
    start.get_by_label("Name").fill(name)
    start.get_by_role("button", name="Start this bag").click()
    expect(bags.get_by_role("heading", level=1)).to_have_text(name)
    bags.wait_for_load_state()  # its script is there then
    return bags


def change(bag, field, text):
    bag.locator(f"#{field}").fill(text)
    bag.locator(f"#{field}").press("Tab")


def version(bag):
    return bag.locator('input[name="version"]').first.input_value()


def only_refusals(page):
    """The browser logs an answer of 409 or 422 as an error; those were asked for, anything else was not."""
    assert page.console_errors
    assert all("409" in line or "422" in line for line in page.console_errors)
    page.console_errors.clear()


def test_a_bag_from_nothing_to_its_papers(page):
    bag = started(page)
    change(bag, "closed_width_mm", "4 1/2")
    moved = bag.locator(".tag dd.moved").first
    expect(moved.locator(".before")).to_contain_text("was ")
    expect(moved.locator(".tag-value").first).not_to_be_empty()
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    for name, start in {
        "Templates, A4": b"%PDF-",
        "Templates, Letter": b"%PDF-",
        "Work sheet, A4": b"%PDF-",
        "Cost sheet, Letter": b"%PDF-",
        "Pieces, SVG": b"<",
        "Pieces, DXF": b"",
        "The whole bag, File": b"{",
    }.items():
        with bag.expect_download() as told:
            bag.get_by_role("link", name=name, exact=True).click()
        data = told.value.path().read_bytes()
        assert len(data) > 1000
        assert data.startswith(start)


def test_several_faults_are_marked_beside_their_fields_at_once(page):
    bag = started(page)
    before = version(bag)
    with bag.expect_response(lambda answer: answer.url.endswith("/size")):
        bag.evaluate(
            """texts => { for (const [id, text] of Object.entries(texts)) document.getElementById(id).value = text;
            document.getElementById("height_mm").dispatchEvent(new Event("change", {bubbles: true})); }""",
            {"closed_width_mm": "abc", "height_mm": "-3", "seam_allowance_mm": ""},
        )
    for field, text in {"closed_width_mm": "abc", "height_mm": "-3", "seam_allowance_mm": ""}.items():
        expect(bag.locator(f"#{field}")).to_have_attribute("aria-invalid", "true")
        expect(bag.locator(f"#{field}")).to_have_value(text)
        expect(bag.locator(f"#{field}-fault")).to_contain_text("Allowed")
        described = bag.locator(f"#{field}").get_attribute("aria-describedby")
        assert f"{field}-fault" in described
    expect(bag.locator("[aria-invalid]")).to_have_count(3)
    assert version(bag) == before
    for field, text in {"closed_width_mm": "4", "height_mm": "3 1/2"}.items():
        change(bag, field, text)
        expect(bag.locator(f"#{field}")).not_to_have_attribute("aria-invalid", "true")
    change(bag, "seam_allowance_mm", "1/4")
    expect(bag.locator("[aria-invalid]")).to_have_count(0)
    expect(bag.locator("#closed_width_mm")).to_have_value("4 in")


def test_layers_are_added_changed_and_removed_and_the_run_undone(page):
    bag = started(page)
    rows = bag.locator("#role-outer .layer-row")
    expect(rows).to_have_count(1)
    bag.get_by_role("button", name="Add a layer inside Outer").click()
    expect(rows).to_have_count(2)
    bag.locator("#outer-1-m").select_option("cloud-fleece")
    bag.locator("#outer-1-h").select_option("fused")  # while the answer of the first may still be on its way
    expect(bag.locator('#outer-1-m option[selected][value="cloud-fleece"]')).to_have_count(1)
    expect(bag.locator('#outer-1-h option[selected][value="fused"]')).to_have_count(1)
    bag.get_by_role("button", name="Remove layer 2 of Outer").click()
    expect(rows).to_have_count(1)
    change(bag, "run_count", "5")
    expect(bag.locator("#cloth")).to_contain_text("these 5 bags")
    bag.get_by_role("button", name="Undo the last change").click()
    expect(bag.locator("#run_count")).to_have_value("1")


def test_a_look_for_shorter_layouts_runs_to_its_end(page):
    bag = started(page)
    bag.get_by_role("button", name="Look for shorter layouts").click()
    expect(bag.locator("#improve")).to_contain_text("The last look ", timeout=SEARCH_MS)
    expect(bag.get_by_role("progressbar")).to_have_count(0)
    expect(bag.get_by_role("button", name="Look for shorter layouts")).to_be_visible()


def test_the_workroom_goes_to_metric_and_back(page, own_address):
    room = page("/workroom")
    for units, width in (("metric", "9.8 cm"), ("inch", "3 7/8 in")):
        room.goto(own_address.rstrip("/") + "/workroom")
        room.get_by_label("Units").select_option(units)
        room.get_by_role("button", name="Save").click()
        expect(room.get_by_role("status")).to_have_text("Saved.")
        room.goto(own_address.rstrip("/") + WALLET)
        expect(room.locator("#closed_width_mm")).to_have_value(width)


def press_until(bag, target, *, most=200):
    """Tab on until the element has the focus, as someone without a mouse must."""
    for _ in range(most):
        bag.keyboard.press("Tab")
        if target.evaluate("element => element === document.activeElement"):
            return
    raise AssertionError("the keyboard does not reach it")


def test_the_main_flow_by_keyboard_alone(page):
    bag = page("/")
    press_until(bag, bag.locator("#name-card_wallet"))
    bag.keyboard.type("Key wallet")
    bag.keyboard.press("Enter")
    expect(bag.get_by_role("heading", level=1)).to_have_text("Key wallet")
    bag.wait_for_load_state()
    press_until(bag, bag.locator("#closed_width_mm"))
    bag.keyboard.press("ControlOrMeta+a")
    bag.keyboard.type("4 1/2")
    bag.keyboard.press("Enter")
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(bag.locator(".tag dd.moved .before").first).to_be_visible()
    expect(bag.locator("#closed_width_mm")).to_be_focused()
    undo = bag.get_by_role("button", name="Undo the last change")
    press_until(bag, undo)
    bag.keyboard.press("Enter")
    expect(bag.locator("#closed_width_mm")).to_have_value("3 7/8 in")


def test_typing_on_while_an_answer_arrives_loses_nothing(page):
    bag = started(page)
    waiting = []
    bag.route("**/size", lambda route: waiting.append(route), times=1)
    change(bag, "closed_width_mm", "4 1/2")
    expect(bag.locator("#height_mm")).to_be_focused()
    bag.keyboard.press("ControlOrMeta+a")
    bag.keyboard.type("3 3")
    while not waiting:
        bag.evaluate("1")
    waiting[0].continue_()
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(bag.locator("#height_mm")).to_have_value("3 3")
    expect(bag.locator("#height_mm")).to_be_focused()
    bag.keyboard.press("End")
    bag.keyboard.type("/4")
    bag.keyboard.press("Tab")
    expect(bag.locator("#height_mm")).to_have_value("3 3/4 in")
    bag.reload()
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(bag.locator("#height_mm")).to_have_value("3 3/4 in")


def test_changes_in_three_forms_at_once_are_all_taken(page):
    bag = started(page)
    waiting = []
    bag.route("**/size", lambda route: waiting.append(route), times=1)
    change(bag, "closed_width_mm", "4 1/2")
    change(bag, "run_count", "5")
    bag.locator("#outer-0-e").select_option("net line only")
    while not waiting:
        bag.evaluate("1")
    waiting[0].continue_()
    expect(bag.locator('#outer-0-e option[selected][value="net line only"]')).to_have_count(1)
    expect(bag.locator("#cloth")).to_contain_text("these 5 bags")
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    bag.reload()
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(bag.locator("#run_count")).to_have_value("5")
    expect(bag.locator("#outer-0-e")).to_have_value("net line only")


def test_without_script_the_buttons_do_the_same(page):
    bag = started(page, "Plain wallet", java_script_enabled=False)
    bag.locator("#closed_width_mm").fill("4 1/2")
    bag.get_by_role("button", name="Work it out").click()
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(bag.locator(".tag dd.moved .before").first).to_be_visible()
    bag.locator("#height_mm").fill("abc")
    bag.get_by_role("button", name="Work it out").click()
    expect(bag.locator("#height_mm-fault")).to_be_visible()
    only_refusals(page)
    bag.goto(bag.url.removesuffix("/size"))
    bag.get_by_role("button", name="Add a layer inside Outer").click()
    expect(bag.locator("#role-outer .layer-row")).to_have_count(2)
    bag.get_by_role("button", name="Undo the last change").click()
    expect(bag.locator("#role-outer .layer-row")).to_have_count(1)


def test_a_second_tab_is_told_and_overwrites_nothing(page):
    first = started(page)
    second = first.context.new_page()
    second.goto(first.url)
    change(first, "closed_width_mm", "4 1/2")
    expect(first.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    change(second, "height_mm", "4")
    expect(second.get_by_role("alert")).to_contain_text("Nothing was overwritten")
    first.reload()
    expect(first.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(first.locator("#height_mm")).to_have_value("3 1/2 in")


@pytest.mark.parametrize("width_px", WIDTHS_PX)
def test_no_page_scrolls_sideways_and_the_tag_is_reachable(page, width_px):
    shown = page("/", width_px=width_px)
    root = shown.url.rstrip("/")
    for path in ("/", "/runs", "/materials", "/materials/pond-canvas", "/workroom", "/nothing", WALLET, TOTE):
        shown.goto(root + path)
        over_px = shown.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over_px <= 0, f"{path} is {over_px} px too wide"
    toggle = shown.locator(".tag-toggle")
    if toggle.is_visible():
        expect(toggle).to_be_in_viewport()
        toggle.click()
        expect(toggle).to_have_attribute("aria-expanded", "true")
    expect(shown.locator(".tag .main-price")).to_be_in_viewport()
    assert all("404" in line for line in page.console_errors)
    page.console_errors.clear()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_has_accessibility_faults(page, accessibility_faults, scheme):
    shown = page("/", color_scheme=scheme, bypass_csp=True)
    root = shown.url.rstrip("/")
    for path in ("/", "/runs", "/materials", "/workroom", WALLET, TOTE):
        shown.goto(root + path)
        assert accessibility_faults(shown) == [], path


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_changed_faulty_and_narrow_pages_have_no_accessibility_faults(page, accessibility_faults, scheme):
    bag = started(page, color_scheme=scheme, width_px=390, bypass_csp=True)
    change(bag, "closed_width_mm", "4 1/2")
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    bag.locator(".tag-toggle").click()
    assert accessibility_faults(bag) == []
    bag.locator(".tag-toggle").click()
    change(bag, "height_mm", "abc")
    expect(bag.locator("#height_mm-fault")).to_be_visible()
    assert accessibility_faults(bag) == []


def test_a_bag_is_put_away_and_brought_back(page):
    bag = started(page, "Away wallet")
    path = re.sub(r"^https?://[^/]+", "", bag.url)
    bag.get_by_text("Rename or put away").click()
    bag.get_by_role("button", name="Put this bag away").click()
    expect(bag.get_by_role("status")).to_have_text("Away wallet was put away.")
    expect(bag.locator(f'a[href="{path}"]')).to_have_count(0)
    bag.get_by_role("button", name="Bring it back").click()
    expect(bag.get_by_role("heading", level=1)).to_have_text("Away wallet")
