"""The flap bag worn across the body: a gusseted body, and a flap with round corners that falls over its front."""

from __future__ import annotations

import math
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.adjustable_strap import ADJUSTER_SPECS
from bagwright.drafting.base_feet import base_feet, gusset_base
from bagwright.drafting.faces import gusset_faces
from bagwright.drafting.form_spec import FitRule, FormSpec
from bagwright.drafting.gusset_shell import GUSSET_RULES, GUSSET_SPECS, gusset_making, strap_place
from bagwright.drafting.handles import along_top, grab_handle
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.lined_bag import in_both, shell_piece
from bagwright.drafting.magnetic_snap import flap_snap
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, size_spec, too_large, too_small
from bagwright.drafting.piping import flap_piping
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import flat_quilting
from bagwright.drafting.roles import LINING, LONG_STRAP_ROLES, OUTER
from bagwright.drafting.side_seams import gusset_side_seams
from bagwright.drafting.size_specs import (
    LONG_STRAP_KIND,
    SEAM_ALLOWANCE,
    STRAP_WIDTH,
    TOP_ALLOWANCE,
    depth_spec,
    height_spec,
    strap_length_spec,
    width_spec,
)
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.drafting.straps import StrapEnd, with_straps
from bagwright.drafting.top_zip import gusset_top_zip
from bagwright.errors import Problem
from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.outline import Edge, Outline
from bagwright.model.pattern import AssembledMeasure, Panel, SeamKind, Span, Stage
from bagwright.model.piece import Bend, Notch, Piece
from bagwright.model.zones import ZoneName

FLAP_EASE_MM = 3.0
"""How much narrower than the body the flap is at each side, so that it does not stick out (common practice)."""
LEAST_FALL_MM = 40.0
_DOWN = "flap, down the front"


def begin_flap_bag(sizes: Sizes) -> Making:
    """The gusseted body with its strap and its flap."""
    place = strap_place(sizes)
    strap = (StrapEnd("left", place), StrapEnd("right", place))
    making = with_straps(gusset_making(sizes), sizes, (strap,), "the tops of the gusset")
    flap, under = in_both(lambda role: _flap(role, sizes))
    panel = Panel(
        key="flap",
        name="Flap",
        piece_ids=(flap.id, under.id),
        height_mm=sizes["flap_length_mm"],
        copies=1,
        is_upright=False,
        zone=_DOWN,
    )
    making = replace(making, panels=(*making.panels, panel))
    return _with_flap(making, flap, under).having(assembled=(_flap_measure(sizes),), cautions=(cautions.ACROSS,))


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
    # It turns where it is sewn on, and again where it goes down the front.
    over = (long, long - sizes["depth_mm"])
    return replace(
        shell_piece("flap", role, net, sizes),
        id="flap" if role == "outer" else "lining_flap",
        name="Flap" if role == "outer" else "Flap lining",
        notches=(Notch("bottom", wide / 2 - r), Notch("top", wide / 2)),
        bends=tuple(Bend((0.0, y), (wide, y), turn) for y in over),
        zone_names=(
            ZoneName("flap, over the top", (wide / 2, sum(over) / 2)),
            ZoneName(_DOWN, (wide / 2, over[1] / 2)),
        ),
    )


def _with_flap(making: Making, flap: Piece, under: Piece) -> Making:
    """The flap sewn to its lining, basted to the back and caught in its top."""
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
    back, long = making.tops["back"].through[0], flap.edge("top").length_mm
    start, end = (back.sewn_length_mm - long) / 2, (back.sewn_length_mm + long) / 2
    sides = (against(flap, 1, "top"), along(under, 1, "top"))
    held = StitchLine((part(back, start, end),), tuple(Caught(0.0, long, side) for side in sides))
    lockstitch, stage = SeamKind.LOCKSTITCH, Stage.OUTER
    edge = "Clip the curves, turn, press; topstitch round the flap"
    hold = "Baste the flap to the top of the back, right side on right side"
    return making.having(
        pieces=(flap, under),
        steps=(
            Step("flap", "Sew flap and flap lining together round sides and bottom", lockstitch, rim, stage=stage),
            Step("flap-edge", edge, SeamKind.TOPSTITCH, rim, stage=stage),
            Step("flap-top", hold, SeamKind.BASTE, (held,), stage=stage),
        ),
    ).catching("back", *(Caught(start, end, side) for side in sides), word="the flap")


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
    own_measurements=(
        width_spec((120, 228.6, 600)),
        height_spec((100, 177.8, 500)),
        depth_spec((25, 63.5, 200)),
        *GUSSET_SPECS,
        size_spec("flap_length_mm", "Flap length", "From the back seam over the top to its tip.", (70, 190.5, 700)),
        size_spec("flap_radius_mm", "Flap corner radius", "Rounding of the two corners of the flap.", (12, 38.1, 250)),
        strap_length_spec((300, 1219.2, 1800)),
        LONG_STRAP_KIND,
        STRAP_WIDTH,
        *ADJUSTER_SPECS,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    begin=begin_flap_bag,
    own_rules=(
        *GUSSET_RULES,
        FitRule(("flap_radius_mm", "width_mm"), _flap_too_round),
        FitRule(("flap_radius_mm", "height_mm"), _fall_too_round),
        FitRule(("flap_length_mm", "depth_mm", "flap_radius_mm"), _flap_too_short),
        FitRule(("flap_length_mm", "depth_mm", "height_mm"), _flap_too_long),
    ),
    own_roles=(OUTER, LINING, *LONG_STRAP_ROLES),
    add_ons=(
        *pocket_add_ons(gusset_faces()),
        key_tab(gusset_side_seams()),
        gusset_top_zip(),
        grab_handle(along_top("back", "the back", "width_mm")),
        flap_piping(),
        flat_quilting(),
        flap_snap(),
        base_feet(gusset_base()),
    ),
)
