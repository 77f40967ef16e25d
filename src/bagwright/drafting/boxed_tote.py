"""The boxed-corner tote: two outer panels, two lining panels, two straps caught in the top seam."""

from __future__ import annotations

from bagwright.drafting.base_feet import base_feet, boxed_base
from bagwright.drafting.boxed_panel import box_rules, boxed_making
from bagwright.drafting.faces import boxed_faces
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.magnetic_snap import lining_snap
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import boxed_quilting
from bagwright.drafting.roles import LINING, OUTER, STRAP_ROLES
from bagwright.drafting.side_seams import boxed_side_seams
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
from bagwright.drafting.straps import both_on, spaced_places, spaced_strap_rules, with_straps
from bagwright.drafting.top_zip import boxed_top_zip


def begin_boxed_tote(sizes: Sizes) -> Making:
    """The tote with its straps."""
    places = spaced_places((sizes["width_mm"] + sizes["depth_mm"]) / 2, sizes)
    straps = (both_on("front", places), both_on("back", places))
    return with_straps(boxed_making(sizes), sizes, straps, "the outer panels")


BOXED_TOTE = FormSpec(
    key="boxed_tote",
    name="Boxed-corner tote",
    summary="An open bag with a flat base, a lining and two straps.",
    own_measurements=(
        width_spec((100, 330.2, 900)),
        height_spec((120, 355.6, 900)),
        depth_spec((20, 127, 500)),
        strap_length_spec((100, 609.6, 1800)),
        STRAP_KIND,
        STRAP_WIDTH,
        STRAP_SPACING,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    begin=begin_boxed_tote,
    own_rules=(*box_rules(may_be_flat=False), *spaced_strap_rules("width_mm")),
    own_roles=(OUTER, LINING, *STRAP_ROLES),
    add_ons=(
        *pocket_add_ons(boxed_faces(may_be_recessed=True), usual_inside=1, with_strap_ends=True),
        key_tab(boxed_side_seams(may_be_recessed=True)),
        boxed_top_zip(),
        boxed_quilting(),
        lining_snap(boxed_faces(may_be_recessed=True).inside),
        base_feet(boxed_base()),
    ),
)
