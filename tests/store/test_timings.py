"""Timings: kept, paused, taken away, brought back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bagwright.errors import NotKept, StaleSave
from bagwright.model.timing import Timing
from bagwright.store.stamp import stamp_of_the_rest
from bagwright.store.timings import load_timing, load_timings, retire_timing, save_timing, undo_timing

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
RUNNING = Timing(id="one", bag_id="tote", step="cut", begun=NOON, running_since=NOON)


def after(minutes: float) -> datetime:
    return NOON + timedelta(minutes=minutes)


def test_timer_counts_what_runs_and_leaves_pauses_out():
    paused = RUNNING.paused(after(10))
    assert (paused.minutes, paused.seconds_at(after(60))) == (10, 600)
    done = paused.going_on(after(60)).done(after(65))
    assert (done.minutes, done.is_done, done.running_since) == (15, True, None)
    assert done.going_on(after(70)) == done
    assert RUNNING.going_on(after(5)) == RUNNING


def test_clock_that_was_set_back_takes_nothing_off():
    assert RUNNING.paused(after(-5)).minutes == 0


def test_timing_comes_back_equal_and_a_stale_one_is_refused(connection):
    kept = save_timing(connection, RUNNING)
    assert load_timing(connection, "one").value == kept == replace(RUNNING, version=1)
    with pytest.raises(StaleSave):
        save_timing(connection, RUNNING)
    with pytest.raises(NotKept):
        load_timing(connection, "two")


def test_timing_taken_away_comes_back_with_undo_and_every_change_moves_the_stamp(connection):
    stamps = [stamp_of_the_rest(connection)]
    kept = save_timing(connection, RUNNING)
    stamps.append(stamp_of_the_rest(connection))
    retire_timing(connection, "one", expected_version=kept.version)
    stamps.append(stamp_of_the_rest(connection))
    assert load_timings(connection) == ()
    assert undo_timing(connection, "one").running_since == NOON
    stamps.append(stamp_of_the_rest(connection))
    assert len(load_timings(connection)) == 1
    assert len(set(stamps)) == len(stamps)
