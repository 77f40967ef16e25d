"""The tables of a bag's page."""

from __future__ import annotations

import re

SPACE = "\N{NO-BREAK SPACE}"


def test_size_of_a_piece_stays_on_one_line(client):
    html = client.get("/bags/harbour-market-tote").text
    sizes = re.findall(rf"<td[^>]*>(?:<span[^>]*>|[\d/{SPACE}]|</span>)+x[^<]*", html)
    assert sizes and not [size for size in sizes if re.search(r"\d x|x \d", size)]
