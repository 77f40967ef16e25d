"""The picture of how the panels stand, as it comes into view."""

from __future__ import annotations

import re

from playwright.sync_api import expect


def test_picture_comes_by_itself_when_she_scrolls_to_it(page):
    bag = page("/bags/harbour-market-tote")
    held = bag.locator("#held")
    held.scroll_into_view_if_needed()
    expect(held.get_by_role("heading", name="Front and back, held by the sides and the base")).to_be_visible()
    expect(held).to_contain_text(re.compile("The front or back bows by .* in or more"))
