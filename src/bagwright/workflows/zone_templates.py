"""Templates of zones: a layer that covers a zone only is cut to a shape of its own, printed beside its piece."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from bagwright.geometry.curves import Line, Point
from bagwright.geometry.outline import Edge, Outline
from bagwright.model.material import Layer
from bagwright.model.pattern import Pattern
from bagwright.model.piece import EdgeUse, Piece, PlacementLine
from bagwright.model.zones import Zone, zone_title
from bagwright.workflows.cut_list import Stacks, layers_on
from bagwright.workflows.shelf import Shelf

_BEND = "bend"
_ON_RIM_MM = 0.5


def with_zone_templates(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Pattern:
    """The pattern with a piece after every one of which a layer covers a zone, for drawing and printing only."""
    return replace(pattern, pieces=tuple(piece for piece, _ in pieces_to_cut(pattern, stacks, shelf)))


def pieces_to_cut(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Iterator[tuple[Piece, tuple[str, ...]]]:
    """Every piece, and after it the zones of it that are cut by themselves, each with the names of what it is cut from.

    The piece itself gets lines that show where its zones go. Roles that are made of nothing yet, and zones that are not
    there, add none.
    """
    for piece in pattern.pieces:
        layers = layers_on(piece, stacks) if stacks.get(piece.role) else ()
        for name in dict.fromkeys(("", *(layer.zone for layer in layers))):
            ids = [layer.material_id for layer in layers if layer.zone == name]
            names = tuple(shelf.materials[one].name for one in ids if one in shelf.materials)
            zone = piece.zone(name) if name else None
            yield (_template(piece, zone, names) if zone else _marked(piece, layers)), names


def _marked(piece: Piece, layers: Sequence[Layer]) -> Piece:
    """The piece with the bends at which the zones end that layers cover."""
    names = {layer.zone for layer in layers} - {""}
    zones = [zone for zone in piece.zones if zone.name in names] if names else []
    if not zones:
        return piece
    within = piece.net.region().grown(-_ON_RIM_MM)
    lines = [
        PlacementLine(_BEND, a, b)
        for zone in zones
        for a, b in pairwise((*zone.outline, zone.outline[0]))
        if within.holds_lines([(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2),) * 2])[0]
    ]
    return replace(piece, lines=(*piece.lines, *lines))


def _template(piece: Piece, zone: Zone, materials: Sequence[str]) -> Piece:
    """The zone as a piece without seam allowance, its role the material, so that this is printed on it."""
    net, once = _outline(zone.outline), list(dict.fromkeys(materials))
    edges = [edge.name for edge in net.edges]
    return Piece(
        id=f"{piece.id} ({zone.name})",
        name=zone_title(piece.name, zone.name),
        role=" and ".join(once) or piece.role,
        net=net,
        allowance_mm=dict.fromkeys(edges, 0.0),
        edge_use=dict.fromkeys(edges, EdgeUse.OPENING),
        count=piece.count * (len(materials) if len(once) == 1 else 1),
        mirror=piece.mirror,
        grain_deg=piece.grain_deg,
    )


def _outline(ring: Sequence[Point]) -> Outline:
    """A ring as an outline of two edges."""
    half = len(ring) // 2
    runs = (ring[: half + 1], (*ring[half:], ring[0]))
    named = zip(("rim_1", "rim_2"), runs, strict=True)
    return Outline(tuple(Edge(name, tuple(Line(a, b) for a, b in pairwise(run))) for name, run in named))
