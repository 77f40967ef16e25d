"""A whole bag as a file on the page."""

from __future__ import annotations

import json

from tests.workflows.demo_values import TOTE


def send(client, data: bytes):
    return client.post("/bags/file", files={"bag": ("tote-bag.json", data, "application/json")})


def test_a_bag_is_kept_and_taken_in_again(client):
    assert f'href="/bags/{TOTE}/bag.json"' in client.get(f"/bags/{TOTE}").text
    kept = client.get(f"/bags/{TOTE}/bag.json")
    assert kept.headers["content-type"] == "application/json"
    taken = send(client, kept.content)
    assert taken.status_code == 200
    assert "On your shelf already" in taken.text and "New on your shelf" not in taken.text


def test_a_file_that_is_none_is_refused_with_every_fault_and_nothing_is_kept(client):
    before = client.get("/").text
    for data in (b"", b"\x89PNG", b"[]", json.dumps({"bagwright_bag": 1, "name": "<b>x</b>", "form": "hat"}).encode()):
        refused = send(client, data)
        assert refused.status_code == 422
        assert "This file cannot be taken in" in refused.text
        assert "<b>x</b>" not in refused.text
    assert client.get("/").text == before


def test_what_a_file_says_stays_text(client):
    words = {"bagwright_bag": 1, "name": "<script>alert(1)</script>", "form": "zip_pouch", "stacks": {}}
    taken = send(client, json.dumps(words).encode())
    assert taken.status_code == 200
    assert "<script>alert(1)" not in taken.text
