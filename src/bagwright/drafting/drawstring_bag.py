"""The lined drawstring bag: boxed or flat corners, two cords through a casing along the top."""

from __future__ import annotations

from bagwright.drafting.base_feet import base_feet, boxed_base
from bagwright.drafting.boxed_panel import box_rules, boxed_making
from bagwright.drafting.casing import CASING_SPECS, with_casing
from bagwright.drafting.faces import boxed_faces
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.handles import along_top, hanging_loop
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes, size_spec
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import boxed_quilting
from bagwright.drafting.roles import CORD, LINING, OUTER
from bagwright.drafting.side_seams import boxed_side_seams
from bagwright.drafting.size_specs import SEAM_ALLOWANCE, TOP_ALLOWANCE, height_spec, width_spec


def begin_drawstring_bag(sizes: Sizes) -> Making:
    """The boxed body with its casing."""
    return with_casing(boxed_making(sizes), sizes)


DRAWSTRING_BAG = FormSpec(
    key="drawstring_bag",
    name="Drawstring bag",
    summary="A lined bag that two cords close along the top, its corners boxed or flat.",
    own_measurements=(
        width_spec((100, 228.6, 700)),
        height_spec((100, 279.4, 800)),
        size_spec("depth_mm", "Depth", "Finished depth of the base; 0 for a flat bag.", (0, 76.2, 300)),
        *CASING_SPECS,
        SEAM_ALLOWANCE,
        TOP_ALLOWANCE,
    ),
    begin=begin_drawstring_bag,
    own_rules=box_rules(may_be_flat=True),
    own_roles=(OUTER, LINING, CORD),
    add_ons=(
        *pocket_add_ons(boxed_faces()),
        key_tab(boxed_side_seams()),
        hanging_loop(along_top("back", "the back", "width_mm", "depth_mm")),
        boxed_quilting(),
        base_feet(boxed_base()),
    ),
)
