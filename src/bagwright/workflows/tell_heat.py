"""`bagwright heat`: whether the layers of a stack can be fused, how, and what to do if not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict

from pydantic import Field

from bagwright.body.heat import heat_plan
from bagwright.model.heat import FusePlan, HeatLayer, HeatPlan
from bagwright.model.material import Held, Layer, Material, MaterialKind
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, HeatC, read_contract, reading
from bagwright.workflows.shelf import Shelf


class HeatLayerWords(Contract):
    """One layer of the stack."""

    name: str = Field(default="", max_length=200, description="what to call the layer, up to 200 characters")
    kind: MaterialKind = Field(description="one of: " + ", ".join(MaterialKind))
    fibres: str = Field(default="", max_length=200, description="what it is made of, up to 200 characters")
    fusible_sides: int = Field(default=0, ge=0, le=2, description="how many sides carry glue: 0, 1 or 2")
    highest_iron_c: HeatC | None = Field(default=None, description="heat it bears in degrees C, 0 to 300")
    glue_needs_c: HeatC | None = Field(default=None, description="heat its glue needs in degrees C, 0 to 300")
    held: Held = Field(default=Held.LOOSE, description="how it is held to the layer before: " + ", ".join(Held))


class HeatWords(Contract):
    """What `bagwright heat` reads."""

    layers: list[HeatLayerWords] = Field(
        min_length=1, max_length=40, description="list of 1 to 40 layers, from the outside in"
    )


def heat_of_file(text: bytes) -> HeatPlan:
    """How the stack that JSON `text` describes is fused. Raises `FaultyInput` with every fault."""
    words = read_contract(text, HeatWords)
    return heat_plan([_heat_layer(layer, number) for number, layer in enumerate(words.layers, start=1)])


def _heat_layer(layer: HeatLayerWords, number: int) -> HeatLayer:
    return HeatLayer(
        name=layer.name or f"layer {number}",
        kind=layer.kind,
        fibres=layer.fibres,
        fusible_sides=layer.fusible_sides,
        highest_iron_c=None if layer.highest_iron_c is None else reading(layer.highest_iron_c),
        glue_needs_c=None if layer.glue_needs_c is None else reading(layer.glue_needs_c),
        held=layer.held,
    )


def heat_of_stack(layers: Sequence[Layer], shelf: Shelf, *, place: str) -> HeatPlan:
    """How a stack of materials from the shelf is fused. Raises `FaultyInput` naming `place` for what is not there."""
    return heat_plan([_from_shelf(layer, shelf, f"{place}[{i}]") for i, layer in enumerate(layers)])


def _from_shelf(layer: Layer, shelf: Shelf, place: str) -> HeatLayer:
    return heat_layer(shelf.material(layer.material_id, place=place), held=layer.held)


def heat_layer(material: Material, *, held: Held = Held.LOOSE) -> HeatLayer:
    """A material as an iron meets it."""
    return HeatLayer(
        name=material.name,
        kind=material.kind,
        fibres=material.fibres,
        fusible_sides=material.fusible_sides,
        highest_iron_c=material.highest_iron_c,
        glue_needs_c=material.glue_needs_c,
        held=held,
    )


def heat_as_json(plan: HeatPlan) -> dict[str, object]:
    """The answer of `bagwright heat`."""
    return {
        "joints": [_joint_as_json(joint) for joint in plan.joints],
        "notes": list(plan.notes),
        "assumed": list(plan.assumed),
        "cautions": list(plan.cautions),
    }


def _joint_as_json(joint: FusePlan) -> dict[str, object]:
    lists = {"conflicts": list(joint.conflicts), "ways_out": list(joint.ways_out)}
    return {**asdict(joint), "verdict": joint.verdict.value, **lists}


def heat_in_words(plan: HeatPlan, units: UnitSystem) -> str:
    """The answer for the maker, in both scales of heat whatever the units."""
    if not plan.joints:
        return "\n".join(["Nothing in this stack is fused.", *plan.notes])
    told = [line for joint in plan.joints for line in joint_lines(joint)]
    return "\n".join([*told, *plan.notes, *(f"Assumed: {one}" for one in plan.assumed), *plan.cautions])


def joint_lines(joint: FusePlan) -> Iterator[str]:
    """One joint in lines: the verdict, how to do it, what speaks against it, what to do instead."""
    yield f"{joint.inner} on {joint.outer}: {joint.verdict.value}."
    if joint.setting:
        steam = "steam if the leaflet says so" if joint.steam else "no steam"
        yield f"  Iron at {joint.setting}, on the side of {joint.press_on}, {steam}; between: {joint.press_cloth}."
    yield from (f"  {conflict}" for conflict in joint.conflicts)
    yield from (f"  Instead: {way}" for way in joint.ways_out)
