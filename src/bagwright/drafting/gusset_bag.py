"""The gusseted shoulder bag: front, back and a strip between them, one strap from side to side."""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import face_panel
from bagwright.drafting.gusset_shell import (
    GUSSET_RULES,
    GUSSET_SPECS,
    GussetShell,
    gusset_measures,
    gusset_shells,
    gusset_tops,
    strap_on_gusset,
)
from bagwright.drafting.lined_bag import caught_at, top_steps
from bagwright.drafting.measurements import FormSpec
from bagwright.drafting.roles import LINING, OUTER, STRAP
from bagwright.drafting.size_specs import (
    SEAM_ALLOWANCE,
    STRAP_WIDTH,
    TOP_ALLOWANCE,
    depth_spec,
    height_spec,
    strap_length_spec,
    width_spec,
)
from bagwright.drafting.steps import Caught, Step, number_steps
from bagwright.drafting.straps import baste_step, fold_step, strap_measures, strap_piece
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece

Sizes = Mapping[str, float]


def draft_gusset_bag(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    shell, lining = gusset_shells(sizes)
    strap = strap_piece(sizes, count=1)
    outer, ends = strap_on_gusset(strap, shell, sizes)
    return Pattern(
        form="gusset_bag",
        measurements_mm=dict(sizes),
        pieces=(*outer.pieces, *lining.pieces, strap),
        seams=number_steps(_steps(outer, lining, strap, ends)),
        assembled=(*gusset_measures(sizes), *strap_measures(sizes)),
        panels=(face_panel(sizes),),
        cautions=(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.STRAP_LOAD, cautions.RULES),
    )


def _steps(outer: GussetShell, lining: GussetShell, strap: Piece, ends: Mapping[str, Caught]) -> list[Step]:
    tops = gusset_tops(outer, lining)
    outer_steps, _ = outer.steps(with_gap=False)
    lining_steps, gap = lining.steps(with_gap=True)
    lines = caught_at((out, inside, (ends[key],) if key in ends else ()) for key, (out, inside) in tops.items())
    held = baste_step(((tops[key][0], end) for key, end in ends.items()), "the tops of the gusset")
    return [fold_step(strap), *outer_steps, *lining_steps, held, *top_steps(lines, gap, "the strap")]


GUSSET_BAG = FormSpec(
    key="gusset_bag",
    name="Gusseted shoulder bag",
    summary="Front and back with round lower corners, a gusset between them, a lining and one strap.",
    measurements=(
        width_spec((120, 304.8, 700)),
        height_spec((100, 228.6, 600)),
        depth_spec((25, 88.9, 300)),
        *GUSSET_SPECS,
        strap_length_spec((300, 762, 1800)),
        STRAP_WIDTH,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    rules=GUSSET_RULES,
    roles=(OUTER, LINING, STRAP),
    draft=draft_gusset_bag,
)
