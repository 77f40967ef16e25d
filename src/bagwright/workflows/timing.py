"""Her own timer: started, paused, gone on with, done; times typed in, taken away, brought back."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from bagwright.costing.bag_time import bag_time
from bagwright.costing.logged_time import far_from_the_others
from bagwright.costing.step_minutes import SETUP
from bagwright.errors import FaultyInput, NotKept, Problem, StaleSave
from bagwright.model.bag import Bag, Workroom
from bagwright.model.cost import BagTime, TimeStep
from bagwright.model.timing import WHOLE_BAG, Timing
from bagwright.store.connection import Connection
from bagwright.store.history import Kept
from bagwright.store.timings import load_timing, load_timings, retire_timing, save_timing, undo_timing
from bagwright.store.transaction import transaction
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.desk import BagView, Desk, new_id, view_bag
from bagwright.workflows.shelf import Shelf

MOST_MINUTES = 6000.0
_TIME = re.compile(
    r"(?:(?P<hours>[0-9]{1,3})\s*(?:h|hours?|:)\s*)?(?:(?P<minutes>[0-9]{1,4}(?:[.,][0-9]{1,3})?)\s*(?:m|min|minutes?)?)?"
)


@dataclass(frozen=True, slots=True)
class StepReading:
    """A reading that counts; `is_far` from the others of its step."""

    timing: Timing
    is_far: bool


@dataclass(frozen=True, slots=True)
class OpenTimer:
    """A timer that runs or is paused, and the seconds worked so far."""

    timing: Timing
    seconds: float

    @property
    def clock(self) -> str:
        """As a clock shows it: minutes and seconds, hours before them if there are any."""
        minutes, seconds = divmod(int(self.seconds), 60)
        hours, rest = divmod(minutes, 60)
        return f"{hours}:{rest:02d}:{seconds:02d}" if hours else f"{rest:02d}:{seconds:02d}"


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeView:
    """The time of one bag with all that is needed to show it. `time` is None as long as something is missing.

    `readings` by the id of the step; `last`: the one that was just kept, or taken away.
    """

    bag: BagView
    time: BagTime | None
    timers: tuple[OpenTimer, ...]
    readings: dict[str, tuple[StepReading, ...]]
    last: Kept[Timing] | None = None


def view_time(desk: Desk, bag_id: str, *, at: datetime, last_id: str = "") -> TimeView:
    """The bag's time as it stands at that moment. Raises `NotKept`."""
    bag = view_bag(desk, bag_id)
    own = [timing for timing in bag.shelf.timings if timing.bag_id == bag_id]
    return TimeView(
        bag=bag,
        time=time_of_bag(bag.answer, bag.shelf, bag.workroom),
        timers=tuple(OpenTimer(timing, timing.seconds_at(at)) for timing in own if not timing.is_done),
        readings=_readings(own),
        last=_last(desk, bag_id, last_id) if last_id else None,
    )


