"""Running costs and old prices as JSON says them: in the price, in what to ask, in savings; faults with their field."""

from __future__ import annotations

import copy
import json

import pytest

from bagwright.errors import FaultyInput
from bagwright.workflows.tell_ask import ask_of_file
from bagwright.workflows.tell_price import price_as_json, price_of_file
from tests.json_doc import examples

FILE = next(example.file for example in examples() if example.command == "price")
RENT = {"name": "rent", "a_month": "240"}


def with_room(**settings):
    file = copy.deepcopy(FILE)
    file["workroom"] |= settings
    return json.dumps(file).encode()


def places(text, read=price_of_file):
    with pytest.raises(FaultyInput) as refused:
        read(text)
    return [problem.place for problem in refused.value.problems]


def test_a_month_without_what_shares_it_is_refused_with_its_field():
    assert places(with_room(overhead={"lines": [RENT]})) == ["workroom.overhead.hours_a_month"]
    by_bags = {"lines": [RENT], "shared_by": "bags", "hours_a_month": 80}
    assert places(with_room(overhead=by_bags)) == ["workroom.overhead.bags_a_month"]


def test_a_supply_that_says_not_where_it_sticks_is_refused_with_its_field():
    tape = {"kind": "double-sided tape", "name": "tape", "price": "3", "lasts": 20000, "lasts_for": "mm stuck"}
    assert places(with_room(small_supplies=[tape])) == ["workroom.small_supplies[0].stuck_at"]


def test_what_to_ask_takes_one_bags_share_of_a_month():
    # 240 shared by 40 bags is 6 on top of a floor of 14; by 80 hours it is 3 an hour, 4.50 for 90 min.
    asked = {"floor": "14.00", "minutes": 90, "ways": [{"name": "a stall"}]}
    overheads = {
        "20.00": {"lines": [RENT], "shared_by": "bags", "bags_a_month": 40},
        "18.50": {"lines": [RENT], "shared_by": "hours", "hours_a_month": 80},
        "14.00": {},
    }
    for floor, overhead in overheads.items():
        (way,) = ask_of_file(json.dumps({**asked, "overhead": overhead}).encode())
        assert str(way.at_floor.price.for_display()) == floor
    missing = json.dumps({**asked, "overhead": {"lines": [RENT]}}).encode()
    assert places(missing, ask_of_file) == ["overhead.hours_a_month"]


def test_old_prices_are_told_with_their_field_and_still_count():
    file = copy.deepcopy(FILE)
    for offer in file["offers"]:
        offer["dated"] = "2026-11-02"
    file["offers"][1]["dated"] = "2026-01-02"

    def told(today, days=365):
        file["today"], file["workroom"]["stale_after_days"] = today, days
        return price_as_json(price_of_file(json.dumps(file).encode()))

    fresh, old = told("2026-11-26"), told("2026-11-26", 300)
    assert fresh["stale_prices"] == []
    assert [one.split(":")[0] for one in old["stale_prices"]] == ["offers[1].dated"]
    assert {**old, "stale_prices": []} == fresh
    assert told(None, 1)["stale_prices"] == []


def test_a_missing_price_is_a_problem_with_its_field_never_zero():
    for number, offer in enumerate(FILE["offers"]):
        file = copy.deepcopy(FILE)
        del file["offers"][number]
        found = [place for place in places(json.dumps(file).encode()) if place.endswith(".offers")]
        at = next(n for n, one in enumerate(FILE["materials"]) if one["id"] == offer["material_id"])
        assert found == [f"materials[{at}].offers"]
