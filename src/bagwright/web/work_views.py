"""The order of work on the page: stages with their steps, in her units."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from markupsafe import Markup

from bagwright.model.cost import TimeStep
from bagwright.model.work_step import WorkStep
from bagwright.web.pages import WorkStage, WorkStepView
from bagwright.web.time_words import short_minutes
from bagwright.web.wording import Wording
from bagwright.workflows.work_words import STAGE_WORDS, cautions_once, step_facts


def work_stages(
    work: Sequence[WorkStep],
    steps: Sequence[TimeStep],
    say: Wording,
    *,
    draw: Callable[[WorkStep], str] = lambda _: "",
) -> tuple[WorkStage, ...]:
    """Steps by stage, with their times where those are known, and what `draw` draws of each as an `<svg>` element.

    A caution is told in full the first time, by its first words after that.
    """
    times = {step.id: step for step in steps}
    told: set[str] = set()
    stages = []
    for stage, staged in itertools.groupby(work, key=lambda step: step.stage):
        views = []
        for step in staged:
            cautions = cautions_once(step, told)
            time = times.get(step.id)
            minutes, why = (short_minutes(time.minutes), time.reckoned) if time else ("", "")
            facts = step_facts(step, say.workroom)
            views.append(WorkStepView(step.number, step.name, facts, cautions, minutes, why, Markup(draw(step))))
        stages.append(WorkStage(STAGE_WORDS[stage], tuple(views)))
    return tuple(stages)
