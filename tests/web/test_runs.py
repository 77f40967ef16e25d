"""Runs on the page: a bag put in, what to buy, delivery, the supply list; and what is typed wrong."""

from __future__ import annotations

import re

import pytest

from tests.web.html import invalid_fields

WALLET = "lantern-card-wallet"


@pytest.fixture
def run(client) -> str:
    """The address of a run with one wallet in it."""
    address = client.post("/runs", data={"name": "Autumn <market>"}).headers["location"]
    assert client.post(address, data={"version": "1", "add": WALLET}).headers["location"] == address
    return address


def version_of(html: str) -> str:
    found = re.search(r'name="version" value="(\d+)"', html)
    assert found
    return found[1]


def test_a_run_is_bought_listed_and_put_away(client, run):
    assert "Autumn &lt;market&gt;" in client.get("/runs").text
    html = client.get(run).text
    assert "Autumn &lt;market&gt;" in html
    assert "Pay $" in html
    assert "No cheaper way to buy it exists" in html
    assert f'hx-get="{run}?more"' in html
    assert "One more" in client.get(f"{run}?more").text
    assert client.post(f"{run}/search").headers["location"] == f"{run}#improve"
    found = re.search(r'sse-connect="(/searches/\w+)/news"', client.get(run).text)
    if found:  # a short search may be over by now
        assert client.post(f"{found[1]}/stop").headers["location"] == f"{run}#improve"
        assert f'hx-get="{run}"' in client.get(f"{found[1]}/news").text.split("event: done")[0]
    assert "The last look" in client.get(run).text
    hers, group = (client.get(f"{run}/supplies{who}").text for who in ("", "?for=group"))
    assert "At Counter" in hers
    assert "Counter" not in group
    assert client.get(f"{run}/supplies-a4.pdf?for=group").content.startswith(b"%PDF")
    assert client.get(f"{run}/supplies.csv").headers["content-type"].startswith("text/csv")
    assert client.get(f"{run}/supplies?for=nobody").status_code == 404
    told = client.get(f"{run}/tables.json").json()["tables"]
    assert sum(float(row["paid"]["amount"]) for row in told["buying"]) + float(
        told["money"][0]["delivery"]["amount"]
    ) == pytest.approx(float(told["money"][0]["paid"]["amount"]))
    assert client.get(f"{run}/tables-csv.zip").content.startswith(b"PK")
    away = client.post(f"{run}/away", data={"version": version_of(html)})
    listed = client.get(away.headers["location"]).text
    assert "was put away" in listed
    client.post(f"{run}/undo", data={"version": version_of(listed)})
    assert run in client.get("/runs").text
    back = client.get(run).text
    assert f'action="{run}/redo"' in back
    client.post(f"{run}/redo", data={"version": version_of(back)})
    assert "was put away" not in client.get(run).text and f'href="{run}"' not in client.get("/runs").text


def test_what_is_typed_wrong_is_told_beside_its_field(client, run):
    html = client.get(run).text
    wrong = client.post(run, data={"version": version_of(html), f"count_{WALLET}": "lots"})
    assert wrong.status_code == 422
    assert invalid_fields(wrong.text) == {f"count_{WALLET}"}
    stale = client.post(run, data={"version": "1", f"count_{WALLET}": "2"})
    assert (stale.status_code, "changed in another tab" in stale.text) == (409, True)
    seller = re.search(r'name="seller" value="([^"]+)"', html)
    assert seller
    refused = client.post(f"{run}/terms", data={"version": "0", "seller": seller[1], "delivery": "much"})
    assert (refused.status_code, "is not an amount of money" in refused.text) == (422, True)
    client.post(f"{run}/terms", data={"version": "0", "seller": seller[1], "delivery": "4.90"})
    assert "delivery $4.90" in client.get(run).text
    client.post(f"{run}/terms", data={"version": "1", "seller": seller[1], "delivery": "9.90"})
    assert "delivery $9.90" in client.get(run).text
    late = client.post(f"{run}/terms/undo", data={"version": "1", "seller": seller[1]})
    assert (late.status_code, "delivery $9.90" in late.text) == (409, True)
    client.post(f"{run}/terms/undo", data={"version": "2", "seller": seller[1]})
    assert "delivery $4.90" in client.get(run).text
