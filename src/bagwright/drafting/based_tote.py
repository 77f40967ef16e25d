"""The tote with a base of its own: one piece under the bag that comes up front and back, often of sturdier cloth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import (
    bottom_lines_around_gap,
    box_lines,
    box_rules,
    boxed_panel_outline,
    face_panel,
    open_box_bends,
    side_lines,
    turning_gap_mm,
)
from bagwright.drafting.lined_bag import caught_at, shell_piece, top_steps
from bagwright.drafting.measurements import FitRule, FormSpec, size_spec, too_large
from bagwright.drafting.roles import BASE, LINING, OUTER, STRAP
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
from bagwright.drafting.steps import Step, StitchLine, against, along, number_steps, part
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
from bagwright.geometry.outline import polygon_outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Panel, Pattern, SeamKind, Span
from bagwright.model.piece import Bend, Notch, Piece

LEAST_BODY_MM = 60.0

Sizes = Mapping[str, float]


def draft_based_tote(sizes: Sizes) -> Pattern:
    """The pattern for a complete, accepted set of measurements."""
    outer, base, lining, strap = _outer(sizes), _base(sizes), _lining(sizes), strap_piece(sizes)
    return Pattern(
        form="based_tote",
        measurements_mm=dict(sizes),
        pieces=(outer, base, lining, strap),
        seams=number_steps(_steps(outer, base, lining, strap, sizes)),
        assembled=(*_measures(sizes), *strap_measures(sizes)),
        panels=(
            face_panel(sizes),
            Panel(key="base", name="Base", piece_ids=("base", "lining"), height_mm=sizes["rise_mm"], copies=1),
        ),
        cautions=(cautions.BLADE, cautions.IRON, cautions.NEEDLE, cautions.STRAP_LOAD, cautions.RULES),
    )


def _round_mm(sizes: Sizes) -> float:
    return sizes["width_mm"] + sizes["depth_mm"]


def _outer(sizes: Sizes) -> Piece:
    wide, high, half = _round_mm(sizes), sizes["height_mm"] - sizes["rise_mm"], sizes["depth_mm"] / 2
    piece = shell_piece("panel", "outer", rectangle_outline(wide, high), sizes)
    places = [at for place in spaced_places(wide / 2, sizes) for at in place]
    return replace(
        piece,
        count=2,
        notches=(Notch("bottom", wide / 2), Notch("top", wide / 2), *(Notch("top", at) for at in places)),
        bends=tuple(Bend((x, 0.0), (x, high), 90.0) for x in (half, wide - half)),
    )


def _base(sizes: Sizes) -> Piece:
    """Front edge below as drawn, back edge above; what is missing at either side is closed by boxing."""
    wide, deep, rise = _round_mm(sizes), sizes["depth_mm"], sizes["rise_mm"]
    half, low, high, top = deep / 2, rise, rise + deep, 2 * rise + deep
    net = polygon_outline(
        [
            ("front", (0.0, 0.0)),
            ("right_front", (wide, 0.0)),
            ("box_right_front", (wide, low)),
            ("end_right", (wide - half, low)),
            ("box_right_back", (wide - half, high)),
            ("right_back", (wide, high)),
            ("back", (wide, top)),
            ("left_back", (0.0, top)),
            ("box_left_back", (0.0, high)),
            ("end_left", (half, high)),
            ("box_left_front", (half, low)),
            ("left_front", (0.0, low)),
        ]
    )
    sides = (half, wide - half)
    return replace(
        shell_piece("base", "outer", net, sizes),
        name="Base",
        role="base",
        notches=(Notch("front", wide / 2), Notch("back", wide / 2), Notch("end_left", half), Notch("end_right", half)),
        bends=(
            *(Bend((half, y), (wide - half, y), 90.0) for y in (low, high)),
            *(Bend((x, a), (x, b), 90.0) for x in sides for a, b in ((0.0, low), (high, top))),
        ),
    )


def _lining(sizes: Sizes) -> Piece:
    net = boxed_panel_outline(sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"])
    middle, half_gap = sizes["width_mm"] / 2, turning_gap_mm(sizes["width_mm"]) / 2
    return replace(
        shell_piece("panel", "lining", net, sizes),
        count=2,
        notches=(*(Notch("bottom", middle + at) for at in (-half_gap, half_gap)), Notch("top", _round_mm(sizes) / 2)),
        bends=open_box_bends(sizes, is_lining=True),
    )


def _steps(outer: Piece, base: Piece, lining: Piece, strap: Piece, sizes: Sizes) -> list[Step]:
    beside_gap, gap = bottom_lines_around_gap(lining)
    lockstitch = SeamKind.LOCKSTITCH
    places = spaced_places(_round_mm(sizes) / 2, sizes)
    caught = {copy: both_ends(strap, copy, places) for copy in (1, 2)}
    held = [(along(outer, copy, "top"), end) for copy in (1, 2) for end in caught[copy]]
    joins = tuple(
        StitchLine((along(outer, copy, "bottom"), against(base, 1, edge))) for copy, edge in ((1, "front"), (2, "back"))
    )
    corners = tuple(
        StitchLine((along(base, 1, f"{hand}_{first}"), against(base, 1, f"{hand}_{last}")))
        for hand, first, last in (("right", "front", "back"), ("left", "back", "front"))
    )
    sides = side_lines(outer)
    tops = caught_at((along(outer, c, "top"), against(lining, c, "top"), caught[c]) for c in (1, 2))
    return [
        fold_step(strap),
        baste_step(held, "the outer panels"),
        Step("base", "Sew an outer panel to the front and one to the back edge of the base", lockstitch, joins),
        Step("base-edge", "Press to the base; topstitch on the base", SeamKind.TOPSTITCH, joins),
        Step("outer-sides", "Sew the sides of the outer, base and panels in one go", lockstitch, (*sides, *corners)),
        Step("outer-box", "Box the lower corners of the outer", lockstitch, _base_box_lines(base)),
        Step("lining-sides", "Sew the lining panels together at the sides", lockstitch, side_lines(lining)),
        Step("lining-bottom", "Sew the bottom of the lining, leaving a gap between notches", lockstitch, beside_gap),
        Step("lining-box", "Box the lower corners of the lining", lockstitch, box_lines(lining)),
        *top_steps(tops, gap, "straps"),
    ]


def _base_box_lines(base: Piece) -> tuple[StitchLine, ...]:
    """Each end of the base against the two ledges beside it, outwards from the corners to the side seam."""
    lines = []
    for hand, first, last in (("right", "front", "back"), ("left", "back", "front")):
        end, back = along(base, 1, f"end_{hand}"), against(base, 1, f"end_{hand}")
        half = end.edge_length_mm / 2
        lines += [
            StitchLine((against(base, 1, f"box_{hand}_{first}"), part(end, 0.0, half))),
            StitchLine((along(base, 1, f"box_{hand}_{last}"), part(back, 0.0, half))),
        ]
    return tuple(lines)


def _measures(sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    spans = {
        "width_mm": (Span("base", "front"), Span("base", "end_right", -1.0)),
        "height_mm": (Span("outer", "right"), Span("base", "right_front")),
        "depth_mm": (Span("base", "end_right"),),
        "rise_mm": (Span("base", "right_front"),),
    }
    return tuple(AssembledMeasure(key=key, asked_mm=sizes[key], spans=found) for key, found in spans.items())


def _rise_too_high(sizes: Sizes) -> Problem | None:
    return too_large(sizes, "rise_mm", sizes["height_mm"] - LEAST_BODY_MM, "leaves no body above the base")


BASED_TOTE = FormSpec(
    key="based_tote",
    name="Tote with a separate base",
    summary="An open bag whose base and lower sides are one sturdier piece, with a lining and two straps.",
    measurements=(
        width_spec((120, 355.6, 900)),
        height_spec((150, 330.2, 900)),
        depth_spec((30, 127, 400)),
        size_spec("rise_mm", "Base rise", "How high the base comes up the front, back and sides.", (20, 76.2, 400)),
        strap_length_spec((100, 635, 1800)),
        STRAP_WIDTH,
        STRAP_SPACING,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    rules=(
        *box_rules(may_be_flat=False),
        FitRule(("rise_mm", "height_mm"), _rise_too_high),
        *spaced_strap_rules("width_mm"),
    ),
    roles=(OUTER, BASE, LINING, STRAP),
    draft=draft_based_tote,
)
