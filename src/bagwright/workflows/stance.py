"""The body of every panel of a bag, from the stacks of the pieces it is made of."""

from __future__ import annotations

import itertools
from collections.abc import Container, Sequence
from dataclasses import replace

from bagwright.body.bond import crosswise_bond
from bagwright.body.panel import panel_body
from bagwright.model.body import Bond, PanelBody, Sheet
from bagwright.model.material import Held, Layer
from bagwright.model.pattern import Panel, Pattern
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import Stacks, layers_on
from bagwright.workflows.shelf import Shelf, known
from bagwright.workflows.zone_layers import layers_left, main_layers


def panel_bodies(pattern: Pattern, stacks: Stacks, shelf: Shelf, *, tells_doubt: bool = True) -> tuple[PanelBody, ...]:
    """One body for each panel. Raises `FaultyInput` for every reading that a layer still lacks."""
    bodies: list[PanelBody] = []
    faults = Faults()
    for panel in pattern.panels:
        with faults:
            sheets = panel_sheets(panel, pattern, stacks, shelf)
            bodies.append(panel_body(panel, sheets, tells_doubt=tells_doubt))
    faults.raise_if_any()
    return tuple(bodies)


def panel_layers(
    panel: Panel, pattern: Pattern, stacks: Stacks, zone_names: Container[str] | None = None
) -> tuple[Layer, ...]:
    """What lies over most of a panel from the outside in; each further piece's stack hangs loose behind the one before.

    A layer that covers a zone counts if that is the panel's own, or more than half of a piece that has no such zone;
    with `zone_names`, if it is one of these.
    """
    layers: list[Layer] = []
    for piece_id in panel.piece_ids:
        piece = pattern.piece(piece_id)
        if zone_names is None:
            first, *others = main_layers(piece, stacks, panel.zone)
        else:
            first, *others = layers_left(layers_on(piece, stacks), zone_names)
        layers += [replace(first, held=Held.LOOSE), *others]
    return tuple(layers)


def panel_sheets(panel: Panel, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> list[Sheet]:
    """The layers of a panel as the body room reads them, with the bonds that she has tested."""
    return layer_sheets(panel_layers(panel, pattern, stacks), shelf)


def layer_sheets(layers: Sequence[Layer], shelf: Shelf) -> list[Sheet]:
    """Layers from the outside in as sheets, lengthwise. Raises `FaultyInput` for every reading that is missing."""
    sheets: list[Sheet] = []
    faults = Faults()
    for number, layer in enumerate(layers):
        with faults:
            outer = layers[number - 1].material_id
            bond = shelf.bond(outer, layer.material_id, layer.held) if number else Bond()
            sheets.append(replace(sheet_of(layer, shelf), bond=bond))
    faults.raise_if_any()
    return sheets


def crosswise_layer_sheets(layers: Sequence[Layer], shelf: Shelf) -> list[Sheet]:
    """The same crosswise: materials not tested so as lengthwise; no sheets at all if none of them was."""
    materials = [shelf.materials[layer.material_id] for layer in layers]
    if not any(material.crosswise_overhang_mm for material in materials):
        return []
    lengthwise = layer_sheets(layers, shelf)
    bonds = [Bond(), *(crosswise_bond(outer, inner) for outer, inner in itertools.pairwise(lengthwise))]
    return [
        replace(sheet, overhang_mm=material.crosswise_overhang_mm or sheet.overhang_mm, bond=bond)
        for sheet, material, bond in zip(lengthwise, materials, bonds, strict=True)
    ]


def sheet_of(layer: Layer, shelf: Shelf) -> Sheet:
    """One layer with its material's readings. Raises `FaultyInput` naming those that are missing."""
    place = f"materials.{layer.material_id}"
    material = shelf.material(layer.material_id, place=place)
    faults = Faults()
    with faults:
        mass = known(material, material.mass_gsm, "weight", place=f"{place}.mass_gsm")
    with faults:
        thickness = known(material, material.thickness_mm, "thickness", place=f"{place}.thickness_mm")
    with faults:
        overhang = known(
            material, material.overhang_mm, "stiffness (the ruler test tells it)", place=f"{place}.overhang_mm"
        )
    faults.raise_if_any()
    return Sheet(
        name=material.name,
        mass_gsm=mass,
        thickness_mm=thickness,
        overhang_mm=overhang,
        angle_deg=material.overhang_angle_deg,
        held=layer.held,
    )
