"""What changes along a panel: in its seam allowances, and where a pocket lies on it."""

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
from bagwright.workflows.cut_list import Stacks, stack_of
from bagwright.workflows.desk import BagView
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import layer_sheets, panel_layers

_POCKET = "pocket"


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelZone:
    """A part of a panel that is made of less or more: what is left out there or lies on it, and its body.

    `left_out`: names of the materials that end at the net line; empty where `piece_name` lies on it instead.
    """

    left_out: tuple[str, ...]
    piece_name: str
    body: Body


def panel_zones(panel: Panel, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[PanelZone, ...]:
    """The seam allowances, if a layer ends before them, then each pocket that is sewn on, one layer of it.

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
