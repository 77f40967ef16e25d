"""What to ask for a bag: every way of selling on one page, and terms that cannot be."""

from __future__ import annotations

from html import escape

import pytest

from tests.web.html import fields, invalid_fields
from tests.workflows.demo_values import TOTE

ASKING = f"/bags/{TOTE}/asking"


def test_bag_leads_to_what_to_ask(client):
    assert f'href="{ASKING}"' in client.get(f"/bags/{TOTE}").text


def test_each_way_of_selling_is_told_without_anything_typed(client):
    html = client.get(ASKING).text
    for way in ("You sell it yourself", "A shop buys it from you", "A shop sells it for you"):
        assert way in html
    assert "your hours are paid" in html
    assert "You earn" in html


def test_a_price_in_mind_and_a_market_day_are_told(client):
    html = client.get(f"{ASKING}?asked=250&day_cost=60&day_hours=8").text
    assert "At $250.00 you earn $" in html
    assert "The day&#39;s cost is back after 1 bag" in html
    low = client.get(f"{ASKING}?asked=5").text
    assert "you lose $" in low


@pytest.mark.parametrize(
    "typed",
    [
        {"asked": "<b>", "margin": "101", "tax": "-1", "shop": "x", "delivery": "1e9", "day_hours": "nan"},
        {"tax": "900", "for_her": "99.9", "day_cost": "-3"},
    ],
)
def test_faults_stand_beside_their_fields_and_nothing_is_lost(client, typed):
    answer = client.get(ASKING, params=typed)
    assert answer.status_code == 200
    assert invalid_fields(answer.text) == set(typed)
    assert all(fields(answer.text, ASKING)[name] == value for name, value in typed.items())
    assert escape("<b>") in answer.text or "<b>" not in typed.values()
    assert "your hours are paid" not in answer.text


def test_how_many_to_bring_follows_from_three_guesses(client):
    html = client.get(f"{ASKING}?asked=250&least=1&likely=3&most=6").text
    assert "Each sold by yourself at $250.00." in html
    assert "Bring " in html and "on the average of many such days" in html
    assert "How many to bring</h2></div>" not in client.get(f"{ASKING}?asked=250").text


def test_guesses_out_of_order_or_left_out_stand_beside_their_fields(client):
    assert invalid_fields(client.get(f"{ASKING}?least=4&likely=2&most=1").text) == {"likely", "most"}
    assert invalid_fields(client.get(f"{ASKING}?least=4&worth_after=9999").text) == {"likely", "most", "worth_after"}