def time_of_bag(answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> BagTime | None:
    """What the steps of the answer come to; None if it has none yet."""
    if not answer.steps:
        return None
    before = shelf.made_of(answer.bag.id)
    return bag_time(answer.steps, workroom, made_before=before, run_count=answer.bag.run_count)


def _readings(own: list[Timing]) -> dict[str, tuple[StepReading, ...]]:
    by_step: dict[str, list[Timing]] = {}
    for timing in own:
        if timing.is_done:
            by_step.setdefault(timing.step, []).append(timing)
    return {
        step: tuple(map(StepReading, timings, far_from_the_others([timing.minutes for timing in timings])))
        for step, timings in by_step.items()
    }


def _last(desk: Desk, bag_id: str, timing_id: str) -> Kept[Timing] | None:
    with desk.store() as store:
        try:
            kept = load_timing(store, timing_id)
        except NotKept:
            return None
        return kept if kept.value.bag_id == bag_id else None


def start_timer(desk: Desk, bag_id: str, step: str, *, at: datetime) -> Timing:
    """Run a timer on that step, or on the whole bag; one that is paused there goes on.

    Timers on other steps are paused, for she has one pair of hands; one on the whole bag runs along. Raises `NotKept`
    for a bag that is not there and a step that it does not have.
    """
    _refuse_unknown(desk, bag_id, step)
    with desk.store() as store, transaction(store):
        timers = [timing for timing in load_timings(store) if not timing.is_done]
        for other in timers if step != WHOLE_BAG else ():
            is_other_step = other.step != WHOLE_BAG and (other.bag_id, other.step) != (bag_id, step)
            if is_other_step and other.running_since:
                save_timing(store, other.paused(at))
        for timing in timers:
            if (timing.bag_id, timing.step) == (bag_id, step):
                return timing if timing.running_since else save_timing(store, timing.going_on(at))
        new = Timing(id=new_id(bag_id), bag_id=bag_id, step=step, begun=at, running_since=at)
        return save_timing(store, new)


def pause_timer(desk: Desk, timing_id: str, version: int, *, at: datetime) -> Timing:
    """Stop the timer for now. Raises `StaleSave`, `NotKept`."""
    return _changed(desk, timing_id, version, lambda timing: timing.paused(at))


def go_on(desk: Desk, timing_id: str, version: int, *, at: datetime) -> Timing:
    """Let a paused timer run on; timers on other steps are paused. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        timing = _kept(store, timing_id, version).value
    return start_timer(desk, timing.bag_id, timing.step, at=at)


def finish_timer(desk: Desk, timing_id: str, version: int, *, at: datetime) -> Timing:
    """Done: from now on the reading counts. Raises `StaleSave`, `NotKept`."""
    return _changed(desk, timing_id, version, lambda timing: timing.done(at))


def type_time(desk: Desk, bag_id: str, step: str, text: str, *, at: datetime) -> Timing:
    """Keep a time that she says, such as "25 min" or "1 h 10". Raises `FaultyInput`, `NotKept`."""
    minutes = read_minutes(text, place="minutes")
    _refuse_unknown(desk, bag_id, step)
    typed = Timing(
        id=new_id(bag_id), bag_id=bag_id, step=step, begun=at, worked_seconds=60 * minutes, is_done=True, is_typed=True
    )
    with desk.store() as store:
        return save_timing(store, typed)


def take_away(desk: Desk, timing_id: str, version: int) -> Timing:
    """Count the reading, or run the timer, no longer; `bring_back` undoes that. Raises `StaleSave`, `NotKept`."""
    with desk.store() as store:
        return retire_timing(store, timing_id, expected_version=version)


def bring_back(desk: Desk, timing_id: str, version: int) -> Timing:
    """Undo the last change of a timing: being taken away, or being done. Raises `StaleSave`, `NotKept`, `NoAnswer`."""
    with desk.store() as store, transaction(store):
        _kept(store, timing_id, version)
        return undo_timing(store, timing_id)


def take_over_times(store: Connection, original: Bag, copy: Bag, scales: Mapping[str, float] | None = None) -> None:
    """What a copy starts from: readings of every step as she took them on the original, each told as taken from there.

    `scales`: by how much a step of the copy is longer, where it is made another way; a step that is not named is left
    out, since no reading tells of it. None: all is as it was.
    """
    for one in load_timings(store):
        if one.bag_id != original.id or not one.is_done or (scales is not None and one.step not in scales):
            continue
        share = scales[one.step] if scales is not None else 1.0
        save_timing(
            store,
            replace(
                one,
                id=new_id(copy.id),
                bag_id=copy.id,
                worked_seconds=one.worked_seconds * share,
                taken_from=one.taken_from or original.name,
                version=0,
            ),
        )


def step_scales(before: Sequence[TimeStep], after: Sequence[TimeStep]) -> dict[str, float]:
    """For each step that both have, and for the whole bag, the standard time after as a share of that before.

    >>> from bagwright.model.timing import LoggedTime
    >>> def step(name, minutes):
    ...     logged = LoggedTime(standard=minutes, readings=(), mean=None, weight=0, minutes=minutes, doubt=0)
    ...     return TimeStep(name=name, id=name, minutes=minutes, reckoned="", logged=logged)
    >>> step_scales([step("cut", 10), step("sew", 20)], [step("cut", 15)])
    {'cut': 1.5, '': 0.5}
    """
    was, now = ({one.id: one.logged.standard for one in steps if one.id and one.logged} for steps in (before, after))
    scales = {step: now[step] / was[step] for step in was if step in now and was[step]}
    whole = math.fsum(minutes for step, minutes in was.items() if step != SETUP)
    if whole:
        scales[WHOLE_BAG] = math.fsum(minutes for step, minutes in now.items() if step != SETUP) / whole
    return scales


def read_minutes(text: str, *, place: str) -> float:
    """Minutes of work from what she typed. Raises `FaultyInput`.

    >>> read_minutes("25 min", place="minutes"), read_minutes("1 h 10", place="minutes"), read_minutes("2,5", place="x")
    (25.0, 70.0, 2.5)
    """
    found = _TIME.fullmatch(text.strip().lower())
    given = found.groupdict(default="0") if found else {"hours": "0", "minutes": "0"}
    minutes = 60 * int(given["hours"]) + float(given["minutes"].replace(",", "."))
    if not 0 < minutes <= MOST_MINUTES:
        allowed = f"minutes, or hours and minutes, above 0 to {MOST_MINUTES:g} min, such as 25 min or 1 h 10 min"
        remedy = "Type how long it took, pauses left out."
        raise FaultyInput(
            [Problem(place=place, value=text[:40], what="is no length of time", allowed=allowed, remedy=remedy)]
        )
    return minutes


def _refuse_unknown(desk: Desk, bag_id: str, step: str) -> None:
    answer = view_bag(desk, bag_id).answer
    if step != WHOLE_BAG and step not in {one.id for one in answer.steps}:
        raise NotKept(f"step {step[:80]!r}")


def _changed(desk: Desk, timing_id: str, version: int, change: Callable[[Timing], Timing]) -> Timing:
    with desk.store() as store, transaction(store):
        return save_timing(store, replace(change(_kept(store, timing_id, version).value), version=version))


def _kept(store: Connection, timing_id: str, version: int) -> Kept[Timing]:
    kept = load_timing(store, timing_id)
    if kept.version != version:
        raise StaleSave(f"timing {timing_id!r}", expected_version=version, kept_version=kept.version)
    return kept
