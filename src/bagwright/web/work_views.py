"""The order of work on the page: stages with their steps, in her units."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from bagwright.model.pattern import SeamKind, Stage
from bagwright.model.work_step import WorkStep
from bagwright.web.pages import WorkStage, WorkStepView
from bagwright.web.wording import Wording

_STAGE_WORDS = {
    Stage.PREPARE: "Prepare",
    Stage.FUSE: "Fuse",
    Stage.PARTS: "Straps and other parts",
    Stage.POCKETS: "Pockets",
    Stage.ZIPS: "Zips",
    Stage.LINING: "Lining",
    Stage.OUTER: "Outer",
    Stage.JOIN: "Join",
    Stage.CLOSE: "Close and finish",
}
_KIND_WORDS = {
    SeamKind.LOCKSTITCH: "to sew",
    SeamKind.ZIP: "to sew with the zip foot",
    SeamKind.TOPSTITCH: "to topstitch",
    SeamKind.BASTE: "to baste",
    SeamKind.HEM: "to hem or edge-stitch",
    SeamKind.QUILT: "to quilt",
}


def work_stages(work: Sequence[WorkStep], say: Wording) -> tuple[WorkStage, ...]:
    """Steps by stage. A caution is told in full the first time, by its first words after that."""
    told: set[str] = set()
    stages = []
    for stage, steps in itertools.groupby(work, key=lambda step: step.stage):
        views = []
        for step in steps:
            cautions = tuple(c.partition(":")[0] + "." if c in told else c for c in step.cautions)
            told |= set(step.cautions)
            views.append(WorkStepView(step.number, step.name, _facts(step, say), cautions))
        stages.append(WorkStage(_STAGE_WORDS[stage], tuple(views)))
    return tuple(stages)


def _facts(step: WorkStep, say: Wording) -> str:
    if step.kind is None:
        return ""
    rows = f", {step.rows} rows" if step.rows > 1 else ""
    met = f"{step.layers} layers" if step.layers > 1 else "1 layer"
    return f"{say.length(step.length_mm)} {_KIND_WORDS[step.kind]}{rows}; at most {met} of cloth under the needle."
