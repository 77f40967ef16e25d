"""The order of work in words."""

from __future__ import annotations

from bagwright.model.bag import Workroom
from bagwright.model.pattern import SeamKind, Stage
from bagwright.model.work_step import WorkStep
from bagwright.units import print_length

STAGE_WORDS = {
    Stage.PREPARE: "Prepare",
    Stage.FUSE: "Fuse, baste and quilt inner layers",
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


def step_facts(step: WorkStep, workroom: Workroom) -> str:
    """How long it is, how it is sewn, how many layers are met; nothing of a step without stitching."""
    if step.kind is None:
        return ""
    length = print_length(step.length_mm, workroom.units, fraction=workroom.fraction).text
    rows = f", {step.rows} rows" if step.rows > 1 else ""
    met = f"{step.layers} layers" if step.layers > 1 else "1 layer"
    return f"{length} {_KIND_WORDS[step.kind]}{rows}; at most {met} of cloth under the needle."


def cautions_once(step: WorkStep, told: set[str]) -> tuple[str, ...]:
    """Cautions of a step in full the first time, by their first words after that; `told` is kept up."""
    said = tuple(caution.partition(":")[0] + "." if caution in told else caution for caution in step.cautions)
    told |= set(step.cautions)
    return said
