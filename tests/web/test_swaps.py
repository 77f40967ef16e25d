"""What else a role could be made of: told against what it is now, and taken with one press."""

from __future__ import annotations

import re

from tests.web.html import read
from tests.workflows.demo_values import TOTE

SWAPS = f"/bags/{TOTE}/swaps/outer"


def test_bag_leads_to_the_swaps_of_what_makes_its_panels(client):
    html = client.get(f"/bags/{TOTE}").text
    assert f'href="{SWAPS}"' in html
    assert "/swaps/strap" not in html


def test_swap_is_taken_with_one_press(client):
    html = client.get(SWAPS).text
    form = re.search(r"<form method=\"post\".*?</form>", html, re.DOTALL)
    assert form
    sent = dict(re.findall(r'name="([a-z_0-9]+)" value="([^"]*)"', form[0]))
    assert client.post(f"/bags/{TOTE}/layers/outer", data=sent).status_code == 303
    assert "This is what it is made of now." in client.get(SWAPS).text


def test_what_is_asked_for_is_kept_in_the_choice(client):
    page = read(client.get(f"{SWAPS}?keep=surely+stands").text)
    chosen = [a["value"] for tag, a in page.tags if tag == "option" and "selected" in a]
    assert chosen == ["surely stands"]


def test_where_nothing_would_do_it_says_what_to_do(client):
    assert "Ask for less, or add a material" in client.get(f"{SWAPS}?keep=surely+stands").text


def test_unknown_role_and_unknown_wish_are_told_plainly(client):
    assert client.get(f"/bags/{TOTE}/swaps/brim").status_code == 404
    assert client.get(f"{SWAPS}?keep=flies").status_code == 200
