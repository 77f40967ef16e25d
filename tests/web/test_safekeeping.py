"""Keeping everything, and bringing everything back, on the workroom page."""

from __future__ import annotations

import re

from tests.workflows.demo_values import TOTE


def send(client, data: bytes):
    return client.post("/everything", files={"everything": ("all.sqlite3", data, "application/octet-stream")})


def test_everything_is_kept_brought_back_and_gone_back_from(client):
    kept = client.get("/everything.sqlite3")
    assert kept.headers["content-disposition"].endswith(".sqlite3")
    assert client.get("/everything/tables.json").json()["tables"]["bag"]
    assert client.get("/everything/tables-csv.zip").content[:2] == b"PK"
    assert client.get("/everything/no.json").status_code == 404
    client.post("/bags", data={"form": "zip_pouch", "name": "Made after"})
    assert "Made after" in client.get("/").text
    html = client.get(send(client, kept.content).headers["location"]).text
    assert "Everything is as that file had it" in html
    assert "Made after" not in client.get("/").text
    (action,) = re.findall(r'action="(/everything/[^"]+)"', html)
    client.post(action)
    assert "Made after" in client.get("/").text
    assert client.get(f"/bags/{TOTE}").status_code == 200


def test_a_file_that_is_none_is_refused_and_nothing_changes(client):
    before = client.get("/").text
    for data in (b"", b"no such thing", b"SQLite format 3\x00" + bytes(5000)):
        refused = send(client, data)
        assert refused.status_code == 422
        assert "This file" in refused.text and 'role="alert"' in refused.text
    assert client.get("/").text == before
    assert "Go back to this" not in client.get("/workroom").text


def test_a_state_that_is_none_is_not_found(client):
    for name in ("2026-01-01-000000-000000.sqlite3", "..%2Fbagwright.sqlite3", "x"):
        assert client.post(f"/everything/{name}").status_code == 404
