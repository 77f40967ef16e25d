"""The timer beside the machine: it counts on while she looks, stands still when paused, and its time is kept."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.test_trouble import own_tote


def test_the_timer_starts_counts_pauses_goes_on_and_is_done(page):
    bag = own_tote(page)
    bag.clock.install()
    bag.goto(bag.url.partition("?")[0] + "/time")
    bag.get_by_role("button", name=re.compile("^Start.*The whole bag")).click()
    timer = bag.get_by_role("region", name="Timer: The whole bag")
    clock = timer.locator(".timer-clock")
    expect(clock).to_have_text(re.compile(r"^\s*00:0\d running\s*$"))  # the script has taken over
    bag.clock.run_for(61_000)
    expect(clock).to_contain_text(re.compile(r"1:0[1-9]"))
    timer.get_by_role("button", name="Pause").click()
    expect(clock).to_contain_text(re.compile(r"^00:[0-5]\d paused"))
    still = clock.text_content()
    bag.clock.run_for(61_000)
    assert clock.text_content() == still
    timer.get_by_role("button", name="Go on").click()
    expect(clock).to_contain_text("running")
    timer.get_by_role("button", name="Done").click()
    expect(bag.get_by_role("status")).to_contain_text("The whole bag")
    expect(timer).to_have_count(0)
