"""Minutes of work on one bag, step by step: standard times, her own readings, practice over a run, rest."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from bagwright.costing.learning import practice_shares
from bagwright.costing.logged_time import Z_90, logged_time
from bagwright.costing.step_minutes import SETUP, RawStep, Task, raw_steps
from bagwright.errors import BrokenPromise
from bagwright.model.bag import Workroom
from bagwright.model.cost import TimePart, TimeStep
from bagwright.model.timing import WHOLE_BAG, LoggedTime

Readings = Mapping[str, Sequence[float]]
"""Minutes that she has measured, by the id of the step; those of a whole bag under `WHOLE_BAG`."""
NO_READINGS: Readings = MappingProxyType({})


def standard_minutes(normal_minutes: float, allowance_share: float) -> float:
    r"""Time with rest: normal time x (1 + allowance). :math:`t_s = t_n (1 + a)`

    Normal time is the observed one x rating. Valid for an allowance from 0; else `BrokenPromise`.

    >>> round(standard_minutes(0.60 * 0.80, 0.10 + 0.20), 9)
    0.624

    References
    ----------
    .. [1] S. Konz, chapter on time study in a handbook of industrial engineering: normal = observed x rating.
    """
    if not allowance_share >= 0:
        raise BrokenPromise(f"an allowance cannot be negative, got {allowance_share}")
    return normal_minutes * (1 + allowance_share)


def working_steps(
    task: Task,
    *,
    workroom: Workroom,
    readings: Readings = NO_READINGS,
    made: int | None = None,
    run_count: int = 1,
) -> tuple[TimeStep, ...]:
    """The steps of work on one bag out of a run, in their order; minutes are the average over the run.

    Each standard time gives way to her readings as in `logged_time`; the steps together (without setting up) give way
    to readings of whole bags in the same way, and each step takes its share of that. Then comes what practice saves
    over the run, then rest. Only setting up is shared by the run. Parts of a step add up to it. `made`: how many she
    has made before, where that is fewer than the readings tell (some were taken on another bag).
    """
    if run_count < 1:
        raise BrokenPromise(f"a run has at least one bag, got {run_count}")
    steps = [_known(raw, workroom, readings.get(raw.id, ())) for raw in raw_steps(task, workroom)]
    setup, *work = steps
    work = _as_whole_bags(work, workroom, readings.get(WHOLE_BAG, ()))
    shares = practice(workroom, made_before=made_before(readings) if made is None else made, count=run_count)
    saved = math.fsum(shares) / run_count - 1
    work = [_scaled(step, saved, f"practice, on average over {run_count} bags") for step in work]
    setup = _scaled(setup, 1 / run_count - 1, f"shared by {run_count} bags")
    return tuple(_rested(step, workroom.standards.allowance_share) for step in (setup, *work))


def made_before(readings: Readings) -> int:
    """How many bags she has timed, in whole or in part: at least the readings of the step that has most."""
    return max((len(times) for step, times in readings.items() if step != SETUP), default=0)


def practice(workroom: Workroom, *, made_before: int, count: int) -> tuple[float, ...]:
    """Time of each bag of a run as a share of the first one's, by the curve of the workroom."""
    return practice_shares(count, made_before=made_before, rate=workroom.learning_rate, model=workroom.learning_model)


def whole_bag_time(steps: Sequence[TimeStep], workroom: Workroom, times: Sequence[float]) -> LoggedTime:
    """The steps together, without setting up and before rest, as readings of whole bags leave them."""
    given = workroom.standards
    standard = math.fsum(step.minutes for step in steps)
    doubt = math.fsum(step.doubt for step in steps) / Z_90
    return logged_time(standard, times, doubt=doubt, standard_weight=given.standard_weight)


def _known(raw: RawStep, workroom: Workroom, times: Sequence[float]) -> TimeStep:
    """The step as her readings leave it, before rest."""
    given = workroom.standards
    standard = math.fsum(part.minutes for part in raw.parts)
    logged = logged_time(standard, times, doubt=given.doubt_share * standard, standard_weight=given.standard_weight)
    parts = raw.parts if logged.mean is None else _weighed(logged)
    step = TimeStep(id=raw.id, number=raw.number, name=raw.name, kind=raw.kind, minutes=0.0, reckoned="", logged=logged)
    return replace(_with_parts(step, parts), doubt=logged.doubt)


def _weighed(logged: LoggedTime) -> tuple[TimePart, ...]:
    n, mean = len(logged.readings), logged.mean or 0.0
    whose = "your reading of" if n == 1 else f"the mean of your {n} readings,"
    return (
        TimePart(f"{whose} {mean:.1f} min, for {logged.weight:.0%} of it", logged.weight * mean),
        TimePart(f"the standard time, {logged.standard:.1f} min, for the rest", (1 - logged.weight) * logged.standard),
    )


def _as_whole_bags(steps: list[TimeStep], workroom: Workroom, times: Sequence[float]) -> list[TimeStep]:
    before = math.fsum(step.minutes for step in steps)
    if not times or not before:
        return steps
    whole = whole_bag_time(steps, workroom, times)
    doubt = math.fsum(step.doubt for step in steps)
    wider = whole.doubt / doubt if doubt else 1.0
    says = f"its share of what {'a whole bag' if len(times) == 1 else f'{len(times)} whole bags'} took you"
    return [replace(_scaled(step, whole.minutes / before - 1, says), doubt=step.doubt * wider) for step in steps]


def _scaled(step: TimeStep, share: float, says: str) -> TimeStep:
    """The step with that share of it more (or less) as a part of its own."""
    if not share or not step.minutes:
        return step
    more = TimePart(says, step.minutes * share)
    return replace(_with_parts(step, (*step.parts, more)), doubt=step.doubt * (1 + share))


def _rested(step: TimeStep, allowance_share: float) -> TimeStep:
    rest = standard_minutes(step.minutes, allowance_share) - step.minutes
    if rest:
        parts = (*step.parts, TimePart(f"{allowance_share:.0%} for rest and small things", rest))
        step = replace(_with_parts(step, parts), doubt=standard_minutes(step.doubt, allowance_share))
    return replace(step, reckoned="; ".join(f"{part.says}: {part.minutes:.1f} min" for part in step.parts))


def _with_parts(step: TimeStep, parts: tuple[TimePart, ...]) -> TimeStep:
    return replace(step, parts=parts, minutes=math.fsum(part.minutes for part in parts))
