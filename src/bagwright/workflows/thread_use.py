"""Thread for every seam, from the thickness that the needle meets there."""

from __future__ import annotations

import math

from bagwright.body.thread import thread_ratio_lockstitch
from bagwright.body.zone_reach import meets_zone
from bagwright.model.bag import Workroom
from bagwright.model.cost import ThreadUse
from bagwright.model.material import Extent, Layer
from bagwright.model.pattern import Pattern, Seam, SeamSide
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import Stacks, stack_of
from bagwright.workflows.shelf import Shelf, known


def thread_uses(pattern: Pattern, stacks: Stacks, shelf: Shelf, workroom: Workroom) -> tuple[ThreadUse, ...]:
    """Thread for each seam of one bag, waste included. Raises `FaultyInput` for every thickness that is missing."""
    uses: list[ThreadUse] = []
    faults = Faults()
    for seam in pattern.seams:
        with faults:
            thickness_mm = math.fsum(_side_mm(seam, side, pattern, stacks, shelf) for side in seam.sides)
            ratio = thread_ratio_lockstitch(thickness_mm, workroom.stitch_length_mm)
            thread_mm = seam.length_mm * seam.rows * ratio * (1 + workroom.thread_waste_share)
            uses.append(
                ThreadUse(
                    seam_id=seam.id,
                    name=seam.name,
                    seam_length_mm=seam.length_mm,
                    thickness_mm=thickness_mm,
                    thread_mm=thread_mm,
                )
            )
    faults.raise_if_any()
    return tuple(uses)


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
