"""Bulk at the seams of a bag, from the thickness of the materials on its shelf; and what to sew them with."""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.body.bulk import seam_bulks
from bagwright.body.needle import cloth_class, sewing_advice
from bagwright.model.bulk import SeamBulk, SeamLayer
from bagwright.model.material import Layer, Material
from bagwright.model.pattern import Pattern
from bagwright.model.sewing import Cloth, SewingAdvice
from bagwright.workflows.contracts import Faults
from bagwright.workflows.cut_list import Stacks, layers_on, stack_of
from bagwright.workflows.shelf import Shelf, known

USUAL_TAKES_MM = 6.0
"""What many home machines lift their foot to: common practice, no source. Hers counts."""


def bag_bulks(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> tuple[SeamBulk, ...]:
    """Every seam and crossing of the bag. Raises `FaultyInput` for every thickness that is missing."""
    layers: dict[str, list[SeamLayer]] = {}
    faults = Faults()
    for piece in pattern.pieces:
        layers[piece.id] = []
        for layer in layers_on(piece, stacks):
            with faults:
                layers[piece.id].append(_seam_layer(layer, shelf))
    faults.raise_if_any()
    return seam_bulks(pattern, layers)


def _seam_layer(layer: Layer, shelf: Shelf) -> SeamLayer:
    place = f"materials.{layer.material_id}"
    material = shelf.material(layer.material_id, place=place)
    thickness = known(material, material.thickness_mm, "thickness", place=f"{place}.thickness_mm")
    return SeamLayer(name=material.name, thickness_mm=thickness, extent=layer.extent, zone=layer.zone)


def bag_sewing_advice(pattern: Pattern, stacks: Stacks, shelf: Shelf, bulks: Sequence[SeamBulk]) -> SewingAdvice:
    """Needle, thread and stitch for the bag: by its heaviest cloth and what most of its sewn length is like.

    A few thick crossings do not change the needle; they are sewn slowly.
    """
    along = [bulk for bulk in bulks if bulk.at_mm is None]
    lengths = {seam.id: seam.length_mm * seam.rows for seam in pattern.seams}
    by_thickness = sorted(along, key=lambda bulk: bulk.thickness_mm.high)
    half, walked = sum(lengths.values()) / 2, 0.0
    usual = by_thickness[-1].thickness_mm.high
    for bulk in by_thickness:
        walked += lengths[bulk.seam_id]
        if walked >= half:
            usual = bulk.thickness_mm.high
            break
    return sewing_advice(_cloth_of(pattern, stacks, shelf), usual)


def _cloth_of(pattern: Pattern, stacks: Stacks, shelf: Shelf) -> Cloth:
    """Class of the heaviest outermost cloth; if holes stay in any layer, that decides."""
    sheets: list[Material] = []
    outermost: list[Material] = []
    for piece in pattern.pieces:
        if not piece.is_bought:
            layers = stack_of(piece.role, piece.name, stacks)
            materials = [shelf.material(layer.material_id, place=f"materials.{layer.material_id}") for layer in layers]
            sheets += materials
            outermost.append(materials[0])
    masses = [
        known(material, material.mass_gsm, "weight", place=f"materials.{material.id}.mass_gsm").value
        for material in outermost
    ]
    return cloth_class(max(masses), holes_stay=any(material.holes_stay for material in sheets))
