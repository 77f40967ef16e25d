"""Layers of a stack as JSON: words in, sheets out, lengthwise and crosswise."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Annotated

from pydantic import Field

from bagwright.body.bond import crosswise_bond
from bagwright.body.zones import sheets_left
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Bond, BondedSwatch, Sheet
from bagwright.model.material import Extent, Held
from bagwright.workflows.contracts import Contract, MassGsm, Measured, OverhangMm, ThicknessMm, reading, within

Share = Annotated[Measured, within(0, 1)]
AngleDeg = Annotated[float, Field(ge=5, le=80, description="angle of the slope in the ruler test in degrees, 5 to 80")]


class SwatchWords(Contract):
    """The ruler test on a scrap of two layers, bonded as they are in the bag."""

    overhang_mm: OverhangMm = Field(description="overhang of the scrap in the ruler test, 1 to 2000 mm")
    angle_deg: AngleDeg = 41.5


class SheetWords(Contract):
    """What is known of a material that lies in a stack."""

    name: str = Field(default="", max_length=200, description="what to call the layer, up to 200 characters")
    mass_gsm: MassGsm = Field(description="weight of the layer in g/m2, 1 to 20000")
    thickness_mm: ThicknessMm = Field(description="thickness of the layer in mm, 0.01 to 50")
    overhang_mm: OverhangMm = Field(description="overhang in the ruler test, 1 to 2000 mm")
    crosswise_overhang_mm: OverhangMm | None = Field(
        default=None, description="the same for a strip cut crosswise, 1 to 2000 mm, if it was tested"
    )
    angle_deg: AngleDeg = 41.5


class LayerWords(SheetWords):
    """One layer of the stack."""

    held: Held = Field(default=Held.LOOSE, description="how it is held to the layer before: " + ", ".join(Held))
    extent: Extent = Field(default=Extent.WHOLE, description="how far it reaches: " + ", ".join(Extent))
    zone: str = Field(
        default="", max_length=80, description="what the zone is called if its extent is a zone, up to 80 characters"
    )
    bond_share: Share | None = Field(
        default=None, description="share of bond to the layer before, 0 (slides freely) to 1 (cannot slide), if known"
    )
    swatch: SwatchWords | None = Field(
        default=None, description="ruler test on a bonded scrap of this layer and the one before, if there is one"
    )


class StackWords(Contract):
    """What a command reads that tells about one stack."""

    layers: list[LayerWords] = Field(
        min_length=1, max_length=40, description="list of 1 to 40 layers, from the outside in"
    )


def sheet_of_words(words: SheetWords, *, name: str) -> Sheet:
    """The sheet that is described, lengthwise; `name` if it has none of its own."""
    return Sheet(
        name=words.name or name,
        mass_gsm=reading(words.mass_gsm),
        thickness_mm=reading(words.thickness_mm),
        overhang_mm=reading(words.overhang_mm),
        angle_deg=words.angle_deg,
    )


def swatch_of_words(words: SwatchWords) -> BondedSwatch:
    """The ruler test that is described."""
    return BondedSwatch(overhang_mm=reading(words.overhang_mm), angle_deg=words.angle_deg)


def lengthwise_sheets(layers: Sequence[LayerWords]) -> list[Sheet]:
    """All layers but those of zones, as they bend lengthwise. Raises `FaultyInput` if a zone has no name, or all."""
    return zone_sheets(layers, "")


def zone_sheets(layers: Sequence[LayerWords], zone: str) -> list[Sheet]:
    """What lies in a zone, lengthwise: all layers but those of other zones. Raises `FaultyInput` as above.

    What lies behind a layer that is not there is held as it says; how firmly to the one before that is not known.
    """
    problems = list(_zone_problems(layers))
    if problems:
        raise FaultyInput(problems)
    left: list[Sheet] = []
    before = True
    for number, layer in enumerate(layers, start=1):
        lies = layer.zone in ("", zone)
        if lies:
            sheet = _lengthwise(layer, number)
            left.append(sheet if before else replace(sheet, bond=Bond()))
        before = lies
    return left


def zone_names(layers: Sequence[LayerWords]) -> list[str]:
    """Every zone that a layer covers, once."""
    return list(dict.fromkeys(layer.zone for layer in layers if layer.zone))


def _zone_problems(layers: Sequence[LayerWords]) -> Iterator[Problem]:
    for number, layer in enumerate(layers):
        if (layer.extent is Extent.ZONE) != bool(layer.zone):
            yield Problem(
                place=f"layers[{number}].zone",
                value=layer.zone,
                what="does not go with how far the layer reaches",
                allowed=f'a name if its extent is "{Extent.ZONE}", else none',
                remedy="Name the zone, or give the layer another extent.",
            )
    if layers[0].extent is Extent.ZONE:
        yield Problem(
            place="layers[0].extent",
            value=Extent.ZONE,
            what="leaves nothing outside the zone: this is the outermost layer",
            allowed=f"{Extent.WHOLE}, {Extent.NET}",
            remedy="Give the zone to a layer further in.",
        )


def crosswise_sheets(layers: Sequence[LayerWords]) -> list[Sheet]:
    """All layers but those of zones as they bend crosswise, those not tested so as lengthwise.

    No sheets at all if none was tested so.
    """
    lengthwise = lengthwise_sheets(layers)
    lying = [layer for layer in layers if not layer.zone]
    if not any(layer.crosswise_overhang_mm for layer in lying):
        return []
    bonds = [Bond(), *(crosswise_bond(a, b) for a, b in itertools.pairwise(lengthwise))]
    overhangs = [
        reading(layer.crosswise_overhang_mm) if layer.crosswise_overhang_mm else sheet.overhang_mm
        for layer, sheet in zip(lying, lengthwise, strict=True)
    ]
    return [replace(s, overhang_mm=o, bond=b) for s, o, b in zip(lengthwise, overhangs, bonds, strict=True)]


def seam_allowance_sheets(layers: Sequence[LayerWords]) -> list[Sheet]:
    """What lies in the seam allowances, lengthwise; no sheets at all if every layer reaches there, or none does."""
    reaches = [layer.extent is Extent.WHOLE for layer in layers if not layer.zone]
    return [] if all(reaches) else sheets_left(lengthwise_sheets(layers), reaches)


def _lengthwise(layer: LayerWords, number: int) -> Sheet:
    bond = Bond(
        share=reading(layer.bond_share) if layer.bond_share is not None else None,
        swatch=swatch_of_words(layer.swatch) if layer.swatch else None,
    )
    return replace(sheet_of_words(layer, name=f"layer {number}"), held=layer.held, bond=bond)
