"""The small backpack: a boxed body closed by drawcords, two straps from the top of the back to the lower sides."""

from __future__ import annotations

import math
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.adjustable_strap import ADJUSTER_SPECS
from bagwright.drafting.base_feet import base_feet, boxed_base
from bagwright.drafting.boxed_panel import box_rules, boxed_making
from bagwright.drafting.casing import CASING_SPECS, with_casing
from bagwright.drafting.faces import boxed_faces
from bagwright.drafting.form_spec import FitRule, FormSpec
from bagwright.drafting.handles import between_straps, hanging_loop
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, too_large, too_small
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import boxed_quilting
from bagwright.drafting.roles import CORD, LINING, LONG_STRAP_ROLES, OUTER
from bagwright.drafting.side_seams import backpack_side_seams
from bagwright.drafting.size_specs import (
    LONG_STRAP_KIND,
    SEAM_ALLOWANCE,
    STRAP_SPACING,
    STRAP_WIDTH,
    TOP_ALLOWANCE,
    depth_spec,
    height_spec,
    strap_length_spec,
    width_spec,
)
from bagwright.drafting.straps import (
    LEAST_DROP_MM,
    StrapEnd,
    spaced_places,
    spaced_strap_rules,
    strap_for_drop_mm,
    with_straps,
)
from bagwright.errors import Problem

LOWER_END_MM = 12.0
"""How far above the boxed corner a strap's lower end starts."""


def begin_backpack(sizes: Sizes) -> Making:
    """The boxed body with casing and straps."""
    making = with_casing(boxed_making(sizes), sizes)
    first, second = spaced_places(making.tops["back"].length_mm / 2, sizes)
    lower = (LOWER_END_MM, LOWER_END_MM + sizes["strap_width_mm"])
    # Seen from behind, the first place along the top lies right; that strap goes down to the right.
    straps = (
        (StrapEnd("back", first), StrapEnd("outer-sides:1", lower, held_on=1)),
        (StrapEnd("back", second), StrapEnd("outer-sides:0", lower, held_on=1)),
    )
    making = with_straps(making, sizes, straps, "the back").having(cautions=(cautions.BACK_LOAD,))
    return making.with_changed(replace(making.piece("outer"), note="The strap ends go on one of the two, the back."))


def _strap_too_wide_for_side(sizes: Sizes) -> Problem | None:
    return too_large(sizes, "strap_width_mm", sizes["height_mm"] / 3, "is too wide for the lower side")


def _strap_too_short(sizes: Sizes) -> Problem | None:
    """From the top of the back down to the side seam at half the depth, and room for an arm."""
    across = (sizes["width_mm"] - sizes["strap_spacing_mm"]) / 2
    down = sizes["height_mm"] - LOWER_END_MM - sizes["strap_width_mm"] / 2
    least = strap_for_drop_mm(LEAST_DROP_MM, math.hypot(across, sizes["depth_mm"] / 2, down))
    return too_small(
        sizes, "strap_length_mm", least, "does not reach from the top to the lower side with room for an arm"
    )


BACKPACK = FormSpec(
    key="backpack",
    name="Small backpack",
    summary="A boxed body that two cords close, with a lining and two straps for the shoulders.",
    own_measurements=(
        width_spec((150, 279.4, 500)),
        height_spec((200, 355.6, 600)),
        depth_spec((40, 114.3, 250)),
        strap_length_spec((300, 660.4, 1200)),
        LONG_STRAP_KIND,
        replace(STRAP_WIDTH, default_mm=38.1),
        *ADJUSTER_SPECS,
        replace(STRAP_SPACING, default_mm=76.2),
        *CASING_SPECS,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    begin=begin_backpack,
    own_rules=(
        *box_rules(may_be_flat=False),
        *spaced_strap_rules("width_mm"),
        FitRule(("strap_width_mm", "height_mm"), _strap_too_wide_for_side),
        FitRule(
            ("strap_length_mm", "height_mm", "width_mm", "depth_mm", "strap_spacing_mm", "strap_width_mm"),
            _strap_too_short,
        ),
    ),
    own_roles=(OUTER, LINING, *LONG_STRAP_ROLES, CORD),
    add_ons=(
        *pocket_add_ons(boxed_faces(), with_strap_ends=True),
        key_tab(backpack_side_seams()),
        hanging_loop(between_straps("back", "the back", "width_mm", "depth_mm")),
        boxed_quilting(),
        base_feet(boxed_base()),
    ),
)
