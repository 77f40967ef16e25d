"""The maker's whole way through the page in a real browser: from nothing to papers, with every fault and way back."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

WALLET = "/bags/lantern-card-wallet"
WIDTHS_PX = (390, 820, 1440)
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
    bag.get_by_text("The same as files for other programs").click()
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


class Mouse:
    """Does what a hand with a mouse does."""

    def __init__(self, shown) -> None:
        self.shown = shown

    def type_into(self, field, text):
        field.click(click_count=3)
        self.shown.keyboard.type(text)
        self.leave()

    def leave(self):
        self.shown.get_by_role("heading", level=1).click()

    def press(self, control):
        control.click()

    def choose(self, field, value):
        field.select_option(value)


class Keys(Mouse):
    """Does the same by keys alone: Tab to it, then letters, arrows and Enter."""

    def _go_to(self, control):
        """Tab on until it has the focus; back where that is shorter, as it is the same round."""
        back = control.evaluate(
            "it => !!(document.activeElement.compareDocumentPosition(it) & Node.DOCUMENT_POSITION_PRECEDING)"
        )
        for _ in range(200):
            if control.evaluate("it => it === document.activeElement"):
                return
            self.shown.keyboard.press("Shift+Tab" if back else "Tab")
        raise AssertionError("the keyboard does not reach it")

    def type_into(self, field, text):
        self._go_to(field)
        self.shown.keyboard.press("ControlOrMeta+a")
        self.shown.keyboard.type(text)
        self.leave()

    def leave(self):
        self.shown.keyboard.press("Tab")

    def press(self, control):
        self._go_to(control)
        self.shown.keyboard.press("Enter")

    def choose(self, field, value):
        self._go_to(field)
        for _ in range(20):
            if field.input_value() == value:
                return
            self.shown.keyboard.press("ArrowDown")
        raise AssertionError(f"the arrows do not come to {value}")


@pytest.mark.parametrize("width_px", WIDTHS_PX)
@pytest.mark.parametrize("hands", [Mouse, Keys])
def test_the_main_flow_by_mouse_and_by_keyboard_alone(page, hands, width_px):
    bag = page("/", width_px=width_px)
    hand, name = hands(bag), f"{hands.__name__} wallet {width_px}"
    hand.type_into(bag.locator("#name-card_wallet"), name)
    hand.press(bag.locator("form", has=bag.locator("#name-card_wallet")).get_by_role("button"))
    expect(bag.get_by_role("heading", level=1)).to_have_text(name)
    bag.wait_for_load_state()
    price = bag.locator(".tag .main-price .tag-value").first
    at_first = price.text_content()
    hand.type_into(bag.locator("#closed_width_mm"), "4 1/2")
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(bag.locator(".tag dd.moved .before").first).not_to_be_empty()
    hand.choose(bag.locator("#outer-0-e"), "net line only")
    expect(bag.locator('#outer-0-e option[selected][value="net line only"]')).to_have_count(1)
    hand.type_into(bag.locator("#run_count"), "5")
    expect(bag.locator("#cloth")).to_contain_text("these 5 bags")
    assert price.text_content() != at_first
    with bag.expect_download() as told:
        hand.press(bag.get_by_role("link", name="Work sheet, A4", exact=True))
    assert told.value.path().read_bytes().startswith(b"%PDF-")
    toggle = bag.locator(".tag-toggle")
    if toggle.is_visible():
        hand.press(toggle)
    expect(bag.locator(".tag .main-price")).to_be_in_viewport()
    hand.press(bag.get_by_role("button", name="Undo the last change"))
    expect(bag.locator("#run_count")).to_have_value("1")
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")


def test_focus_stays_where_she_types_when_the_answer_comes(page):
    bag = started(page, "Key wallet")
    bag.locator("#closed_width_mm").fill("4 1/2")
    bag.locator("#closed_width_mm").press("Enter")
    expect(bag.locator(".tag dd.moved .before").first).to_be_visible()
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    expect(bag.locator("#closed_width_mm")).to_be_focused()


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


def test_changed_faulty_and_narrow_pages_have_no_accessibility_faults(page, accessibility_faults):
    bag = started(page, width_px=390, bypass_csp=True)
    change(bag, "closed_width_mm", "4 1/2")
    expect(bag.locator("#closed_width_mm")).to_have_value("4 1/2 in")
    bag.locator(".tag-toggle").click()
    assert accessibility_faults(bag) == []
    bag.locator(".tag-toggle").click()
    change(bag, "seam_allowance_mm", "abc")
    expect(bag.locator("#seam_allowance_mm-fault")).to_be_visible()
    expect(bag.locator("#seam_allowance_mm")).to_be_in_viewport()  # the answer leaves a scrolled page where it is
    assert accessibility_faults(bag) == []
    bag.emulate_media(color_scheme="dark")
    assert accessibility_faults(bag, ("color-contrast", "link-in-text-block")) == []


def test_a_bag_is_put_away_and_brought_back(page):
    bag = started(page, "Away wallet")
    path = re.sub(r"^https?://[^/]+", "", bag.url)
    bag.get_by_text("Rename or put away").click()
    bag.get_by_role("button", name="Put this bag away").click()
    expect(bag.get_by_role("status")).to_have_text("Away wallet was put away.")
    expect(bag.locator(f'a[href="{path}"]')).to_have_count(0)
    bag.get_by_role("button", name="Bring it back").click()
    expect(bag.get_by_role("heading", level=1)).to_have_text("Away wallet")
