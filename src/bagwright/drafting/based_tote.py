"""The tote with a base of its own: one piece under the bag that comes up front and back, often of sturdier cloth."""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting.base_feet import base_feet, based_base
from bagwright.drafting.boxed_panel import (
    box_rules,
    boxed_panels,
    boxed_shell_steps,
    face_panel,
    panel_tops,
    side_lines,
)
from bagwright.drafting.faces import based_faces
from bagwright.drafting.form_spec import FitRule, FormSpec
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.lined_bag import shell_piece
from bagwright.drafting.magnetic_snap import lining_snap
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, size_spec, too_large
from bagwright.drafting.piping import base_piping
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import quilting
from bagwright.drafting.recess import below_recess
from bagwright.drafting.roles import BASE, LINING, OUTER, STRAP_ROLES
from bagwright.drafting.side_seams import based_side_seams
from bagwright.drafting.size_specs import (
    SEAM_ALLOWANCE,
    STRAP_KIND,
    STRAP_SPACING,
    STRAP_WIDTH,
    TOP_ALLOWANCE,
    depth_spec,
    height_spec,
    strap_length_spec,
    width_spec,
)
from bagwright.drafting.steps import Step, StitchLine, against, along, part
from bagwright.drafting.straps import both_on, spaced_places, spaced_strap_rules, with_straps
from bagwright.drafting.top_zip import boxed_top_zip
from bagwright.drafting.zone_names import BASE as BASE_ZONE
from bagwright.drafting.zone_names import FACES
from bagwright.errors import Problem
from bagwright.geometry.outline import polygon_outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Panel, SeamKind, Span, Stage
from bagwright.model.piece import Bend, Notch, Piece
from bagwright.model.zones import ZoneName

LEAST_BODY_MM = 60.0


def begin_based_tote(sizes: Sizes) -> Making:
    """Panels on a base, a boxed lining, and the straps."""
    outer, base, lining = _outer(sizes), _base(sizes), boxed_panels(below_recess(sizes))[1]
    lining_steps, gap = boxed_shell_steps(lining, with_gap=True)
    making = Making(
        pieces=(outer, base, lining),
        steps=(*_outer_steps(outer, base), *lining_steps),
        tops=panel_tops(outer, lining),
        gap=gap,
        assembled=_measures(sizes),
        panels=(
            face_panel(sizes),
            Panel(key="base", name="Base", piece_ids=("base", "lining"), height_mm=sizes["rise_mm"], copies=1),
        ),
    )
    places = spaced_places(_round_mm(sizes) / 2, sizes)
    return with_straps(making, sizes, (both_on("front", places), both_on("back", places)), "the outer panels")


def _round_mm(sizes: Sizes) -> float:
    return sizes["width_mm"] + sizes["depth_mm"]


def _outer(sizes: Sizes) -> Piece:
    wide, high, half = _round_mm(sizes), sizes["height_mm"] - sizes["rise_mm"], sizes["depth_mm"] / 2
    piece = shell_piece("panel", "outer", rectangle_outline(wide, high), sizes)
    return replace(
        piece,
        count=2,
        notches=(Notch("bottom", wide / 2), Notch("top", wide / 2)),
        bends=tuple(Bend((x, 0.0), (x, high), 90.0) for x in (half, wide - half)),
        zone_names=(
            ZoneName(FACES, (wide / 2, high / 2)),
            ZoneName("left side", (half / 2, high / 2)),
            ZoneName("right side", (wide - half / 2, high / 2)),
        ),
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
        zone_names=(
            ZoneName(BASE_ZONE, (wide / 2, top / 2)),
            *(ZoneName(f"lower {face}", (wide / 2, y)) for face, y in (("front", low / 2), ("back", high + low / 2))),
            *(
                ZoneName(f"{face} {hand} corner", (x, y))
                for face, y in (("front", low / 2), ("back", high + low / 2))
                for hand, x in (("left", half / 2), ("right", wide - half / 2))
            ),
        ),
    )


def _outer_steps(outer: Piece, base: Piece) -> list[Step]:
    lockstitch, stage = SeamKind.LOCKSTITCH, Stage.OUTER
    joins = tuple(
        StitchLine((along(outer, copy, "bottom"), against(base, 1, edge))) for copy, edge in ((1, "front"), (2, "back"))
    )
    corners = tuple(
        StitchLine((along(base, 1, f"{hand}_{first}"), against(base, 1, f"{hand}_{last}")))
        for hand, first, last in (("right", "front", "back"), ("left", "back", "front"))
    )
    base_on = "Sew an outer panel to the front and one to the back edge of the base"
    sides = "Sew the sides of the outer, base and panels in one go"
    box = "Box the lower corners of the outer"
    return [
        Step("base", base_on, lockstitch, joins, stage=stage),
        Step("base-edge", "Press to the base; topstitch on the base", SeamKind.TOPSTITCH, joins, stage=stage),
        Step("outer-sides", sides, lockstitch, (*side_lines(outer), *corners), stage=stage),
        Step("outer-box", box, lockstitch, _base_box_lines(base), stage=stage),
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
    own_measurements=(
        width_spec((120, 355.6, 900)),
        height_spec((150, 330.2, 900)),
        depth_spec((30, 127, 400)),
        size_spec("rise_mm", "Base rise", "How high the base comes up the front, back and sides.", (20, 76.2, 400)),
        strap_length_spec((100, 635, 1800)),
        STRAP_KIND,
        STRAP_WIDTH,
        STRAP_SPACING,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    begin=begin_based_tote,
    own_rules=(
        *box_rules(may_be_flat=False),
        FitRule(("rise_mm", "height_mm"), _rise_too_high),
        *spaced_strap_rules("width_mm"),
    ),
    own_roles=(OUTER, BASE, LINING, *STRAP_ROLES),
    add_ons=(
        *pocket_add_ons(based_faces(), with_strap_ends=True),
        key_tab(based_side_seams()),
        boxed_top_zip(),
        quilting("outer", ("width_mm", "depth_mm", "height_mm"), lambda s: (_round_mm(s), s["height_mm"])),
        lining_snap(based_faces().inside),
        base_feet(based_base()),
        base_piping(),
    ),
)
