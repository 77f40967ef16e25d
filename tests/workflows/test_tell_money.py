"""`bagwright money`: what a bag's price goes to, from its file; ranges, days and faults at their fields."""

from __future__ import annotations

import copy
import json
from decimal import Decimal
from functools import cache

import pytest

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.tell_money import ToldMoney, money_as_json, money_in_words, money_of_file
from bagwright.workflows.tell_price import price_of_file
from tests.json_doc import examples

EXAMPLE = next(one for one in examples() if one.command == "money").file
PLAIN = {name: value for name, value in EXAMPLE.items() if name not in ("asked", "day", "ranges")}


def told(file: dict) -> ToldMoney:
    return money_of_file(json.dumps(file).encode())


def answer(**changed) -> dict:
    return money_as_json(told({**PLAIN, **changed}))


@cache
def plain_answer() -> dict:
    return answer()


def places(**changed) -> list[str]:
    with pytest.raises(FaultyInput) as fault:
        told({**PLAIN, **changed})
    return [problem.place for problem in fault.value.problems]


def test_the_price_that_pays_is_that_of_bagwright_price_and_its_parts_add_up():
    found = plain_answer()
    names = ("form", "measurements_mm", "stacks", "materials", "offers", "workroom", "run_count", "today")
    price = price_of_file(json.dumps({name: PLAIN[name] for name in names}).encode()).answer.price
    assert price is not None
    assert (found["price"], found["is_asked"]) == (str(price.paid_price.for_display()), False)
    assert sum(Decimal(part["amount"]) for part in found["parts"]) == Decimal(found["price"])
    for part in found["parts"]:
        assert sum(Decimal(line["amount"]) for line in part["lines"]) == Decimal(part["amount"])
    assert found["totals"]["cost"]["value"] == str(price.floor.for_display())
    assert Decimal(found["totals"]["hour"]["value"]) == Decimal(PLAIN["workroom"].get("hourly_pay", "18"))


def test_her_own_range_is_told_as_hers_and_moves_what_it_should():
    found = answer(ranges=[{"input": "pay", "low": 16, "high": 24}])
    (pay,) = [one for one in found["inputs"] if one["id"] == "pay"]
    assert (pay["low"], pay["high"], pay["known"]) == (16, 24, "yours")
    (swing,) = [one for one in found["swings"] if one["input"] == "pay"]
    assert swing["at_high"]["hour"] == "0.00" and Decimal(swing["at_high"]["paid_price"]) > 0
    assert "pay" in [one["id"] for one in plain_answer()["exact"]]


def test_without_today_prices_are_exact_and_old_ones_are_told_with_their_field():
    untold = answer(today=None)
    assert not [one for one in untold["inputs"] if one["id"].startswith("price:")]
    assert untold["stale_prices"] == []
    offers = copy.deepcopy(PLAIN["offers"])
    offers[0]["dated"] = "2024-01-31"
    stale = answer(offers=offers)
    (problem,) = [one for one in stale["stale_prices"] if "2024-01-31" in one]
    assert problem.startswith("offers[0].dated")
    assert stale["price"] == plain_answer()["price"]


def test_a_missing_price_is_a_fault_at_its_material_and_never_zero():
    gone = PLAIN["offers"][0]["material_id"]
    number = [one["id"] for one in PLAIN["materials"]].index(gone)
    left = [offer for offer in PLAIN["offers"] if offer["material_id"] != gone]
    assert places(offers=left) == [f"materials[{number}].offers"]


def test_a_market_day_is_shared_by_the_bags_sold():
    day = {"fixed": "50.00", "minutes": 300, "least": 2, "likely": 5, "most": 9}
    found = answer(day=day)
    (part,) = [one for one in found["parts"] if one["goes"] == "day"]
    pay = Decimal(PLAIN["workroom"].get("hourly_pay", "18"))
    assert Decimal(part["amount"]) == 10 + pay  # 50 and 5 h, shared by 5
    assert Decimal(found["totals"]["cost"]["value"]) == Decimal(plain_answer()["totals"]["cost"]["value"]) + 10
    assert found["totals"]["minutes"]["value"] == pytest.approx(plain_answer()["totals"]["minutes"]["value"] + 60)
    assert found["swings"][0]["at_low"]["hour"].startswith("-")


@pytest.mark.parametrize(
    ("changed", "wanted"),
    [
        ({"ranges": [{"input": "rent", "low": 1, "high": 2}]}, ["ranges[0]"]),
        ({"ranges": [{"input": "tax", "low": 0, "high": 0.2}, {"input": "pay", "low": 1, "high": 2}]}, ["ranges[1]"]),
        ({"ranges": [{"input": "pay", "low": 30, "high": 2}]}, ["ranges[0]"]),
        (
            {"ranges": [{"input": "kept_share", "low": 0, "high": 0.99}, {"input": "tax", "low": 0, "high": 1}]},
            ["ranges[0]"],
        ),
        ({"ranges": [{"input": "pay", "low": 1, "high": 99}] * 2}, ["ranges[0].input", "ranges[1].input"]),
        ({"day": {"least": 5, "likely": 2, "most": 9}}, ["day.likely"]),
        ({"way": {"name": "shop", "kept_share": 0.9, "tax_share": 0.2}}, ["way.kept_share"]),
        ({"asked": "1e9", "price_moves_a_year": 2}, ["asked", "price_moves_a_year"]),
        ({"today": "yesterday"}, ["today"]),
    ],
)
def test_faults_are_told_at_their_fields(changed, wanted):
    assert places(**changed) == wanted


def test_words_for_the_maker_name_every_part_and_what_matters():
    words = money_in_words(told({**PLAIN, "asked": "20.00"}), UnitSystem.METRIC)
    assert "Left over: −" in words
    assert "In nine cases of ten:" in words
    assert "If sewing takes " in words and " min more, your hour earns " in words
    assert "cm more of " in words or "mm" not in words
