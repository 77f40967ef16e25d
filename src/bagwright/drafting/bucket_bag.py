"""The bucket: a round base, and a wall in two halves; two straps."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import face_panel, side_lines, turning_gap_mm
from bagwright.drafting.lined_bag import caught_at, in_both, shell_piece, split, top_steps
from bagwright.drafting.measurements import FitRule, FormSpec, size_spec, too_small
from bagwright.drafting.roles import LINING, OUTER, STRAP
from bagwright.drafting.round_end import round_end_outline
from bagwright.drafting.size_specs import (
    SEAM_ALLOWANCE,
    STRAP_SPACING,
    STRAP_WIDTH,
    TOP_ALLOWANCE,
    height_spec,
    strap_length_spec,
)
from bagwright.drafting.steps import Step, StitchLine, against, along, number_steps
from bagwright.drafting.straps import (
    baste_step,
    both_ends,
    fold_step,
    spaced_places,
    spaced_strap_rules,
    strap_measures,
    strap_piece,
)
from bagwright.errors import Problem
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Pattern, SeamKind, Span
from bagwright.model.piece import Bend, Notch, Piece

ALLOWANCES_IN_RADIUS = 4
"""The base's radius in seam allowances: tighter circles cannot be clipped and turned (common practice, no source)."""

Sizes = Mapping[str, float]


def draft_bucket_bag(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    walls, bases = in_both(lambda role: _wall(role, sizes)), in_both(lambda role: _base(role, sizes))
    strap = strap_piece(sizes)
    spans = {
        "diameter_mm": (Span("base", "front", 1 / math.pi), Span("base", "back", 1 / math.pi)),
        "height_mm": (Span("outer", "right"),),
    }
    measures = tuple(AssembledMeasure(key=key, asked_mm=sizes[key], spans=found) for key, found in spans.items())
    return Pattern(
        form="bucket_bag",
        measurements_mm=dict(sizes),
        pieces=(walls[0], bases[0], walls[1], bases[1], strap),
        seams=number_steps(_steps(walls, bases, strap, sizes)),
        assembled=(*measures, *strap_measures(sizes)),
        panels=(face_panel(sizes),),
        cautions=(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.STRAP_LOAD, cautions.RULES),
    )


def _half_round_mm(sizes: Sizes) -> float:
    return math.pi * sizes["diameter_mm"] / 2


def _wall(role: str, sizes: Sizes) -> Piece:
    """Half the wall; notches on top and bottom quarter the round."""
    wide, high = _half_round_mm(sizes), sizes["height_mm"]
    places = spaced_places(wide / 2, sizes) if role == "outer" else ()
    gap = turning_gap_mm(high) / 2
    sides = () if role == "outer" else tuple(Notch("right", high / 2 + at) for at in (-gap, gap))
    bend = Bend((wide / 2, 0.0), (wide / 2, high), 180.0 if role == "outer" else -180.0, sizes["diameter_mm"] / 2)
    return replace(
        shell_piece("panel", role, rectangle_outline(wide, high), sizes),
        name="Outer wall, half" if role == "outer" else "Lining wall, half",
        count=2,
        notches=(
            *(Notch(edge, wide / 2) for edge in ("bottom", "top")),
            *(Notch("bottom", wide * share) for share in (0.25, 0.75)),
            *(Notch("top", at) for place in places for at in place),
            *sides,
        ),
        bends=(bend,),
    )


def _base(role: str, sizes: Sizes) -> Piece:
    """A circle; notches at the side seams, the quarters and the eighths."""
    net = round_end_outline(sizes["diameter_mm"], ("front", "back"))
    half = _half_round_mm(sizes)
    notches = tuple(Notch(edge, half * share) for edge in ("front", "back") for share in (0.0, 0.25, 0.5, 0.75))
    return replace(
        shell_piece("base", role, net, sizes),
        name="Base" if role == "outer" else "Lining base",
        notches=notches,
        note="Clip the wall's allowance up to its stitch line before sewing the base in.",
    )


def _steps(walls: tuple[Piece, Piece], bases: tuple[Piece, Piece], strap: Piece, sizes: Sizes) -> list[Step]:
    outer, lining = walls
    lockstitch = SeamKind.LOCKSTITCH
    caught = {copy: both_ends(strap, copy, spaced_places(_half_round_mm(sizes) / 2, sizes)) for copy in (1, 2)}
    held = [(along(outer, copy, "top"), end) for copy in (1, 2) for end in caught[copy]]
    tops = caught_at((along(outer, c, "top"), against(lining, c, "top"), caught[c]) for c in (1, 2))
    first, other = side_lines(lining)
    middle, half_gap = sizes["height_mm"] / 2, turning_gap_mm(sizes["height_mm"]) / 2
    beside, gap = split(first, middle - half_gap, middle + half_gap)
    return [
        fold_step(strap),
        baste_step(held, "the outer wall"),
        Step("outer-sides", "Sew the two halves of the outer wall together", lockstitch, side_lines(outer)),
        Step("outer-base", "Sew the base into the outer wall, notch to notch", lockstitch, _rim(outer, bases[0])),
        Step("lining-sides", "Sew the lining wall, leaving a gap between notches", lockstitch, (*beside, other)),
        Step("lining-base", "Sew the base into the lining wall", lockstitch, _rim(lining, bases[1])),
        *top_steps(tops, gap, "straps"),
    ]


def _rim(wall: Piece, base: Piece) -> tuple[StitchLine, ...]:
    return tuple(
        StitchLine((along(wall, copy, "bottom"), against(base, 1, edge))) for copy, edge in ((1, "front"), (2, "back"))
    )


def _base_too_small(sizes: Sizes) -> Problem | None:
    least = 2 * ALLOWANCES_IN_RADIUS * sizes["seam_allowance_mm"]
    return too_small(sizes, "diameter_mm", least, "is too tight a circle for its seam allowance")


BUCKET_BAG = FormSpec(
    key="bucket_bag",
    name="Round-based bucket",
    summary="An open bag with a round base, a lining and two straps.",
    measurements=(
        size_spec("diameter_mm", "Diameter", "Finished diameter of the base, seam to seam.", (100, 203.2, 500)),
        height_spec((80, 254, 700)),
        strap_length_spec((100, 508, 1800)),
        STRAP_WIDTH,
        replace(STRAP_SPACING, default_mm=101.6),
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    rules=(
        FitRule(("diameter_mm", "seam_allowance_mm"), _base_too_small),
        *spaced_strap_rules("diameter_mm"),
    ),
    roles=(OUTER, LINING, STRAP),
    draft=draft_bucket_bag,
)
