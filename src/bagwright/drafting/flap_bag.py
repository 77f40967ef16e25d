"""The flap bag worn across the body: a gusseted body, and a flap with round corners that falls over its front."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

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
from bagwright.drafting.lined_bag import caught_at, in_both, shell_piece, top_steps
from bagwright.drafting.measurements import FitRule, FormSpec, size_spec, too_large, too_small
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
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, number_steps
from bagwright.drafting.straps import baste_step, fold_step, strap_measures, strap_piece
from bagwright.errors import Problem
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.outline import Edge, Outline
from bagwright.model.pattern import AssembledMeasure, Panel, Pattern, SeamKind, Span
from bagwright.model.piece import Bend, Notch, Piece

FLAP_EASE_MM = 3.0
"""How much narrower than the body the flap is at each side, so that it does not stick out (common practice)."""
LEAST_FALL_MM = 40.0

Sizes = Mapping[str, float]


def draft_flap_bag(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    shell, lining = gusset_shells(sizes)
    strap = strap_piece(sizes, count=1)
    outer, ends = strap_on_gusset(strap, shell, sizes)
    flaps = in_both(lambda role: _flap(role, sizes))
    flap = Panel(
        key="flap",
        name="Flap",
        piece_ids=tuple(piece.id for piece in flaps),
        height_mm=sizes["flap_length_mm"],
        copies=1,
        is_upright=False,
    )
    return Pattern(
        form="flap_bag",
        measurements_mm=dict(sizes),
        pieces=(*outer.pieces, flaps[0], *lining.pieces, flaps[1], strap),
        seams=number_steps(_steps(outer, lining, flaps, strap, ends)),
        assembled=(*gusset_measures(sizes), *strap_measures(sizes), _flap_measure(sizes)),
        panels=(face_panel(sizes), flap),
        cautions=(
            *(cautions.BLADE, cautions.IRON, cautions.NEEDLE),
            *(cautions.STRAP_LOAD, cautions.ACROSS, cautions.RULES),
        ),
    )


def _flap(role: str, sizes: Sizes) -> Piece:
    """Open out, its top the edge that is sewn to the back; over the depth of the bag, then down the front."""
    wide, long, r = sizes["width_mm"] - 2 * FLAP_EASE_MM, sizes["flap_length_mm"], sizes["flap_radius_mm"]
    net = Outline(
        (
            Edge("bottom", (Line((r, 0.0), (wide - r, 0.0)),)),
            Edge("corner_right", (Arc((wide - r, 0.0), (wide - r, r), 90.0),)),
            Edge("right", (Line((wide, r), (wide, long)),)),
            Edge("top", (Line((wide, long), (0.0, long)),)),
            Edge("left", (Line((0.0, long), (0.0, r)),)),
            Edge("corner_left", (Arc((0.0, r), (r, r), 90.0),)),
        )
    )
    turn = 90.0 if role == "outer" else -90.0
    over = (long, long - sizes["depth_mm"])
    return replace(
        shell_piece("flap", role, net, sizes),
        id="flap" if role == "outer" else "lining_flap",
        name="Flap" if role == "outer" else "Flap lining",
        notches=(Notch("bottom", wide / 2 - r), Notch("top", wide / 2)),
        bends=tuple(Bend((0.0, y), (wide, y), turn) for y in over[1:]),
    )


def _steps(
    outer: GussetShell,
    lining: GussetShell,
    flaps: tuple[Piece, Piece],
    strap: Piece,
    ends: Mapping[str, Caught],
) -> list[Step]:
    tops = gusset_tops(outer, lining)
    flap, under = flaps
    outer_steps, _ = outer.steps(with_gap=False)
    lining_steps, gap = lining.steps(with_gap=True)
    rim = tuple(
        StitchLine((along(flap, 1, edge), against(under, 1, other)))
        for edge, other in (
            ("left", "right"),
            ("corner_left", "corner_right"),
            ("bottom", "bottom"),
            ("corner_right", "corner_left"),
            ("right", "left"),
        )
    )
    # The flap lies right side to right side on the back of the outer, so its top is walked against the back's.
    width, long = tops["back"][0].sewn_length_mm, flap.edge("top").length_mm
    place = ((width - long) / 2, (width + long) / 2)
    held = (Caught(*place, against(flap, 1, "top")), Caught(*place, along(under, 1, "top")))
    caught = {"back": held, **{key: (end,) for key, end in ends.items()}}
    back = tops["back"][0]
    lines = caught_at((out, inside, caught.get(key, ())) for key, (out, inside) in tops.items())
    loose = (replace(c, start_mm=0.0, end_mm=long) for c in held)
    on_back = replace(back, from_mm=place[0], to_mm=place[1])
    return [
        fold_step(strap),
        Step("flap", "Sew flap and flap lining together round sides and bottom", SeamKind.LOCKSTITCH, rim),
        Step("flap-edge", "Clip the curves, turn, press; topstitch round the flap", SeamKind.TOPSTITCH, rim),
        *outer_steps,
        *lining_steps,
        baste_step(((tops[key][0], end) for key, end in ends.items()), "the tops of the gusset"),
        Step(
            "flap-top",
            "Baste the flap to the top of the back, right side on right side",
            SeamKind.BASTE,
            (StitchLine((on_back,), tuple(loose)),),
        ),
        *top_steps(lines, gap, "strap and flap"),
    ]


def _flap_measure(sizes: Sizes) -> AssembledMeasure:
    spans = (Span("flap", "right"), Span("flap", "corner_right", 2 / math.pi))
    return AssembledMeasure(key="flap_length_mm", asked_mm=sizes["flap_length_mm"], spans=spans)


def _flap_too_long(sizes: Sizes) -> Problem | None:
    return too_large(sizes, "flap_length_mm", sizes["depth_mm"] + sizes["height_mm"], "hangs below the base")


def _flap_too_short(sizes: Sizes) -> Problem | None:
    least = sizes["depth_mm"] + max(LEAST_FALL_MM, sizes["flap_radius_mm"])
    return too_small(sizes, "flap_length_mm", least, "hardly falls over the front")


def _flap_too_round(sizes: Sizes) -> Problem | None:
    roundest = sizes["width_mm"] / 2 - FLAP_EASE_MM - 5
    return too_large(sizes, "flap_radius_mm", roundest, "leaves no straight edge along the flap")


def _fall_too_round(sizes: Sizes) -> Problem | None:
    return too_large(sizes, "flap_radius_mm", sizes["height_mm"] - 10, "is more than the front is high")


FLAP_BAG = FormSpec(
    key="flap_bag",
    name="Flap bag to wear across",
    summary="A gusseted body with a rounded flap over the front, a lining and a long strap.",
    measurements=(
        width_spec((120, 228.6, 600)),
        height_spec((100, 177.8, 500)),
        depth_spec((25, 63.5, 200)),
        *GUSSET_SPECS,
        size_spec("flap_length_mm", "Flap length", "From the back seam over the top to its tip.", (70, 190.5, 700)),
        size_spec("flap_radius_mm", "Flap corner radius", "Rounding of the two corners of the flap.", (12, 38.1, 250)),
        strap_length_spec((300, 1219.2, 1800)),
        STRAP_WIDTH,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    rules=(
        *GUSSET_RULES,
        FitRule(("flap_radius_mm", "width_mm"), _flap_too_round),
        FitRule(("flap_radius_mm", "height_mm"), _fall_too_round),
        FitRule(("flap_length_mm", "depth_mm", "flap_radius_mm"), _flap_too_short),
        FitRule(("flap_length_mm", "depth_mm", "height_mm"), _flap_too_long),
    ),
    roles=(OUTER, LINING, STRAP),
    draft=draft_flap_bag,
)
