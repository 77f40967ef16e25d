"""The boxed-corner tote: two outer panels, two lining panels, two straps caught in the top seam."""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import (
    bottom_line,
    bottom_lines_around_gap,
    box_lines,
    box_rules,
    boxed_panel_outline,
    face_panel,
    open_box_bends,
    shell_measures,
    side_lines,
    turning_gap_mm,
)
from bagwright.drafting.lined_bag import top_steps
from bagwright.drafting.measurements import FormSpec
from bagwright.drafting.roles import LINING, OUTER, POCKET, STRAP
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
from bagwright.drafting.slip_pocket import (
    POCKET_RULES,
    POCKET_SPECS,
    pocket_lines,
    pocket_measures,
    pocket_steps,
    slip_pocket,
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
from bagwright.model.pattern import Pattern, SeamKind
from bagwright.model.piece import EdgeUse, Notch, Piece

Sizes = Mapping[str, float]


def draft_boxed_tote(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    outer, lining = _panel("outer", sizes), _panel("lining", sizes)
    strap, pocket = strap_piece(sizes), slip_pocket(sizes)
    return Pattern(
        form="boxed_tote",
        measurements_mm=dict(sizes),
        pieces=(outer, lining, strap, *([pocket] if pocket else [])),
        seams=number_steps(_steps(outer, lining, strap, pocket, sizes)),
        assembled=(*shell_measures(outer, sizes), *strap_measures(sizes), *pocket_measures(sizes)),
        panels=(face_panel(sizes),),
        cautions=(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.STRAP_LOAD, cautions.RULES),
    )


def _panel(role: str, sizes: Sizes) -> Piece:
    net = boxed_panel_outline(sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"])
    names = [edge.name for edge in net.edges]
    is_lining = role == "lining"
    has_pocket = is_lining and bool(sizes["inside_pockets"])
    return Piece(
        id=role,
        name="Lining panel" if is_lining else "Outer panel",
        role=role,
        net=net,
        allowance_mm={name: sizes["top_allowance_mm" if name == "top" else "seam_allowance_mm"] for name in names},
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        count=2,
        notches=_bottom_notches(sizes, is_lining=is_lining) + (() if is_lining else _strap_notches(sizes)),
        lines=pocket_lines(sizes, middle_mm=net.edge("top").length_mm / 2, top_mm=net.edge("top").start[1])
        if is_lining
        else (),
        bends=open_box_bends(sizes, is_lining=is_lining),
        note="The pocket goes on one of the two." if has_pocket else "",
    )


def _bottom_notches(sizes: Sizes, *, is_lining: bool) -> tuple[Notch, ...]:
    middle = sizes["width_mm"] / 2
    half_gap = turning_gap_mm(sizes["width_mm"]) / 2
    places = (middle - half_gap, middle + half_gap) if is_lining else (middle,)
    top_middle = Notch("top", (sizes["width_mm"] + sizes["depth_mm"]) / 2)
    return (*(Notch("bottom", at) for at in places), top_middle)


def _strap_places(sizes: Sizes) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the two strap ends lie along the top edge."""
    return spaced_places((sizes["width_mm"] + sizes["depth_mm"]) / 2, sizes)


def _strap_notches(sizes: Sizes) -> tuple[Notch, ...]:
    return tuple(Notch("top", at) for place in _strap_places(sizes) for at in place)


def _steps(outer: Piece, lining: Piece, strap: Piece, pocket: Piece | None, sizes: Sizes) -> list[Step]:
    beside_gap, gap = bottom_lines_around_gap(lining)
    lockstitch = SeamKind.LOCKSTITCH
    caught = {copy: both_ends(strap, copy, _strap_places(sizes)) for copy in (1, 2)}
    held = [(along(outer, copy, "top"), end) for copy in (1, 2) for end in caught[copy]]
    # Outer and lining lie face to face, so the lining's top is walked against the outer's.
    tops = tuple(StitchLine((along(outer, c, "top"), against(lining, c, "top")), caught[c]) for c in (1, 2))
    shell = [
        Step("outer-sides", "Sew the outer panels together at the sides", lockstitch, side_lines(outer)),
        Step("outer-bottom", "Sew the outer panels together at the bottom", lockstitch, (bottom_line(outer),)),
        Step("outer-box", "Box the lower corners of the outer", lockstitch, box_lines(outer)),
        Step("lining-sides", "Sew the lining panels together at the sides", lockstitch, side_lines(lining)),
        Step("lining-bottom", "Sew the bottom of the lining, leaving a gap between notches", lockstitch, beside_gap),
        Step("lining-box", "Box the lower corners of the lining", lockstitch, box_lines(lining)),
    ]
    straps = [fold_step(strap), baste_step(held, "the outer panels")]
    return [*straps, *pocket_steps(lining, pocket), *shell, *top_steps(tops, gap, "straps")]


BOXED_TOTE = FormSpec(
    key="boxed_tote",
    name="Boxed-corner tote",
    summary="An open bag with a flat base, a lining and two straps.",
    measurements=(
        width_spec((100, 330.2, 900)),
        height_spec((120, 355.6, 900)),
        depth_spec((20, 127, 500)),
        strap_length_spec((100, 609.6, 1800)),
        STRAP_WIDTH,
        STRAP_SPACING,
        *POCKET_SPECS,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    rules=(
        *box_rules(may_be_flat=False),
        *spaced_strap_rules("width_mm"),
        *POCKET_RULES,
    ),
    roles=(OUTER, LINING, STRAP, POCKET),
    draft=draft_boxed_tote,
)
