"""Working time in words: of a bag, of a run, with practice."""

from __future__ import annotations

from bagwright.model.bag import Workroom
from bagwright.model.cost import BagTime
from bagwright.model.timing import LearningModel
from bagwright.units import print_minutes
from bagwright.workflows.runs import RunView

_FALLS = {
    LearningModel.UNIT: "the time of a bag falls to {share} whenever twice as many were made (unit model)",
    LearningModel.AVERAGE: (
        "the average time of all bags so far falls to {share} whenever twice as many were made "
        "(cumulative-average model)"
    ),
}


def short_minutes(minutes: float) -> str:
    """Minutes of a step.

    >>> short_minutes(2.25), short_minutes(14.0), short_minutes(100.2)
    ('2.2 min', '14 min', '1 h 40 min')
    """
    return f"{minutes:.1f}".removesuffix(".0") + " min" if minutes < 60 else print_minutes(minutes)


def range_words(time: BagTime) -> str:
    """The range of a bag's minutes."""
    return f"{print_minutes(time.low_minutes)} to {print_minutes(time.high_minutes)}"


def practice_words(workroom: Workroom) -> str:
    """What practice is reckoned with."""
    if workroom.learning_rate == 1:
        return "Practice is not reckoned with: every bag is taken to last as long as the next one."
    share = f"{workroom.learning_rate:.0%}".replace("%", " %")
    return f"With practice, {_FALLS[workroom.learning_model].format(share=share)}."


def counts_words(workroom: Workroom) -> str:
    """How her times stand in for the standard ones."""
    weight = workroom.standards.standard_weight
    return (
        f"A standard time counts as much as {weight:g} of your times: the more you take, the less it weighs. None is "
        "left out, however far off. Pauses are not in your times, so rest is added to them as to standard times."
    )


def each_words(time: BagTime) -> str:
    """The first and the last of a run, if there are several."""
    count, first, last = len(time.each), time.each[0], time.each[-1]
    if count == 1:
        return ""
    if print_minutes(first) == print_minutes(last):
        return f"Made {count} at a time, each takes {print_minutes(first)}."
    return f"Made {count} at a time, the first takes {print_minutes(first)}, the last {print_minutes(last)}."


def run_time_words(view: RunView) -> tuple[str, ...]:
    """A line for each bag of a run whose time is known."""
    named = [(bag.bag.name, time) for bag, time in zip(view.answer.bags, view.times, strict=True) if time]
    return tuple(f"{name}. {_of_run(time)}" for name, time in named)


def _of_run(time: BagTime) -> str:
    each = each_words(time) or f"One takes {print_minutes(time.minutes)}."
    low, high = time.run_low_minutes, time.run_high_minutes
    before = f" You have timed {time.made_before} before." if time.made_before else ""
    return (
        f"{each} All together {print_minutes(time.run_minutes)} ({print_minutes(low)} to {print_minutes(high)}), "
        f"{time.run_pay.said()} of pay.{before}"
    )
