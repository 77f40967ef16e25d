"""Readings against a standard time: the formula against numeric Bayes, and what must hold of it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.costing.logged_time import Z_90, credibility_weight, far_from_the_others, logged_time
from bagwright.errors import BrokenPromise

TIMES = st.floats(0.1, 500)


@pytest.mark.parametrize(("standard", "readings", "doubt", "weight"), [(20, [30], 6, 1), (12, [9, 10, 11], 4, 2.5)])
def test_mean_and_range_agree_with_bayes_on_a_grid(standard, readings, doubt, weight):
    # Normal guess of deviation tau, normal readings of deviation sqrt(k) tau, multiplied point by point.
    grid = np.linspace(standard - 12 * doubt, standard + 12 * doubt, 400_001)
    scatter = math.sqrt(weight) * doubt
    log = -(((grid - standard) / doubt) ** 2) / 2 - sum(((grid - x) / scatter) ** 2 for x in readings) / 2
    density = np.exp(log - log.max())
    density /= density.sum()
    mean = float((grid * density).sum())
    deviation = math.sqrt(float(((grid - mean) ** 2 * density).sum()))
    found = logged_time(standard, readings, doubt=doubt, standard_weight=weight)
    assert found.minutes == pytest.approx(mean, rel=1e-6)
    assert found.doubt == pytest.approx(Z_90 * deviation, rel=1e-5)


def test_ninety_percent_agrees_with_the_error_function():
    assert math.erf(Z_90 / math.sqrt(2)) == pytest.approx(0.9, abs=1e-12)


@given(TIMES, st.lists(TIMES, max_size=8), st.floats(0.1, 10))
@settings(max_examples=60)
def test_property_between_the_standard_time_and_the_mean(standard, readings, weight):
    found = logged_time(standard, readings, doubt=0.3 * standard, standard_weight=weight)
    ends = sorted((standard, found.mean if found.mean is not None else standard))
    assert ends[0] - 1e-9 <= found.minutes <= ends[1] + 1e-9
    assert found.weight == len(readings) / (len(readings) + weight)


def test_limit_without_readings_is_the_standard_time_and_with_many_their_mean():
    assert logged_time(10, [], doubt=3).minutes == 10
    many = logged_time(10, [20.0] * 10_000, doubt=3)
    assert many.minutes == pytest.approx(20, abs=0.01)
    assert many.doubt < 0.06


def test_readings_that_scatter_more_than_expected_widen_the_range():
    calm, wild = (logged_time(10, times, doubt=3).doubt for times in ([9, 10, 11], [1, 10, 19]))
    assert wild == pytest.approx(calm * 9 / 3)  # sample deviations 1 (below the 3 expected) and 9


def test_one_far_off_is_shown_and_counts_all_the_same():
    times = [10.0, 11.0, 12.0, 60.0]
    assert far_from_the_others(times) == (False, False, False, True)
    assert logged_time(10, times, doubt=3).mean == 23.25


@pytest.mark.parametrize(("readings", "doubt", "weight"), [([-1], 3, 1), ([1], -3, 1), ([1], 3, 0), ([], 3, math.nan)])
def test_logged_time_rejects_what_is_no_time(readings, doubt, weight):
    with pytest.raises(BrokenPromise):
        logged_time(10, readings, doubt=doubt, standard_weight=weight)


def test_weight_rejects_nothing_against_nothing():
    with pytest.raises(BrokenPromise):
        credibility_weight(0, 0)
