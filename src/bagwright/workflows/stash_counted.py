"""What the stash counts for: what was cut from it for a bag, and each of its pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bagwright.costing.scraps_counted import scrap_counts
from bagwright.model.bag import Workroom
from bagwright.model.material import Material
from bagwright.model.money import Money, total
from bagwright.model.stash import Cutting, StashPiece
from bagwright.workflows.shelf import Shelf


def counted_piece(piece: StashPiece, shelf: Shelf, workroom: Workroom) -> StashPiece:
    """The piece with what it counts for as its value, to be weighed against new material.

    Raises `FaultyInput` if it counts as new and new has no price.
    """
    material = shelf.materials[piece.material_id]
    counts = scrap_counts(piece.value, piece.region.area_mm2, material, shelf.offers, workroom)
    return replace(piece, value=counts)


def cuttings_count(
    material: Material, cuttings: Sequence[Cutting], area_mm2: float, shelf: Shelf, workroom: Workroom
) -> Money:
    """What was cut of one material from the stash counts for: `area_mm2` of pieces that the bag takes of it.

    A share is one of what the stash lost by it, waste and all. Raises `FaultyInput` as `scrap_counts` does.
    """
    costs = [one.worth for one in cuttings if one.worth and one.worth.currency == workroom.currency]
    return scrap_counts(total(costs, workroom.currency), area_mm2, material, shelf.offers, workroom)
