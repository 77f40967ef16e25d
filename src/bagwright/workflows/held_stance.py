"""Front and back of a bag held by its sides and base: whether they stay flat, and how they bow."""

from __future__ import annotations

from bagwright.body.held_panel import held_panel_body, holds_in_a_bag
from bagwright.model.held_panel import HeldPanel, HeldPanelBody
from bagwright.model.pattern import Panel, Pattern
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import Stacks
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import crosswise_layer_sheets, layer_sheets, panel_layers

FLAT_FACE = "face"


def held_bodies(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[HeldPanelBody, ...]:
    """What each flat upright panel does between its neighbours. Raises `FaultyInput` for every missing reading.

    Only a front or back of a bag that has a width is a flat rectangle to this model; round walls, flaps, bases and
    what lies flat in use have none.
    """
    bodies: list[HeldPanelBody] = []
    faults = Faults()
    for panel in pattern.panels:
        if is_flat_face(panel, pattern):
            with faults:
                bodies.append(held_panel_body(held_panel(panel, pattern, stacks, shelf)))
    faults.raise_if_any()
    return tuple(bodies)


def is_flat_face(panel: Panel, pattern: Pattern) -> bool:
    """Whether the model of a held rectangle fits the panel."""
    return panel.key == FLAT_FACE and panel.is_upright and "width_mm" in pattern.measurements_mm


def held_panel(panel: Panel, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> HeldPanel:
    """The panel as the body room sees it: as wide as the finished bag, held as its depth allows."""
    layers = panel_layers(panel, pattern, stacks)
    least, most = holds_in_a_bag(pattern.measurements_mm.get("depth_mm", 0.0))
    return HeldPanel(
        name=panel.name,
        width_mm=pattern.measurements_mm["width_mm"],
        height_mm=panel.height_mm,
        sheets=tuple(layer_sheets(layers, shelf)),
        sheets_across=tuple(crosswise_layer_sheets(layers, shelf)),
        least=least,
        most=most,
    )
