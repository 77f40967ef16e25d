"""`bagwright stock`: what it takes, what it refuses, and what it says."""

from __future__ import annotations

import json

import pytest

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.tell_stock import stock_as_json, stock_in_words, stock_of_file

SQUARE = [[0, 0], [100, 0], [100, 100], [0, 100]]
SCRAP = {"id": "scrap", "outline": [[0, 0], [210, 0], [210, 110], [0, 110]]}
PANEL = {"id": "panel", "outline": SQUARE, "count": 3}


def told(**changes):
    words = {"stock": [SCRAP], "pieces": [PANEL], "seconds": 0} | changes
    return stock_of_file(json.dumps(words).encode())


def test_what_does_not_fit_is_named():
    answer = json.loads(json.dumps(stock_as_json(told()), allow_nan=False))
    assert [len(one["placements"]) for one in answer["laid"]] == [2]
    assert answer["left"] == [{"id": "panel", "count": 1}]
    assert (answer["bought_mm"], answer["costs"], answer["checked"]) == (None, None, True)
    assert "No room for: 1 x panel." in stock_in_words(told(), UnitSystem.INCH)


def test_new_cloth_takes_the_rest_and_tells_what_is_saved():
    cloth = {"width_mm": 100, "price_per_m": "10"}
    found = told(cloth=cloth, stock=[SCRAP | {"worth": "0.50"}])
    answer = stock_as_json(found)
    assert (answer["bought_mm"], answer["costs"], answer["costs_without"]) == (pytest.approx(100), "1.50", "3.00")
    assert "That costs $1.50; all from new cloth costs $3.00." in stock_in_words(found, UnitSystem.METRIC)
    dear = told(cloth=cloth, stock=[SCRAP | {"worth": "9"}])
    assert stock_in_words(dear, UnitSystem.METRIC).startswith("Nothing is cut from stock.")


def test_flaws_and_grades_are_kept_clear_of():
    flawed = SCRAP | {"flaws": [[[100, 50], [106, 50], [106, 56], [100, 56]]]}
    assert stock_as_json(told(stock=[flawed]))["left"] == [{"id": "panel", "count": 1}]
    worse = SCRAP | {"lesser": [[[0, 0], [50, 0], [50, 110], [0, 110]]]}
    assert stock_as_json(told(stock=[worse]))["left"] == [{"id": "panel", "count": 1}]
    best = PANEL | {"best_only": True}
    assert stock_as_json(told(stock=[worse], pieces=[best]))["left"] == [{"id": "panel", "count": 2}]


def test_rejects_all_stock_that_flaws_leave_nothing_of_at_once():
    eaten = SCRAP | {"flaws": [SCRAP["outline"]]}
    with pytest.raises(FaultyInput) as caught:
        told(stock=[eaten, SCRAP | {"id": "sound"}, eaten | {"id": "eaten too"}])
    assert [problem.place for problem in caught.value.problems] == ["stock[0].flaws", "stock[2].flaws"]


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"stock": [SCRAP | {"outline": [[0, 0], [2, 2], [2, 0], [0, 2]]}]}, "stock[0].outline"),
        ({"stock": [SCRAP | {"flaws": [[[0, 0], [1, 1]]]}]}, "stock[0].flaws[0]"),
        ({"stock": [SCRAP | {"flaws": [SCRAP["outline"]]}]}, "stock[0].flaws"),
        ({"stock": [SCRAP, SCRAP]}, "stock[0].id"),
        ({"stock": [SCRAP | {"worth": "much"}]}, "stock[0].worth"),
        ({"cloth": {"width_mm": 0, "price_per_m": "1"}}, "cloth.width_mm"),
        ({"cloth": {"width_mm": 90, "price_per_m": "1"}}, "width_mm"),
        ({"currency": "euro"}, "currency"),
        ({"pieces": [PANEL, PANEL]}, "pieces[0].id"),
    ],
)
def test_rejects_with_the_place_of_the_fault(change, place):
    with pytest.raises(FaultyInput) as caught:
        told(**change)
    assert caught.value.problems[0].place == place
