"""How long a search goes on, by a clock of our own."""

from __future__ import annotations

import pytest

from bagwright.model.cover import CoverSettings
from bagwright.piecing import _budget
from bagwright.piecing._budget import FirstBudget


class Clock:
    now_s = 100.0

    def monotonic(self) -> float:
        return self.now_s


@pytest.fixture
def clock(monkeypatch):
    found = Clock()
    monkeypatch.setattr(_budget, "time", found)
    return found


def ends_after(clock, budget):
    """The first of some seconds after which it is spent."""
    clock.now_s = 100.0
    for seconds in (0, 0.5, 1.5, 2.5, 3.5, 9, 11, 1e6):
        clock.now_s = 100.0 + seconds
        if budget.is_spent():
            return seconds
    return None


@pytest.mark.parametrize(
    ("settings", "stops", "has_answer", "seconds"),
    [
        (CoverSettings(seconds=3), False, True, 3.5),
        (CoverSettings(seconds=0.1), False, True, 1.5),  # a second at least
        (CoverSettings(seconds=600), True, True, 1.5),
        (CoverSettings(), False, True, 11),
        (CoverSettings(iterations=5), False, True, None),  # the same rounds are the same answer on any machine
        (CoverSettings(seconds=3), True, False, None),
    ],
)
def test_the_first_answer_is_sought_a_second_at_least_and_until_there_is_one(
    clock, settings, stops, has_answer, seconds
):
    assert ends_after(clock, FirstBudget(settings, lambda: stops, lambda: has_answer)) == seconds


def test_the_first_answer_is_not_sought_for_ever(clock):
    budget = FirstBudget(CoverSettings(seconds=3), None, lambda: False)
    for _ in range(400):
        assert not budget.is_spent()
        budget.count()
    assert budget.is_spent()
