"""Times go along with a copy: they tell how long its steps take, but no bag was made."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from bagwright.store.workroom import load_workroom, save_workroom
from bagwright.workflows.bag_changes import copy_bag
from bagwright.workflows.bag_handing import file_of_bag, take_bag_in
from bagwright.workflows.demo_studio import fill_demo
from bagwright.workflows.desk import Desk, the_shelf, view_bag
from bagwright.workflows.saving_drafts import try_saving
from bagwright.workflows.saving_ways import changes_of_bag
from bagwright.workflows.timing import take_away, type_time, view_time
from tests.workflows.demo_values import POUCH

AT = datetime(2026, 11, 26, 9, tzinfo=UTC)


@pytest.fixture(scope="module")
def desk(tmp_path_factory) -> Desk:
    """Work falls to 80 % at every doubling; cutting out was timed twice, as was the whole bag once."""
    desk = Desk(tmp_path_factory.mktemp("home"), is_demo=True)
    fill_demo(desk)
    with desk.store() as store:
        save_workroom(store, replace(load_workroom(store), learning_rate=0.8))
    for minutes in ("30", "40"):
        type_time(desk, POUCH, "cut", minutes, at=AT)
    type_time(desk, POUCH, "", "3 h", at=AT)
    return desk


def test_a_copy_agrees_with_its_first_in_time_but_is_the_first_of_its_kind(desk):
    first, copy = view_time(desk, POUCH, at=AT), view_time(desk, copy_bag(desk, POUCH).id, at=AT)
    assert first.time and copy.time
    assert copy.time.each[0] == pytest.approx(first.time.each[0])
    assert copy.time.minutes < first.time.minutes  # over a run the first ones of a kind teach most
    assert (first.time.next_number, copy.time.next_number) == (3, 1)
    assert [one.timing.taken_from for one in copy.readings["cut"]] == ["Reed pencil pouch"] * 2
    own = copy.readings["cut"][0].timing
    take_away(desk, own.id, own.version)
    assert len(view_time(desk, POUCH, at=AT).readings["cut"]) == 2
    again = copy_bag(desk, copy.bag.answer.bag.id)
    assert [one.timing.taken_from for one in view_time(desk, again.id, at=AT).readings["cut"]] == ["Reed pencil pouch"]
    type_time(desk, again.id, "cut", "20", at=AT)
    timed = view_time(desk, again.id, at=AT).time
    assert timed and timed.next_number == 2


def test_a_saving_that_is_tried_property_takes_times_as_long_as_its_steps_are(desk):
    """What 30 and 40 minutes become is told by the standard times of cutting out, before and after."""
    before = view_bag(desk, POUCH)
    changes = [one for one in changes_of_bag(before, None) if one.measurements_mm or one.stacks]
    change = next(one for one in changes if one.group.startswith(("way", "stack of outer")))
    copy = view_time(desk, try_saving(desk, POUCH, before.answer.bag.version, [change.key], None).id, at=AT)
    assert copy.time and copy.time.made_before == 0
    cut = {step.id: step.logged.standard for step in before.answer.steps if step.logged}["cut"]
    now = {step.id: step.logged.standard for step in copy.time.steps if step.logged}["cut"]
    told = sorted(one.timing.minutes for one in copy.readings["cut"])
    assert told == pytest.approx([30 * now / cut, 40 * now / cut])
    assert set(copy.readings) <= {"", *(step.id for step in copy.time.steps)}


def test_a_file_of_a_bag_property_holds_no_times(desk):
    """They are of one pair of hands; a bag that comes back from its file starts from standard times."""
    taken = take_bag_in(desk, file_of_bag(desk, POUCH).data)
    assert the_shelf(desk).readings_of(taken.bag.id) == {}
