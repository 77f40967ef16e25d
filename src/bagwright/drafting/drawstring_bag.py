"""The lined drawstring bag: boxed or flat corners, two cords through a casing along the top."""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import box_rules, boxed_panels, boxed_shell_steps, face_panel, shell_measures
from bagwright.drafting.casing import CASING_SPECS, casing_hems, casing_in_top, casing_measure, casing_piece, cord_need
from bagwright.drafting.lined_bag import caught_at, top_steps
from bagwright.drafting.measurements import FormSpec, size_spec
from bagwright.drafting.roles import CORD, LINING, OUTER
from bagwright.drafting.size_specs import SEAM_ALLOWANCE, TOP_ALLOWANCE, height_spec, width_spec
from bagwright.drafting.steps import against, along, number_steps
from bagwright.model.pattern import Pattern

Sizes = Mapping[str, float]


def draft_drawstring_bag(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    outer, lining = boxed_panels(sizes)
    top_mm = outer.edge("top").length_mm
    casing = casing_piece(top_mm, sizes)
    shells, gap = boxed_shell_steps(outer, lining)
    tops = caught_at(
        (along(outer, copy, "top"), against(lining, copy, "top"), casing_in_top(casing, copy)) for copy in (1, 2)
    )
    steps = [casing_hems(casing), *shells, *top_steps(tops, gap, "the casing")]
    return Pattern(
        form="drawstring_bag",
        measurements_mm=dict(sizes),
        pieces=(outer, casing, lining),
        seams=number_steps(steps),
        assembled=(*shell_measures(outer, sizes), casing_measure(sizes)),
        panels=(face_panel(sizes),),
        notions=(cord_need(top_mm, sizes),),
        cautions=(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.CORD, cautions.RULES),
    )


DRAWSTRING_BAG = FormSpec(
    key="drawstring_bag",
    name="Drawstring bag",
    summary="A lined bag that two cords close along the top, its corners boxed or flat.",
    measurements=(
        width_spec((100, 228.6, 700)),
        height_spec((100, 279.4, 800)),
        size_spec("depth_mm", "Depth", "Finished depth of the base; 0 for a flat bag.", (0, 76.2, 300)),
        *CASING_SPECS,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    rules=box_rules(may_be_flat=True),
    roles=(OUTER, LINING, CORD),
    draft=draft_drawstring_bag,
)
