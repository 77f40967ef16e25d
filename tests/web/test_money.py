"""Where the money of a bag goes, on its page: parts that open and add up, ranges in words, what matters, faults."""

from __future__ import annotations

import re
from decimal import Decimal

from bagwright.web.money_found import MEASURES
from tests.web.html import fields, invalid_fields, said
from tests.workflows.demo_values import TOTE

MONEY = f"/bags/{TOTE}/money"


def parts_of(html: str) -> list[tuple[Decimal, list[Decimal]]]:
    """The told amount of every part, and of every line and sum in its table."""
    found = []
    for block in re.findall(r"<details><summary><span>.*?</details>", html, re.DOTALL):
        amounts = [
            Decimal(minus.replace("−", "-") + number)
            for minus, number in re.findall(r"(−?)\$([\d.]+)</(?:strong|td)>", block)
        ]
        found.append((amounts[0], amounts[1:]))
    return found


def test_the_bag_and_what_to_ask_lead_here_and_the_price_tells_its_range(client):
    page = client.get(f"/bags/{TOTE}").text
    assert f'href="{MONEY}"' in page
    assert re.search(r"The price that pays you: \$\d+ to \$\d+, most likely \$\d+\.", page)
    asking = client.get(f"/bags/{TOTE}/asking?asked=70").text
    assert re.search(rf'href="{MONEY}\?[^"]*asked=70', asking)


def test_what_hangs_on_layouts_is_told_as_its_best_case_and_moves_by_steps_of_the_shop(client):
    """The demo's layouts can hardly be shorter: all that is reckoned for cloth lies below the range of nine in ten."""
    html = said(client.get(MONEY).text)
    assert "Materials as reckoned are the best case" in html
    assert "5 % either way, and no less than any layout takes" in html
    stepped = said(client.get(f"{MONEY}?steps=1").text)
    assert "1/8 yd as the shop measures it off, either way" in stepped
    assert '<option value="1" selected>one step that the shop measures off</option>' in stepped
    assert client.get(f"{MONEY}?steps=12").status_code == 200


def test_parts_open_to_lines_and_all_add_up_to_the_price(client):
    html = client.get(f"{MONEY}?asked=79.5&tax=8&day_cost=40&least=2&likely=3&most=9").text
    assert "Of $79.50 that the buyer pays" in html
    parts = parts_of(html)
    assert sum(amount for amount, _ in parts) == Decimal("79.50")
    assert len(parts) >= 7
    for amount, (*lines, together) in parts:
        assert sum(lines) == together == amount
    assert 'id="money-strip-title"' in html


def test_ranges_and_what_matters_are_told_for_each_total(client):
    html = said(client.get(MONEY).text)
    assert re.search(r"Your hour earns: \$\d+ to \$\d+, most likely \$18\.", html)
    assert re.search(r"If sewing takes \d+ min more, your hour earns \$[\d.]+ less\.", html)
    assert "Common practice, no source (" in html
    assert "Taken as exact: your pay for an hour $18.00" in html
    cost = said(client.get(f"{MONEY}?of=cost").text)
    assert re.search(r"If sewing takes \d+ min more, the bag costs you \$[\d.]+ more\.", cost)
    for name in MEASURES:
        assert f"&amp;of={name}#matters" in html or name == "hour"


def test_what_is_typed_is_kept_and_her_own_ranges_count(client):
    html = client.get(f"{MONEY}?asked=70&asked_low=55&asked_high=80&pay_low=15&fees_high=60&way=shop").text
    assert "Your own: readings, measures and ranges that you gave (" in html
    assert fields(html, MONEY)["asked_low"] == "55"
    assert "A shop buys it from you." in html
    assert invalid_fields(html) == set()
    # 12 % at most leaves out the half that the shop keeps
    assert invalid_fields(client.get(f"{MONEY}?fees_high=12&way=shop").text) == {"fees_high"}


def test_faults_stand_beside_their_fields(client):
    typed = {"asked": "x", "tax": "900", "day_cost": "40", "least": "", "likely": "2", "most": "b", "pay_low": "-1"}
    answer = client.get(MONEY, params=typed)
    assert answer.status_code == 200
    assert invalid_fields(answer.text) == {"asked", "tax", "least", "most", "pay_low"}
    assert "Part by part" not in answer.text
    assert invalid_fields(client.get(f"{MONEY}?pay_low=30").text) == {"pay_low"}
    assert invalid_fields(client.get(f"{MONEY}?way=&of=nothing").text) == set()
    assert invalid_fields(client.get(f"{MONEY}?way=barter").text) == {"way"}
    assert invalid_fields(client.get(f"{MONEY}?day_cost=40&least=4&likely=2&most=9").text) == {"likely"}
