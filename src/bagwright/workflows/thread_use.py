"""Thread for every seam, from the thickness that the needle meets there."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bagwright.body.thread import thread_ratio_lockstitch
from bagwright.body.zone_reach import meets_zone
from bagwright.model.bag import Workroom
from bagwright.model.cost import ThreadUse
from bagwright.model.material import Extent, Held, Layer
from bagwright.model.pattern import Pattern, Seam, SeamSide
from bagwright.model.piece import Piece
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import Stacks, layers_on, stack_of
from bagwright.workflows.held_steps import lined_pieces
from bagwright.workflows.shelf import Shelf, known


def thread_uses(pattern: Pattern, stacks: Stacks, shelf: Shelf, workroom: Workroom) -> tuple[ThreadUse, ...]:
    """Thread for each seam of one bag, and for each layer that is quilted where no lines are drawn; waste included.

    Raises `FaultyInput` for every thickness that is missing.
    """
    uses: list[ThreadUse] = []
    faults = Faults()
    for seam in pattern.seams:
        with faults:
            thickness_mm = math.fsum(_side_mm(seam, side, pattern, stacks, shelf) for side in seam.sides)
            use = ThreadUse(
                seam_id=seam.id,
                name=seam.name,
                seam_length_mm=seam.length_mm,
                thickness_mm=thickness_mm,
                thread_mm=_thread_mm(seam.length_mm * seam.rows, thickness_mm, workroom),
            )
            uses.append(use)
    with faults:
        uses += _quilted_uses(pattern, stacks, shelf, workroom)
    faults.raise_if_any()
    return tuple(uses)


def _thread_mm(stitched_mm: float, thickness_mm: float, workroom: Workroom) -> float:
    ratio = thread_ratio_lockstitch(thickness_mm, workroom.stitch_length_mm)
    return stitched_mm * ratio * (1 + workroom.thread_waste_share)


def _quilted_uses(pattern: Pattern, stacks: Stacks, shelf: Shelf, workroom: Workroom) -> Iterator[ThreadUse]:
    """One use for each such layer of a piece: lines as far apart as its time counts them, through all that lies there.

    Layers of other zones may lie under some of the lines; they are not counted.
    """
    for piece, layer in undrawn_quilting(pattern, stacks):
        length_mm = piece.count * piece.region(layer.extent, layer.zone).area_mm2 / workroom.standards.quilt_spacing_mm
        met = [one for one in layers_on(piece, stacks) if one == layer or one.extent is not Extent.ZONE]
        thickness_mm = math.fsum(_thickness_mm(one.material_id, shelf) for one in met)
        name = shelf.material(layer.material_id, place=f"stacks.{piece.role}").name
        yield ThreadUse(
            seam_id=":".join(filter(None, ("quilt", piece.id, layer.material_id, layer.zone))),
            name=f"Quilt {name} to the {piece.name[:1].lower()}{piece.name[1:]}",
            seam_length_mm=length_mm,
            thickness_mm=thickness_mm,
            thread_mm=_thread_mm(length_mm, thickness_mm, workroom),
        )


def undrawn_quilting(pattern: Pattern, stacks: Stacks) -> Iterator[tuple[Piece, Layer]]:
    """Each inner layer that is quilted to a piece, where the pattern draws no lines for that."""
    lined = lined_pieces(pattern)
    for piece in pattern.pieces:
        if not piece.is_bought and piece.id not in lined and stacks.get(piece.role):
            outer = stacks[piece.role][0]
            yield from (
                (piece, layer)
                for layer in layers_on(piece, stacks)
                if layer.held is Held.QUILTED and layer is not outer
            )


def layers_met(side: SeamSide, pattern: Pattern, stacks: Stacks) -> tuple[Layer, ...]:
    """The layers of one side that a needle goes through. Raises `FaultyInput` if none was chosen yet."""
    piece = pattern.piece(side.piece_id)
    crosses_piece = side.edge in {line.name for line in piece.lines}

    def is_met(layer: Layer) -> bool:
        if layer.extent is Extent.ZONE:
            return crosses_piece and meets_zone(piece, layer.zone, side)
        return crosses_piece or layer.extent is Extent.WHOLE

    return tuple(layer for layer in stack_of(piece.role, piece.name, stacks) if is_met(layer))


def _side_mm(seam: Seam, side: SeamSide, pattern: Pattern, stacks: Stacks, shelf: Shelf) -> float:
    """Thickness of one side. Layers cut to the net line end at the stitch line, so only placement lines meet them."""
    met = layers_met(side, pattern, stacks)
    return seam.layers_of(side) * math.fsum(_thickness_mm(layer.material_id, shelf) for layer in met)


def _thickness_mm(material_id: str, shelf: Shelf) -> float:
    place = f"materials.{material_id}"
    material = shelf.material(material_id, place=place)
    return known(material, material.thickness_mm, "thickness", place=f"{place}.thickness_mm").value
