"""How the layers of a role are fused, if they can be: verdicts first, the how below."""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.errors import FaultyInput
from bagwright.model.heat import FusePlan, Fusing
from bagwright.model.material import Layer
from bagwright.web.fusing_pages import FusingView, JointView
from bagwright.workflows.desk import BagView
from bagwright.workflows.zone_heat import heat_of_zones


def fusing_view(stack: Sequence[Layer], view: BagView) -> FusingView | None:
    """None where nothing is fused and no glue is left open, or a material is not chosen yet."""
    try:
        plan = heat_of_zones(stack, view.shelf, place="layers")
    except FaultyInput:
        return None
    if not plan.joints and not plan.notes:
        return None
    return FusingView(
        joints=tuple(_joint(joint) for joint in plan.joints),
        notes=plan.notes,
        assumed=plan.assumed if plan.joints else (),
        cautions=plan.cautions,
    )


def _joint(joint: FusePlan) -> JointView:
    steam = "if the leaflet says so" if joint.steam else "none"
    how = (
        ("Iron", joint.setting),
        ("Press from", f"the side of {joint.press_on}"),
        ("Between", joint.press_cloth),
        ("Steam", steam),
    )
    return JointView(
        verdict=f"{joint.inner} on {joint.outer}: {joint.verdict.value}.",
        is_sure=joint.verdict is Fusing.CAN,
        how=how if joint.setting and joint.verdict is not Fusing.CANNOT else (),
        conflicts=joint.conflicts,
        ways_out=joint.ways_out,
    )
