"""The order of work on the page: stages with their steps, in her units."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from bagwright.model.work_step import WorkStep
from bagwright.web.pages import WorkStage, WorkStepView
from bagwright.web.wording import Wording
from bagwright.workflows.work_words import STAGE_WORDS, cautions_once, step_facts


def work_stages(work: Sequence[WorkStep], say: Wording) -> tuple[WorkStage, ...]:
    """Steps by stage. A caution is told in full the first time, by its first words after that."""
    told: set[str] = set()
    stages = []
    for stage, steps in itertools.groupby(work, key=lambda step: step.stage):
        views = []
        for step in steps:
            cautions = cautions_once(step, told)
            views.append(WorkStepView(step.number, step.name, step_facts(step, say.workroom), cautions))
        stages.append(WorkStage(STAGE_WORDS[stage], tuple(views)))
    return tuple(stages)
