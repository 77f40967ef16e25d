"""Readings, bands and verdicts keep their own rules."""

from __future__ import annotations

import math

import pytest

from bagwright.errors import BrokenPromise
from bagwright.model.source import Band, Reading, Source, SourceKind, Verdict

GUESS = Source(SourceKind.GUESS, "a test")


def test_exact_reading_has_no_range():
    reading = Reading.exact(3.5, GUESS)
    assert (reading.low, reading.value, reading.high, reading.source) == (3.5, 3.5, 3.5, GUESS)


@pytest.mark.parametrize(
    ("value", "low", "high"),
    [(1, 2, 3), (4, 2, 3), (2, 3, 1), (math.nan, 0, 1), (1, math.nan, 2), (1, 0, math.inf), (1, -math.inf, 2)],
)
def test_rejects_readings_outside_their_range(value, low, high):
    with pytest.raises(BrokenPromise):
        Reading(value, low, high, GUESS)


@pytest.mark.parametrize(("low", "high"), [(2, 1), (math.nan, 1), (1, math.nan)])
def test_rejects_bands_upside_down(low, high):
    with pytest.raises(BrokenPromise):
        Band(low, high)


def test_verdict_passes_only_if_something_was_checked_and_nothing_found():
    assert Verdict(("overlap",)).passed
    assert not Verdict(("overlap",), ("A lies on B.",)).passed
    assert not Verdict(()).passed
