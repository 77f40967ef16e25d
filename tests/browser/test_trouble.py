"""When something is pressed too early, or the program is gone: nothing is lost in silence."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.conftest import running_demo

TOTE = "/bags/harbour-market-tote"
TYPED = "14 in"


def own_tote(page):
    """A tote of this test's own in the demo that all share: each is saved once when it is opened."""
    bag = page(TOTE)
    tote = bag.url
    bag.get_by_role("button", name="Copy this bag").click()
    bag.wait_for_url(lambda url: url != tote)
    bag.wait_for_load_state()
    return bag


def held(bag, pattern):
    """Requests for `pattern`, kept waiting until the test lets them go."""
    waiting = []
    bag.route(pattern, lambda route: waiting.append(route), times=1)
    return waiting


def let_go(bag, waiting):
    while not waiting:
        bag.wait_for_function("true")
    waiting[0].continue_()


def type_width(bag, text=TYPED):
    """Type a width and leave the field, as a press on a button elsewhere does."""
    bag.locator("#width_mm").fill(text)
    bag.locator("#width_mm").evaluate("field => field.blur()")


def test_a_button_pressed_while_an_answer_is_on_its_way_is_pressed_after_it(page):
    bag = own_tote(page)
    waiting = held(bag, "**/size")
    type_width(bag)
    bag.get_by_role("button", name="Add a layer inside Lining").click()
    let_go(bag, waiting)
    expect(bag.locator("#lining-1-m")).to_be_visible()
    expect(bag.locator("#width_mm")).to_have_value(TYPED)
    bag.reload()
    expect(bag.locator("#lining-1-m")).to_be_visible()
    expect(bag.locator("#width_mm")).to_have_value(TYPED)
    expect(bag.locator('#size input[name="version"]')).to_have_value("3")


def test_working_it_out_right_after_typing_counts_as_one_change(page):
    bag = own_tote(page)
    waiting = held(bag, "**/size")
    type_width(bag)
    bag.get_by_role("button", name="Work it out").click()
    let_go(bag, waiting)
    expect(bag.locator(".tag dd.moved").first).to_be_visible()
    expect(bag.locator('#size input[name="version"]')).to_have_value("2")
    bag.get_by_role("button", name="Undo the last change").click()
    expect(bag.locator("#width_mm")).to_have_value("13 in")


def test_undo_pressed_at_once_undoes_what_was_just_typed(page):
    bag = own_tote(page)
    bag.locator("#run_count").fill("2")
    bag.locator("#run_count").press("Tab")
    undo = bag.get_by_role("button", name="Undo the last change")
    expect(undo).to_be_visible()
    waiting = held(bag, "**/size")
    type_width(bag)
    undo.click()
    let_go(bag, waiting)
    expect(bag.locator('#size input[name="version"]')).to_have_value("4")
    expect(bag.locator("#width_mm")).to_have_value("13 in")
    expect(bag.locator("#run_count")).to_have_value("2")
    expect(bag.get_by_role("alert")).to_have_count(0)


def test_a_change_that_cannot_be_sent_is_told_and_stays_typed(page, browser, tmp_path):
    with running_demo(tmp_path / "home") as address:
        bag = page(address.rstrip("/") + TOTE)
    type_width(bag)  # the program has ended by now
    expect(bag.get_by_role("alert")).to_contain_text("was not saved")
    expect(bag.locator("#width_mm")).to_have_value(TYPED)
    assert page.console_errors
    page.console_errors.clear()


def test_a_change_that_is_refused_is_told(page):
    bag = own_tote(page)
    bag.route("**/size", lambda route: route.fulfill(status=500, body="broken"), times=1)
    type_width(bag)
    expect(bag.get_by_role("alert")).to_contain_text("refused it (500)")
    expect(bag.locator("#width_mm")).to_have_value(TYPED)
    page.console_errors.clear()
    type_width(bag, "15 in")
    expect(bag.locator("#width_mm")).to_have_value("15 in")
    expect(bag.locator("#trouble")).to_be_hidden()
