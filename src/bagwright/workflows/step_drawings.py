"""Pictures of the steps of work, for paper and page."""

from __future__ import annotations

from bagwright.model.pattern import Pattern
from bagwright.model.work_step import WorkStep
from bagwright.output.drawing import Drawing
from bagwright.output.step_pictures import draw_step
from bagwright.output.svg import inline_svg

HOW_STEPS_ARE_DRAWN = (
    "In the pictures of the steps the bold line is sewn; dots lie on dots, and numbers on like numbers."
)


def step_drawing(pattern: Pattern, step: WorkStep, *, width_mm: float) -> Drawing | None:
    """What the step sews together, no wider than `width_mm`; None for a step without stitching."""
    chosen = set(step.seam_ids)
    return draw_step(pattern, [seam for seam in pattern.seams if seam.id in chosen], width_mm=width_mm)


def step_picture(pattern: Pattern, step: WorkStep, *, width_mm: float) -> str:
    """The same as an `<svg>` element, empty where there is none."""
    drawing = step_drawing(pattern, step, width_mm=width_mm)
    return inline_svg(drawing, id_prefix=f"step-{step.number}") if drawing else ""
