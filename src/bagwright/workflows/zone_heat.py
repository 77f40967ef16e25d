"""How a stack is fused where zones of it have layers of their own: each layer meets what lies outside it there."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from bagwright.model.heat import FusePlan, HeatPlan
from bagwright.model.material import Held, Layer
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.tell_heat import heat_of_stack


def stacks_by_zone(stack: Sequence[Layer]) -> dict[str, tuple[Layer, ...]]:
    """What lies on one another in each zone, and outside all of them under an empty name.

    >>> from bagwright.model.material import Extent
    >>> felt = Layer("felt", Extent.ZONE, Held.FUSED, "base")
    >>> [(name, len(layers)) for name, layers in stacks_by_zone([Layer("canvas"), felt]).items()]
    [('', 1), ('base', 2)]
    """
    zones = dict.fromkeys(("", *(layer.zone for layer in stack)))
    return {zone: tuple(layer for layer in stack if layer.zone in ("", zone)) for zone in zones}


def heat_of_zones(stack: Sequence[Layer], shelf: Shelf, *, place: str) -> HeatPlan:
    """The plan of the whole stack, every joint and note of any of its zones told once. Raises as `heat_of_stack`."""
    whole = heat_of_stack(stack, shelf, place=place)
    plans = [heat_of_stack(layers, shelf, place=place) for layers in stacks_by_zone(stack).values()]

    def every(lines: Callable[[HeatPlan], tuple[str, ...]]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(line for plan in plans for line in lines(plan)))

    joints = {(joint.outer, joint.inner): joint for plan in reversed(plans) for joint in reversed(plan.joints)}
    return HeatPlan(
        joints=tuple(reversed(joints.values())),
        notes=every(lambda plan: plan.notes),
        assumed=every(lambda plan: plan.assumed),
        cautions=whole.cautions,
    )


def fused_layers(stack: Sequence[Layer], shelf: Shelf, *, place: str) -> Iterator[tuple[Layer, FusePlan]]:
    """Every fused layer, from the cloth inwards, and how it is fused to what lies outside it in its zone.

    Raises as `heat_of_stack`.
    """
    heat_of_stack(stack, shelf, place=place)
    by_zone = stacks_by_zone(stack)
    for number, layer in enumerate(stack):
        if number and layer.held is Held.FUSED:
            there = by_zone[layer.zone]
            before = [one for one in stack[:number] if one.zone in ("", layer.zone)]
            is_fused = [one.held is Held.FUSED for one in (*before[1:], layer)]
            yield layer, heat_of_stack(there, shelf, place=place).joints[sum(is_fused) - 1]
