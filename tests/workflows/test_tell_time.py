"""`bagwright time` as a whole: sums, readings, faults; and readings in a price."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.price_file import PriceWords
from bagwright.workflows.tell_price import price_as_json, price_of_file
from bagwright.workflows.tell_time import ToldTime, time_as_json, time_in_words, time_of_file
from tests.json_doc import examples

FILES = {example.command: example.file for example in examples() if example.command in ("time", "price")}


def told(**changes: object) -> ToldTime:
    return time_of_file(json.dumps({**FILES["time"], **changes}).encode())


def answer_of(**changes: object) -> Any:
    return time_as_json(told(**changes))


def test_the_bag_is_the_sum_of_its_steps_and_the_run_of_its_bags():
    answer = answer_of()
    assert answer["minutes"] == math.fsum(step["minutes"] for step in answer["steps"])
    assert math.fsum(answer["each_minutes"]) == pytest.approx(answer["run_minutes"])
    assert len(answer["each_minutes"]) == FILES["time"]["run_count"]
    low, high = answer["minutes_range"].values()
    assert float(answer["pay_range"]["low"]) == pytest.approx(20 * low / 60, abs=0.006)
    assert float(answer["pay_range"]["high"]) == pytest.approx(20 * high / 60, abs=0.006)


def test_the_tenth_takes_what_the_curve_says_of_the_first():
    # Two bags timed before: the run starts at the third, and its tenth is the twelfth. No setting up.
    standards = {**FILES["time"]["workroom"]["standards"], "setup_minutes": 0}
    workroom = {**FILES["time"]["workroom"], "standards": standards}
    each = answer_of(workroom=workroom, timed=[{"minutes": 70}, {"minutes": 80}])["each_minutes"]
    assert each[9] / each[0] == pytest.approx(math.exp(math.log(12 / 3) * math.log(0.9) / math.log(2)))


def test_words_say_the_first_the_last_and_the_range():
    words = time_in_words(told(), UnitSystem.METRIC)
    assert "Made 10 at a time, the first takes" in words
    assert "One bag takes" in words.splitlines()[0]


def test_every_reading_of_an_unknown_step_is_a_problem_of_its_own():
    with pytest.raises(FaultyInput) as fault:
        told(
            timed=[
                {"step": "iron", "minutes": 3},
                {"step": "cut", "minutes": 3},
                {"step": "", "minutes": 3},
                {"step": "x", "minutes": 1},
            ]
        )
    assert [problem.place for problem in fault.value.problems] == ["timed[0].step", "timed[3].step"]


def test_readings_move_the_pay_in_a_price_and_narrow_its_range():
    def priced(timed: list[dict[str, object]]) -> Any:
        words = json.dumps({**FILES["price"], "timed": timed}).encode()
        return price_as_json(price_of_file(words))

    assert "timed" in PriceWords.model_fields
    standard, timed = priced([]), priced([{"minutes": 200}])
    assert timed["minutes"] > standard["minutes"]
    assert float(timed["pay"]) == pytest.approx(timed["minutes"] / 60 * 20, abs=0.006)
    width, narrower = (one["minutes_range"]["high"] / one["minutes"] for one in (standard, timed))
    assert narrower < width
    with pytest.raises(FaultyInput):
        priced([{"step": "iron", "minutes": 3}])
