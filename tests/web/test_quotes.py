"""Quotes on the page: kept as they are, compared, put away and brought back."""

from __future__ import annotations

import re

from tests.web.html import invalid_fields
from tests.workflows.demo_values import TOTE

QUOTES = f"/bags/{TOTE}/quotes"


def version_in(html: str, action: str) -> str:
    found = re.search(rf'action="{re.escape(action)}"[^>]*>\s*<input type="hidden" name="version" value="(\d+)"', html)
    assert found, action
    return found[1]


def keep(client, note: str = "") -> None:
    version = version_in(client.get(QUOTES).text, QUOTES)
    assert client.post(QUOTES, data={"version": version, "note": note}).status_code == 303


def test_a_price_that_was_kept_stays_when_the_bag_changes_and_is_compared(client):
    assert f'href="{QUOTES}"' in client.get(f"/bags/{TOTE}").text
    keep(client, "For the autumn market")
    before = re.search(r"asks (\$[0-9.]+)", client.get(QUOTES).text)
    assert before
    client.post(f"/bags/{TOTE}/size", data={"version": "1", "width_mm": "20 in"})
    html = client.get(QUOTES).text
    prices = re.findall(r"asks (\$[0-9.]+)", html)
    assert prices[1] == before[1] != prices[0]  # as it is now first, then the one that was kept
    (quote_id,) = set(re.findall(rf'action="{QUOTES}/([^/"]+)/away"', html))
    told = client.get(QUOTES, params={"before": quote_id, "after": ""}).text
    assert "One bag asks $" in told and " more" in told
    assert "the same" in client.get(QUOTES, params={"before": quote_id, "after": quote_id}).text


def test_a_quote_is_put_away_and_brought_back(client):
    keep(client)
    html = client.get(QUOTES).text
    (action,) = re.findall(rf'action="({QUOTES}/[^/"]+/away)"', html)
    gone = client.get(client.post(action, data={"version": version_in(html, action)}).headers["location"]).text
    assert "was put away" in gone and "Quote 1," not in gone
    back = action.replace("/away", "/back")
    client.post(back, data={"version": version_in(gone, back)})
    assert "Quote 1," in client.get(QUOTES).text
    assert client.post(action, data={"version": "1"}).status_code == 409


def test_faults_and_stale_tabs_keep_what_was_typed(client):
    long = client.post(QUOTES, data={"version": "1", "note": "x" * 400})
    assert long.status_code == 422 and invalid_fields(long.text) == {"note"}
    stale = client.post(QUOTES, data={"version": "77", "note": "for Ada's stall"})
    assert stale.status_code == 409 and "for Ada&#39;s stall" in stale.text
    assert client.get(QUOTES, params={"before": "nothing", "after": ""}).status_code == 404
    assert "Quote 1," not in client.get(QUOTES).text
