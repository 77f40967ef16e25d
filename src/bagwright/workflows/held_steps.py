"""Steps for inner layers that are basted or quilted on rather than fused."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bagwright.drafting.making import listed
from bagwright.model.material import Held, Layer
from bagwright.model.pattern import Pattern, SeamKind, Stage
from bagwright.model.piece import Piece
from bagwright.model.work_step import WorkStep
from bagwright.workflows.cut_list import Stacks, layers_on
from bagwright.workflows.shelf import Shelf

_VERBS = {Held.BASTED: "Baste", Held.QUILTED: "Quilt"}


def lined_pieces(pattern: Pattern) -> frozenset[str]:
    """Pieces with quilting lines of their own."""
    quilted = (seam for seam in pattern.seams if seam.kind is SeamKind.QUILT)
    return frozenset(side.piece_id for seam in quilted for side in seam.sides)


def held_steps(
    role: str, pieces: Sequence[Piece], pattern: Pattern, stacks: Stacks, shelf: Shelf
) -> Iterator[WorkStep]:
    """One step for each such layer of a role, from the cloth inwards, on the pieces that have it.

    Pieces with quilting lines of their own are left out of a quilted layer: those lines are a step already.
    """
    lined = lined_pieces(pattern)
    for layer in stacks.get(role, ())[1:]:
        if layer.held not in _VERBS:
            continue
        own = [piece for piece in pieces if layer in layers_on(piece, stacks)]
        if layer.held is Held.QUILTED:
            own = [piece for piece in own if piece.id not in lined]
        if own:
            yield _step(role, layer, own, shelf)


def _step(role: str, layer: Layer, own: Sequence[Piece], shelf: Shelf) -> WorkStep:
    material = shelf.material(layer.material_id, place=f"stacks.{role}")
    names = listed([f"{piece.name[0].lower()}{piece.name[1:]}" for piece in own])
    where = f"{names}, on the {layer.zone} only" if layer.zone else names
    along = " along its edges" if layer.held is Held.BASTED else " in lines, from the middle outwards"
    verb = _VERBS[layer.held]
    return WorkStep(
        number=0,
        stage=Stage.FUSE,
        name=f"{verb} {material.name} to: {where},{along}",
        piece_ids=tuple(piece.id for piece in own),
        id=":".join(filter(None, (verb.lower(), role, layer.material_id, layer.zone))),
        layer=layer,
    )
