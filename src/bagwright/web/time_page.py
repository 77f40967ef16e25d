"""The page of a bag's time, from its view."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bagwright.errors import Problem
from bagwright.model.cost import BagTime, TimeStep
from bagwright.model.timing import WHOLE_BAG
from bagwright.units import print_minutes
from bagwright.web.frame import frame
from bagwright.web.lacks import lacks_of
from bagwright.web.pages import Column, Field, Row, Table
from bagwright.web.time_pages import LastView, ReadingView, TimedStepView, TimePage, TimerView
from bagwright.web.time_words import counts_words, each_words, practice_words, range_words, short_minutes
from bagwright.workflows.timing import TimeView

_WHOLE = "The whole bag"
_STANDARD = "No step is timed yet: all minutes are standard times, starting points until you take your own."
_TAKEN_OVER = (
    "This bag is a copy and starts from the times of its first, which count for the steps but not as bags made. Take "
    "away what does not hold here."
)
_FAR = "Far from your other readings: look whether a pause is in it, or part of another step."


@dataclass(frozen=True, slots=True)
class TypedTime:
    """A time that was typed and refused, and for which step."""

    step: str = ""
    text: str = ""
    problems: tuple[Problem, ...] = ()
    stale: str = ""


def time_page(view: TimeView, typed: TypedTime) -> TimePage:
    """Everything that the page shows."""
    bag, time, room = view.bag.answer.bag, view.time, view.bag.workroom
    return TimePage(
        frame=frame(f"Time for {bag.name}", "/", is_demo=view.bag.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        lacks=lacks_of(view.bag.answer.problems, bag.id) if time is None else (),
        stale=typed.stale,
        headline=print_minutes(time.minutes) if time else "",
        range=range_words(time) if time else "",
        pay=_pay(view, time) if time else "",
        known=_known(view, time) if time else "",
        each=each_words(time) if time else "",
        practice=practice_words(room),
        counts=counts_words(room),
        timers=tuple(_timers(view)),
        last=_last(view),
        whole=_whole(view, typed) if time else None,
        steps=tuple(_step(step, view, typed) for step in time.steps) if time else (),
    )


def _pay(view: TimeView, time: BagTime) -> str:
    rate = view.bag.workroom.hourly_pay.said()
    return f"{time.pay.said()} of pay at {rate} an hour ({time.pay_low.said()} to {time.pay_high.said()})."


def _known(view: TimeView, time: BagTime) -> str:
    timed = sum(step.id in view.readings for step in time.steps)
    whole = len(view.readings.get(WHOLE_BAG, ()))
    if not timed and not whole:
        return _STANDARD
    taken = any(one.timing.taken_from for ones in view.readings.values() for one in ones)
    over = f" {_TAKEN_OVER}" if taken else ""
    bags = f" and {whole} whole {'bag' if whole == 1 else 'bags'}" if whole else ""
    return (
        f"You have timed {timed} of {len(time.steps)} steps{bags}; the rest are standard times. For practice the next "
        f"bag counts as number {time.next_number}.{over}"
    )


def _timers(view: TimeView) -> Iterator[TimerView]:
    names = _names(view)
    for one in view.timers:
        seconds, timing = int(one.seconds), one.timing
        name = names.get(timing.step, timing.step)
        yield TimerView(
            timing.id, timing.version, name, one.clock, seconds, is_running=timing.running_since is not None
        )


def _names(view: TimeView) -> dict[str, str]:
    steps = view.time.steps if view.time else ()
    return {WHOLE_BAG: _WHOLE, **{step.id: step.name for step in steps}}


def _last(view: TimeView) -> LastView | None:
    if view.last is None:
        return None
    timing, name = view.last.value, _names(view).get(view.last.value.step, view.last.value.step)
    if view.last.retired:
        return LastView(timing.id, timing.version, f"Taken away: {name}.", "back", "Bring it back")
    if not timing.is_done:
        return None
    kept = f"Kept: {short_minutes(timing.minutes)} for {name}."
    return LastView(
        timing.id, timing.version, kept, *(("away", "Take it away") if timing.is_typed else ("back", "Not done yet"))
    )


def _whole(view: TimeView, typed: TypedTime) -> TimedStepView:
    readings = tuple(_readings(view, WHOLE_BAG))
    return TimedStepView(
        step=WHOLE_BAG,
        name=_WHOLE,
        minutes="",
        range="",
        is_timed=bool(readings),
        can_start=_can_start(view, WHOLE_BAG),
        why=None,
        known="From the first cut to the last look, without setting up the machine. Every step takes its share of it.",
        readings=readings,
        typed=_typed_field(WHOLE_BAG, "whole", typed),
        is_open=_is_typed(typed, WHOLE_BAG),
    )


def _step(step: TimeStep, view: TimeView, typed: TypedTime) -> TimedStepView:
    readings = tuple(_readings(view, step.id))
    rows = [Row((part.says, f"{part.minutes:.1f} min")) for part in step.parts]
    rows.append(Row(("Together", f"{step.minutes:.1f} min"), is_sum=True))
    columns = (Column("For"), Column("Time", True))
    return TimedStepView(
        step=step.id,
        name=f"{step.number}. {step.name}" if step.number else step.name,
        minutes=short_minutes(step.minutes),
        range=f"{short_minutes(step.low_minutes)} to {short_minutes(step.high_minutes)}",
        is_timed=bool(readings),
        can_start=_can_start(view, step.id),
        why=Table("Why so long", columns, tuple(rows), of=step.name),
        known=_spread(view, step.id),
        readings=readings,
        typed=_typed_field(step.id, f"step-{view.time.steps.index(step) if view.time else 0}", typed),
        is_open=_is_typed(typed, step.id),
    )


def _spread(view: TimeView, step: str) -> str:
    minutes = [one.timing.minutes for one in view.readings.get(step, ())]
    if len(minutes) < 2:  # one reading has no spread
        return ""
    return f"Your {len(minutes)} readings go from {short_minutes(min(minutes))} to {short_minutes(max(minutes))}."


def _can_start(view: TimeView, step: str) -> bool:
    return all(one.timing.step != step for one in view.timers)


def _is_typed(typed: TypedTime, step: str) -> bool:
    return bool(typed.problems) and typed.step == step


def _readings(view: TimeView, step: str) -> Iterator[ReadingView]:
    for one in view.readings.get(step, ()):
        timing = one.timing
        how = "typed in" if timing.is_typed else "timed"
        taken = f", from {timing.taken_from}" if timing.taken_from else ""
        words = f"{short_minutes(timing.minutes)}, {how} on {timing.begun:%d %B %Y}{taken}"
        yield ReadingView(timing.id, timing.version, words, _FAR if one.is_far else "")


def _typed_field(step: str, key: str, typed: TypedTime) -> Field:
    is_typed = _is_typed(typed, step)
    return Field(
        id=f"minutes-{key}",
        name="minutes",
        label="It took",
        value=typed.text if is_typed else "",
        hint="Minutes, such as 25, or 1 h 10; pauses left out.",
        problem=" ".join(problem.words() for problem in typed.problems) if is_typed else "",
    )
