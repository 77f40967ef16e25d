"""`bagwright body`: how a stack of layers bends and stands."""

from __future__ import annotations

from dataclasses import asdict

from pydantic import Field

from bagwright.body.stack import stack_body
from bagwright.model.body import Body, Sheet
from bagwright.model.material import Held
from bagwright.units import MM_PER_INCH, UnitSystem, print_length, print_mass_gsm
from bagwright.workflows.contracts import Contract, MassGsm, OverhangMm, ThicknessMm, read_contract, reading


class LayerWords(Contract):
    """One layer of the stack."""

    name: str = Field(default="", max_length=200, description="what to call the layer, up to 200 characters")
    mass_gsm: MassGsm = Field(description="weight of the layer in g/m2, 1 to 20000")
    thickness_mm: ThicknessMm = Field(description="thickness of the layer in mm, 0.01 to 50")
    overhang_mm: OverhangMm = Field(description="overhang in the ruler test, 1 to 2000 mm")
    angle_deg: float = Field(
        default=41.5, ge=5, le=80, description="angle of the slope in the ruler test in degrees, 5 to 80"
    )
    held: Held = Field(default=Held.LOOSE, description="how it is held to the layer before: " + ", ".join(Held))


class BodyWords(Contract):
    """What `bagwright body` reads."""

    layers: list[LayerWords] = Field(
        min_length=1, max_length=40, description="list of 1 to 40 layers, from the outside in"
    )


def body_of_file(text: bytes) -> Body:
    """Body of the stack that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, BodyWords)
    return stack_body([_sheet(layer, number) for number, layer in enumerate(words.layers, start=1)])


def _sheet(layer: LayerWords, number: int) -> Sheet:
    return Sheet(
        name=layer.name or f"layer {number}",
        mass_gsm=reading(layer.mass_gsm),
        thickness_mm=reading(layer.thickness_mm),
        overhang_mm=reading(layer.overhang_mm),
        angle_deg=layer.angle_deg,
        held=layer.held,
    )


def body_as_json(body: Body) -> dict[str, object]:
    """The answer of `bagwright body`."""
    return {
        "mass_gsm": body.mass_gsm,
        "thickness_mm": body.thickness_mm,
        "rigidity_unm": asdict(body.rigidity_unm),
        "bending_length_mm": asdict(body.bending_length_mm),
        "standing_height_mm": asdict(body.standing_height_mm),
    }


def body_in_words(body: Body, units: UnitSystem) -> str:
    """The answer for the maker.

    >>> from bagwright.model.source import Band
    >>> body = Body(mass_gsm=340, thickness_mm=0.6, rigidity_unm=Band(52, 52), bending_length_mm=Band(25, 25),
    ...             standing_height_mm=Band(50, 50))
    >>> print(body_in_words(body, UnitSystem.METRIC).splitlines()[0])
    The stack weighs 340 g/m² and is about 0.6 mm thick.
    """
    low, high = (print_length(end, units).text for end in (body.standing_height_mm.low, body.standing_height_mm.high))
    thick = f"{body.thickness_mm:.1f} mm" if units is UnitSystem.METRIC else f"{body.thickness_mm / MM_PER_INCH:.3f} in"
    return (
        f"The stack weighs {print_mass_gsm(body.mass_gsm, units).text} and is about {thick} thick.\n"
        f"A strip of it, held at its foot, stands {low if low == high else f'{low} to {high}'} high by itself.\n"
        "Use this to compare stacks: the sides and corners of a bag hold it higher."
    )
