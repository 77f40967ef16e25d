"""The small backpack: a boxed body closed by drawcords, two straps from the top of the back to the lower sides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import box_rules, boxed_panels, boxed_shell_steps, face_panel, shell_measures
from bagwright.drafting.casing import CASING_SPECS, casing_hems, casing_in_top, casing_measure, casing_piece, cord_need
from bagwright.drafting.lined_bag import caught_at, top_steps
from bagwright.drafting.measurements import FitRule, FormSpec, too_large
from bagwright.drafting.roles import CORD, LINING, OUTER, STRAP
from bagwright.drafting.size_specs import (
    SEAM_ALLOWANCE,
    STRAP_SPACING,
    STRAP_WIDTH,
    TOP_ALLOWANCE,
    depth_spec,
    height_spec,
    strap_length_spec,
    width_spec,
)
from bagwright.drafting.steps import Caught, StitchLine, against, along, number_steps
from bagwright.drafting.straps import (
    baste_step,
    first_end,
    fold_step,
    second_end,
    spaced_places,
    spaced_strap_rules,
    strap_measures,
    strap_piece,
)
from bagwright.errors import Problem
from bagwright.model.pattern import Pattern, SeamSide
from bagwright.model.piece import Notch, Piece

LOWER_END_MM = 12.0
"""How far above the boxed corner a strap's lower end starts."""

Sizes = Mapping[str, float]


def draft_backpack(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    panel, lining = boxed_panels(sizes)
    top_mm = panel.edge("top").length_mm
    strap, casing = strap_piece(sizes), casing_piece(top_mm, sizes)
    upper = spaced_places(top_mm / 2, sizes)
    lower = (LOWER_END_MM, LOWER_END_MM + sizes["strap_width_mm"])
    outer = _with_notches(panel, upper, lower)
    # Seen from behind, the first place along the top lies right; that strap goes down to the right.
    up = (first_end(strap, 1, upper[0]), first_end(strap, 2, upper[1]))
    down = (second_end(strap, 1, lower), second_end(strap, 2, lower))
    shells, gap = boxed_shell_steps(outer, lining)
    sides = shells[0].lines
    shells[0] = replace(
        shells[0],
        name="Sew the outer panels together at the sides, strap ends between them",
        lines=tuple(StitchLine(line.through, (end,)) for line, end in zip(sides, reversed(down), strict=True)),
    )
    held = [*((along(outer, 2, "top"), end) for end in up), *_lower_held(outer, down)]
    tops = caught_at(
        (along(outer, c, "top"), against(lining, c, "top"), casing_in_top(casing, c) + (up if c == 2 else ()))
        for c in (1, 2)
    )
    return Pattern(
        form="backpack",
        measurements_mm=dict(sizes),
        pieces=(outer, casing, lining, strap),
        seams=number_steps(
            [
                fold_step(strap),
                casing_hems(casing),
                baste_step(held, "the back"),
                *shells,
                *top_steps(tops, gap, "casing and straps"),
            ]
        ),
        assembled=(*shell_measures(outer, sizes), *strap_measures(sizes), casing_measure(sizes)),
        panels=(face_panel(sizes),),
        notions=(cord_need(top_mm, sizes),),
        cautions=(
            *(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.STRAP_LOAD),
            *(cautions.BACK_LOAD, cautions.CORD, cautions.RULES),
        ),
    )


def _with_notches(panel: Piece, upper: tuple[tuple[float, float], ...], lower: tuple[float, float]) -> Piece:
    tall = panel.edge("left").length_mm
    marks = [
        *(Notch("top", at) for place in upper for at in place),
        *(Notch("right", at) for at in lower),
        *(Notch("left", tall - at) for at in lower),
    ]
    return replace(panel, notches=(*panel.notches, *marks), note="The strap ends go on one of the two, the back.")


def _lower_held(outer: Piece, down: tuple[Caught, Caught]) -> tuple[tuple[SeamSide, Caught], ...]:
    return ((along(outer, 2, "right"), down[0]), (against(outer, 2, "left"), down[1]))


def _strap_too_wide_for_side(sizes: Sizes) -> Problem | None:
    widest = sizes["height_mm"] / 3
    return too_large(sizes, "strap_width_mm", widest, "is too wide for the lower side")


BACKPACK = FormSpec(
    key="backpack",
    name="Small backpack",
    summary="A boxed body that two cords close, with a lining and two straps for the shoulders.",
    measurements=(
        width_spec((150, 279.4, 500)),
        height_spec((200, 355.6, 600)),
        depth_spec((40, 114.3, 250)),
        strap_length_spec((300, 660.4, 1200)),
        replace(STRAP_WIDTH, default_mm=38.1),
        replace(STRAP_SPACING, default_mm=76.2),
        *CASING_SPECS,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    rules=(
        *box_rules(may_be_flat=False),
        *spaced_strap_rules("width_mm"),
        FitRule(("strap_width_mm", "height_mm"), _strap_too_wide_for_side),
    ),
    roles=(OUTER, LINING, STRAP, CORD),
    draft=draft_backpack,
)
