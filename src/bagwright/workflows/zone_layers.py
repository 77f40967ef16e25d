"""Layers that cover one zone of a piece: where they lie, what a stack is elsewhere, and zones that are not there."""

from __future__ import annotations

import difflib
from collections.abc import Container, Iterator, Sequence
from dataclasses import replace

from bagwright.drafting.own_pieces import OWN_PIECES
from bagwright.errors import Problem
from bagwright.model.material import Extent, Layer
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.workflows.cut_list import Stacks, layers_on

_MOST_OF_IT = 0.5


def zones_of_role(pattern: Pattern, role: str) -> dict[str, tuple[Piece, ...]]:
    """The zones that a layer of the role can cover, each with the pieces that have it.

    A piece that is alone in its role and has but one zone, the whole of it, has none to choose.
    """
    found: dict[str, tuple[Piece, ...]] = {}
    pieces = [piece for piece in pattern.pieces if piece.role == role]
    for piece in pieces:
        for zone in piece.zones:
            found[zone.name] = (*found.get(zone.name, ()), piece)
    return found if len(found) > 1 else {}


def main_layers(piece: Piece, stacks: Stacks, panel_zone: str = "") -> tuple[Layer, ...]:
    """The layers of a piece where it is the zone of a panel, if it has that; or else over most of it.

    Then those whose zone is less than half of the piece do not count.
    Raises `FaultyInput` for a role that is made of nothing yet.
    """
    layers = layers_on(piece, stacks)
    if not any(layer.extent is Extent.ZONE for layer in layers):
        return layers
    if panel_zone and piece.zone(panel_zone):
        return layers_left(layers, {panel_zone})
    whole_mm2 = piece.region(Extent.NET).area_mm2
    return layers_left(layers, {z.name for z in piece.zones if z.region.area_mm2 > _MOST_OF_IT * whole_mm2})


def layers_left(layers: Sequence[Layer], zone_names: Container[str]) -> tuple[Layer, ...]:
    """A stack where of the layers that cover a zone only those of these zones lie.

    What lies behind a layer that is not there is held to the one before that: fused or quilted through all over.

    >>> from bagwright.model.material import Held
    >>> stack = [Layer("canvas"), Layer("felt", Extent.ZONE, Held.FUSED, "base"), Layer("web", held=Held.FUSED)]
    >>> [(layer.material_id, layer.held.value) for layer in layers_left(stack, set())]
    [('canvas', 'loose'), ('web', 'fused')]
    """
    return tuple(layer for layer in layers if layer.extent is not Extent.ZONE or layer.zone in zone_names)


def zone_problems(pattern: Pattern, stacks: Stacks) -> Iterator[Problem]:
    """A problem for every layer whose zone its pieces do not have, and for every outermost layer of a zone."""
    for role, stack in stacks.items():
        if any(piece.role == role for piece in pattern.pieces):
            for number, layer in enumerate(stack):
                yield from _layer_problems(pattern, role, number, layer)


def _layer_problems(pattern: Pattern, role: str, number: int, layer: Layer) -> Iterator[Problem]:
    place = f"stacks.{role}[{number}]"
    if layer.extent is Extent.ZONE and number == 0:
        yield Problem(
            place=f"{place}.extent",
            value=layer.extent,
            what="leaves the rest of the piece without any cloth: this is the outermost layer",
            allowed=f"{Extent.WHOLE}, {Extent.NET}",
            remedy="Give the zone to a layer further in.",
        )
    elif layer.extent is Extent.ZONE and layer.zone not in zones_of_role(pattern, role):
        yield replace(no_zone(pattern, role, layer.zone), place=f"{place}.zone")
    elif layer.zone and layer.extent is not Extent.ZONE:
        yield Problem(
            place=f"{place}.zone",
            value=layer.zone,
            what="is named, but the layer does not cover a zone",
            allowed=f"a zone only with the extent {Extent.ZONE}",
            remedy="Set the extent, or leave the zone out.",
        )


def no_zone(pattern: Pattern, role: str, named: str) -> Problem:
    """That the pieces of a role have no such zone, and which there are."""
    zones = zones_of_role(pattern, role)
    close = difflib.get_close_matches(named, zones, n=1)
    if not zones:
        no_bends = "pieces of your own have no bends, which zones lie between"
        why = no_bends if pattern.form == OWN_PIECES else "it does not lie flat between bends in this bag"
        return Problem(
            place=f"stacks.{role}",
            value=named,
            what=f"names a zone, but the {_told(role)} has none: {why}",
            allowed=f"{Extent.WHOLE}, {Extent.NET}",
            remedy="Let the layer reach over the whole piece, or up to the net line.",
        )
    return Problem(
        place=f"stacks.{role}",
        value=named,
        what=f"is no zone of the {_told(role)}",
        allowed="; ".join(zones),
        remedy=f'Did you mean "{close[0]}"?' if close else "Choose one of these.",
    )


def lost_zones(pattern: Pattern, stacks: Stacks, role: str) -> tuple[Layer, ...]:
    """Layers of the role whose zone is not there any more: nothing of them is cut."""
    asked = tuple(layer for layer in stacks.get(role, ()) if layer.extent is Extent.ZONE)
    zones = zones_of_role(pattern, role) if asked else {}
    return tuple(layer for layer in asked if layer.zone not in zones)


def _told(role: str) -> str:
    return role.replace("_", " ")
