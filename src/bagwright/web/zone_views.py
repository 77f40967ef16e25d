"""How far layers reach, in words: what a form offers, what is told of zones that are gone."""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.model.material import Extent, Layer
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.web.pages import Option
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.zone_layers import lost_zones, zones_of_role

_EXTENT_WORDS = {Extent.WHOLE: "whole piece", Extent.NET: "up to the stitch line"}


def extent_value(layer: Layer) -> str:
    """How a form sends the extent of a layer: a zone with its name."""
    return f"{layer.extent}: {layer.zone}" if layer.extent is Extent.ZONE else layer.extent.value


def extent_options(pattern: Pattern, role: str, layer: Layer, *, may_be_zone: bool) -> tuple[Option, ...]:
    """What a layer can cover: the whole piece, up to the stitch line, or one zone of the pieces of its role."""
    chosen = extent_value(layer)
    zones = zones_of_role(pattern, role) if may_be_zone else {}
    of_role = [piece for piece in pattern.pieces if piece.role == role]
    told = {f"{Extent.ZONE}: {name}": _zone_label(name, pieces, of_role) for name, pieces in zones.items()}
    if layer.extent is Extent.ZONE and chosen not in told:
        told[chosen] = f"only the {layer.zone}, not there now"
    words = {**{extent.value: said for extent, said in _EXTENT_WORDS.items()}, **told}
    return tuple(Option(value, label, value == chosen) for value, label in words.items())


def _zone_label(name: str, pieces: Sequence[Piece], of_role: Sequence[Piece]) -> str:
    """The zone, and the pieces that have it where the role has others and its name does not tell."""
    own = [piece.name.lower() for piece in pieces]
    is_told = len(of_role) == 1 or all(name in one or one in name for one in own)
    return f"only the {name}" if is_told else f"only the {name} ({', '.join(own)})"


def lost_lines(answer: BagAnswer, shelf: Shelf, role: str) -> tuple[str, ...]:
    """What is said of each layer whose zone is gone."""
    there = "; ".join(zones_of_role(answer.pattern, role))
    parts = f"Parts there are now: {there}." if there else "As it is now, it has no parts that a layer can cover alone."
    return tuple(
        f"{_name(layer, shelf)} is meant for the {layer.zone}, which this bag does not have now: none of it is cut, "
        f"bought or counted. Choose how far it reaches, or remove it. {parts}"
        for layer in lost_zones(answer.pattern, answer.bag.stacks, role)
    )


def lost_in_short(answer: BagAnswer, shelf: Shelf) -> tuple[str, ...]:
    """The same in short of every role, for where a bag is one of several."""
    lost = [layer for role in answer.bag.stacks for layer in lost_zones(answer.pattern, answer.bag.stacks, role)]
    return tuple(f"{_name(one, shelf)} for its {one.zone} is not cut: it has no {one.zone} now." for one in lost)


def _name(layer: Layer, shelf: Shelf) -> str:
    return shelf.materials[layer.material_id].name if layer.material_id in shelf.materials else "A layer"
