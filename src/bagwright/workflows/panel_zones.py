"""What changes along a panel: in its zones, in its seam allowances, and where a pocket lies on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from bagwright.body.panel import remembered_body
from bagwright.body.zones import sheets_left
from bagwright.errors import FaultyInput
from bagwright.model.body import Body
from bagwright.model.material import Extent, Held
from bagwright.model.pattern import Panel, Pattern
from bagwright.model.piece import Piece
from bagwright.workflows.cut_list import Stacks, layers_on, stack_of
from bagwright.workflows.desk import BagView
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import layer_sheets, panel_layers

_POCKET = "pocket"


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelZone:
    """A part of a panel that is made of less or more: what is left out there or lies on it, and its body.

    `left_out`: names of the materials that end at the net line; empty where `piece_name` lies on it instead.
    `zone_name`: the zone that has `added` layers of its own; with `left_out` it is the rest of a panel outside a zone
    that is most of it.
    """

    left_out: tuple[str, ...]
    piece_name: str
    body: Body
    zone_name: str = ""
    added: tuple[str, ...] = ()


def panel_zones(panel: Panel, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[PanelZone, ...]:
    """Zones with layers of their own, the seam allowances, if a layer ends before them, then each pocket sewn on, one
    layer of it.

    Raises `FaultyInput` for layers and readings that are missing.
    """
    return tuple(_zones(panel, pattern, stacks, shelf))


def zones_of_panel(panel_key: str, view: BagView) -> tuple[PanelZone, ...]:
    """The zones of one panel of a bag; none while a pocket is made of nothing yet."""
    answer = view.answer
    panel = next(one for one in answer.pattern.panels if one.key == panel_key)
    try:
        return panel_zones(panel, answer.pattern, answer.bag.stacks, view.shelf)
    except FaultyInput:
        return ()


def _zones(panel: Panel, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Iterator[PanelZone]:
    layers = panel_layers(panel, pattern, stacks)
    yield from _zones_of_layers(panel, pattern, stacks, shelf)
    reaches = [layer.extent is Extent.WHOLE for layer in layers]
    if any(reaches) and not all(reaches):
        names = (shelf.materials[layer.material_id].name for layer in layers if layer.extent is not Extent.WHOLE)
        body = remembered_body(tuple(sheets_left(layer_sheets(layers, shelf), reaches)))
        yield PanelZone(left_out=tuple(dict.fromkeys(names)), piece_name="", body=body)
    for pocket in _pockets_on(panel, pattern):
        first, *others = stack_of(pocket.role, pocket.name, stacks)
        on_it = (*layers, replace(first, held=Held.LOOSE), *others)
        body = remembered_body(tuple(layer_sheets(on_it, shelf)))
        yield PanelZone(left_out=(), piece_name=pocket.name, body=body)


def _zones_of_layers(panel: Panel, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Iterator[PanelZone]:
    """Each zone of the panel that has a layer of its own; of one that is most of the panel what lies outside it."""
    main = panel_layers(panel, pattern, stacks)
    every = [layer for i in panel.piece_ids for layer in layers_on(pattern.piece(i), stacks)]
    for name in dict.fromkeys(layer.zone for layer in every if layer.extent is Extent.ZONE):
        is_most = any(layer.zone == name for layer in main)
        names = {layer.zone for layer in main} - {name} if is_most else {name}
        there = panel_layers(panel, pattern, stacks, names)
        own = (shelf.materials[layer.material_id].name for layer in every if layer.zone == name)
        told = tuple(dict.fromkeys(own))
        yield PanelZone(
            left_out=told if is_most else (),
            piece_name="",
            body=remembered_body(tuple(layer_sheets(there, shelf))),
            zone_name=name,
            added=() if is_most else told,
        )


def _pockets_on(panel: Panel, pattern: Pattern) -> Iterator[Piece]:
    """Pocket pieces that a seam joins to a line across a piece of the panel, each once."""
    lines = {(piece_id, line.name) for piece_id in panel.piece_ids for line in pattern.piece(piece_id).lines}
    found: dict[str, None] = {}
    for seam in pattern.seams:
        if any((side.piece_id, side.edge) in lines for side in seam.sides):
            found.update(dict.fromkeys(s.piece_id for s in seam.sides if s.piece_id not in panel.piece_ids))
    for piece_id in found:
        piece = pattern.piece(piece_id)
        if piece.role == _POCKET and not piece.is_bought:
            yield piece
