"""The gusseted shoulder bag: front, back and a strip between them, one strap from side to side."""

from __future__ import annotations

from bagwright.drafting.adjustable_strap import ADJUSTER_SPECS
from bagwright.drafting.base_feet import base_feet, gusset_base
from bagwright.drafting.faces import gusset_faces
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.gusset_shell import GUSSET_RULES, GUSSET_SPECS, gusset_making, strap_place
from bagwright.drafting.handles import along_top, grab_handle
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.magnetic_snap import lining_snap
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.piping import gusset_piping
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
from bagwright.drafting.straps import StrapEnd, with_straps
from bagwright.drafting.top_zip import gusset_top_zip


def begin_gusset_bag(sizes: Sizes) -> Making:
    """The gusseted body with its strap."""
    place = strap_place(sizes)
    strap = (StrapEnd("left", place), StrapEnd("right", place))
    return with_straps(gusset_making(sizes), sizes, (strap,), "the tops of the gusset")


GUSSET_BAG = FormSpec(
    key="gusset_bag",
    name="Gusseted shoulder bag",
    summary="Front and back with round lower corners, a gusset between them, a lining and one strap.",
    own_measurements=(
        width_spec((120, 304.8, 700)),
        height_spec((100, 228.6, 600)),
        depth_spec((25, 88.9, 300)),
        *GUSSET_SPECS,
        strap_length_spec((300, 762, 1800)),
        LONG_STRAP_KIND,
        STRAP_WIDTH,
        *ADJUSTER_SPECS,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    begin=begin_gusset_bag,
    own_rules=GUSSET_RULES,
    own_roles=(OUTER, LINING, *LONG_STRAP_ROLES),
    add_ons=(
        *pocket_add_ons(gusset_faces()),
        key_tab(gusset_side_seams()),
        gusset_top_zip(),
        grab_handle(along_top("back", "the back", "width_mm")),
        gusset_piping(),
        flat_quilting(),
        lining_snap(gusset_faces().inside),
        base_feet(gusset_base()),
    ),
)
