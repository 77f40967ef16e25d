"""`bagwright time`: what the work on a bag takes, step by step, with readings, rest and practice."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pydantic import Field

from bagwright.costing.bag_time import bag_time
from bagwright.costing.logged_time import far_from_the_others
from bagwright.costing.step_minutes import Task
from bagwright.costing.working_time import made_before, working_steps
from bagwright.errors import FaultyInput
from bagwright.model.bag import Workroom
from bagwright.model.cost import BagTime, TimeStep
from bagwright.model.money import Money
from bagwright.model.timing import WHOLE_BAG
from bagwright.units import UnitSystem, print_minutes
from bagwright.workflows.bag_words import BagWords, drafted_bag, place_in_file
from bagwright.workflows.contracts import read_contract
from bagwright.workflows.cut_list import cut_list
from bagwright.workflows.time_words import (
    PiecedWords,
    TimedWords,
    pieced_from,
    readings_from,
    refuse_unknown_steps,
)
from bagwright.workflows.usual_allowances import allowances_taken
from bagwright.workflows.work_steps import work_steps
from bagwright.workflows.workroom_words import WorkroomWords, workroom_from


class TimeWords(BagWords):
    """What `bagwright time` reads."""

    workroom: WorkroomWords = Field(default=WorkroomWords(), description="settings; what is left out is as usual")
    run_count: int = Field(default=1, ge=1, le=200, description="how many bags are made together, 1 to 200")
    timed: list[TimedWords] = Field(default=[], max_length=2000, description="readings: list of up to 2000")
    pieced: list[PiecedWords] = Field(
        default=[], max_length=40, description="layers pieced from scraps: list of up to 40"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldTime:
    """The answer: the time, and the settings that it was reckoned with."""

    time: BagTime
    workroom: Workroom
    whole_bags: tuple[float, ...]


def time_of_file(text: bytes) -> ToldTime:
    """Working time of the bag that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, TimeWords)
    workroom = workroom_from(words.workroom)
    sizes = allowances_taken(words.form, words.measurements_mm, workroom)
    drafted = drafted_bag(words.model_copy(update={"measurements_mm": sizes}))
    try:
        work = work_steps(drafted.pattern, drafted.stacks, drafted.shelf)
        cuts = cut_list(drafted.pattern, drafted.stacks)
    except FaultyInput as fault:
        raise FaultyInput([replace(one, place=place_in_file(one.place, words)) for one in fault.problems]) from None
    task = Task(work=work, pattern=drafted.pattern, cuts=cuts, pieced=pieced_from(words.pieced))
    readings = readings_from(words.timed)
    made = made_before(readings_from([one for one in words.timed if one.counts_as_made]))
    steps = working_steps(task, workroom=workroom, readings=readings, run_count=words.run_count, made=made)
    refuse_unknown_steps(words.timed, steps)
    time = bag_time(steps, workroom, made_before=made, run_count=words.run_count)
    return ToldTime(time=time, workroom=workroom, whole_bags=tuple(readings.get(WHOLE_BAG, ())))


def time_as_json(told: ToldTime) -> dict[str, object]:
    """The answer of `bagwright time`."""
    time = told.time
    return {
        **range_as_json(time),
        "made_before": time.made_before,
        "learning_model": told.workroom.learning_model,
        "learning_rate": told.workroom.learning_rate,
        "each_minutes": list(time.each),
        "run_minutes": time.run_minutes,
        "whole_bags": list(told.whole_bags),
        "steps": [_step(step) for step in time.steps],
    }


def range_as_json(time: BagTime) -> dict[str, object]:
    """Minutes and pay of one bag, with their ranges."""
    return {
        "minutes": time.minutes,
        "minutes_range": {"low": time.low_minutes, "high": time.high_minutes},
        "pay": _cents(time.pay),
        "pay_range": {"low": _cents(time.pay_low), "high": _cents(time.pay_high)},
    }


def _step(step: TimeStep) -> dict[str, object]:
    logged = step.logged
    readings = logged.readings if logged else ()
    return {
        "id": step.id,
        "number": step.number,
        "name": step.name,
        "kind": step.kind,
        "minutes": step.minutes,
        "minutes_range": {"low": step.low_minutes, "high": step.high_minutes},
        "parts": [{"says": part.says, "minutes": part.minutes} for part in step.parts],
        "standard_minutes": logged.standard if logged else None,
        "mean_minutes": logged.mean if logged else None,
        "weight": logged.weight if logged else 0.0,
        "readings": [
            {"minutes": minutes, "is_far": is_far}
            for minutes, is_far in zip(readings, far_from_the_others(readings), strict=True)
        ],
    }


def _cents(money: Money) -> str:
    return str(money.for_display())


def time_in_words(told: ToldTime, units: UnitSystem) -> str:
    """The answer for the maker."""
    time = told.time
    lines = [f"  {_named(step)}: {step.minutes:.1f} min" for step in time.steps]
    low, high = print_minutes(time.low_minutes), print_minutes(time.high_minutes)
    each = time.each
    run = [
        f"Made {len(each)} at a time, the first takes {print_minutes(each[0])}, the last {print_minutes(each[-1])}, "
        f"all together {print_minutes(time.run_minutes)}."
    ]
    return "\n".join(
        [
            f"One bag takes {print_minutes(time.minutes)} ({low} to {high}).",
            f"At {told.workroom.hourly_pay.said()} an hour that is {time.pay.said()} of pay "
            f"({time.pay_low.said()} to {time.pay_high.said()}).",
            *(run if len(each) > 1 else []),
            *lines,
        ]
    )


def _named(step: TimeStep) -> str:
    return f"{step.number}. {step.name}" if step.number else step.name
