"""The bucket: a round base, and a wall in two halves; two straps."""

from __future__ import annotations

import math
from dataclasses import replace

from bagwright.drafting.base_feet import base_feet, round_base
from bagwright.drafting.boxed_panel import face_panel, panel_tops, side_lines, turning_gap_mm
from bagwright.drafting.faces import bucket_faces
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.handles import between_straps, hanging_loop
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.lined_bag import in_both, shell_piece, split
from bagwright.drafting.magnetic_snap import lining_snap
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, size_spec
from bagwright.drafting.piping import round_base_piping
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import quilting
from bagwright.drafting.roles import LINING, OUTER, STRAP_ROLES
from bagwright.drafting.round_end import round_end_outline, too_tight_rule
from bagwright.drafting.side_seams import bucket_side_seams
from bagwright.drafting.size_specs import (
    SEAM_ALLOWANCE,
    STRAP_KIND,
    STRAP_SPACING,
    STRAP_WIDTH,
    TOP_ALLOWANCE,
    height_spec,
    strap_length_spec,
)
from bagwright.drafting.steps import Step, StitchLine, against, along
from bagwright.drafting.straps import both_on, spaced_places, spaced_strap_rules, with_straps
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, Span, Stage
from bagwright.model.piece import Bend, Notch, Piece


def begin_bucket_bag(sizes: Sizes) -> Making:
    """Wall and base, outer and lining, with the straps."""
    walls, bases = in_both(lambda role: _wall(role, sizes)), in_both(lambda role: _base(role, sizes))
    spans = {
        "diameter_mm": (Span("base", "front", 1 / math.pi), Span("base", "back", 1 / math.pi)),
        "height_mm": (Span("outer", "right"),),
    }
    lining_steps, gap = _lining_steps(walls[1], bases[1], sizes)
    making = Making(
        pieces=(walls[0], bases[0], walls[1], bases[1]),
        steps=(*_outer_steps(walls[0], bases[0]), *lining_steps),
        tops=panel_tops(*walls),
        gap=gap,
        assembled=tuple(AssembledMeasure(key=key, asked_mm=sizes[key], spans=found) for key, found in spans.items()),
        panels=(face_panel(sizes),),
    )
    places = spaced_places(_half_round_mm(sizes) / 2, sizes)
    return with_straps(making, sizes, (both_on("front", places), both_on("back", places)), "the outer wall")


def _half_round_mm(sizes: Sizes) -> float:
    return math.pi * sizes["diameter_mm"] / 2


def _wall(role: str, sizes: Sizes) -> Piece:
    """Half the wall; notches on top and bottom quarter the round."""
    wide, high = _half_round_mm(sizes), sizes["height_mm"]
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


def _outer_steps(wall: Piece, base: Piece) -> list[Step]:
    lockstitch, stage = SeamKind.LOCKSTITCH, Stage.OUTER
    sides, rim = "Sew the two halves of the outer wall together", "Sew the base into the outer wall, notch to notch"
    return [
        Step("outer-sides", sides, lockstitch, side_lines(wall), stage=stage),
        Step("outer-base", rim, lockstitch, _rim(wall, base), stage=stage),
    ]


def _lining_steps(wall: Piece, base: Piece, sizes: Sizes) -> tuple[list[Step], StitchLine]:
    lockstitch, stage = SeamKind.LOCKSTITCH, Stage.LINING
    first, other = side_lines(wall)
    middle, half_gap = sizes["height_mm"] / 2, turning_gap_mm(sizes["height_mm"]) / 2
    beside, gap = split(first, middle - half_gap, middle + half_gap)
    sides = "Sew the lining wall, leaving a gap between notches"
    return [
        Step("lining-sides", sides, lockstitch, (*beside, other), stage=stage),
        Step("lining-base", "Sew the base into the lining wall", lockstitch, _rim(wall, base), stage=stage),
    ], gap


def _rim(wall: Piece, base: Piece) -> tuple[StitchLine, ...]:
    return tuple(
        StitchLine((along(wall, copy, "bottom"), against(base, 1, edge))) for copy, edge in ((1, "front"), (2, "back"))
    )


BUCKET_BAG = FormSpec(
    key="bucket_bag",
    name="Round-based bucket",
    summary="An open bag with a round base, a lining and two straps.",
    own_measurements=(
        size_spec("diameter_mm", "Diameter", "Finished diameter of the base, seam to seam.", (100, 203.2, 500)),
        height_spec((80, 254, 700)),
        strap_length_spec((100, 508, 1800)),
        STRAP_KIND,
        STRAP_WIDTH,
        replace(STRAP_SPACING, default_mm=101.6),
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    begin=begin_bucket_bag,
    own_rules=(
        too_tight_rule("diameter_mm"),
        *spaced_strap_rules("diameter_mm"),
    ),
    own_roles=(OUTER, LINING, *STRAP_ROLES),
    add_ons=(
        *pocket_add_ons(bucket_faces(), with_strap_ends=True),
        key_tab(bucket_side_seams()),
        hanging_loop(between_straps("back", "the back wall", "diameter_mm", share=math.pi / 2)),
        round_base_piping(),
        quilting("outer", ("diameter_mm", "height_mm"), lambda s: (_half_round_mm(s), s["height_mm"])),
        lining_snap(bucket_faces().inside),
        base_feet(round_base()),
    ),
)
