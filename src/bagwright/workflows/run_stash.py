"""What pieces of the stash hold of a bag: all its pieces of one material, once or several times."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from bagwright.costing.scraps_counted import scrap_counts
from bagwright.cutting.stock import lay_on_stock
from bagwright.model.layout import LaySettings
from bagwright.model.material import Material
from bagwright.model.piece import CutPiece
from bagwright.model.run_buying import StashParts
from bagwright.model.stash import StashPiece
from bagwright.model.stock import StockRequest
from bagwright.workflows.cut_list import lay_request
from bagwright.workflows.stash_finding import areas_mm2
from bagwright.workflows.stash_first import stock_piece

if TYPE_CHECKING:
    from bagwright.workflows.run_answer import Shop

_MOST_PIECES = 12
_MOST_BAGS = 3
_ANY_WIDTH_MM = 1e6


def stash_of_sheet(
    material: Material, cuts: tuple[CutPiece, ...], shop: Shop, *, count: int, only: tuple[int, ...]
) -> Iterator[StashParts]:
    """For each piece of the stash that holds whole bags: how many. It counts whole, as she has scraps counted.

    At most 12 pieces, the smallest that could do, and 3 bags on one are looked at.
    """
    own = tuple(cut for cut in cuts if cut.material_id == material.id)
    area = math.fsum(cut.region.area_mm2 * cut.count for cut in own)
    there = [piece for piece in shop.stash if piece.material_id == material.id]
    fitting = [
        (area_mm2, piece) for area_mm2, piece in zip(areas_mm2(there), there, strict=True) if area_mm2 >= area > 0
    ]
    for area_mm2, piece in sorted(fitting, key=lambda one: (one[0], one[1].id))[:_MOST_PIECES]:
        held = 0
        while held < min(count, _MOST_BAGS) and _fits(material, own, piece, shop, held + 1):
            held += 1
        if held:
            where = f" from {piece.bin}" if piece.bin else ""
            worth = scrap_counts(piece.value, area_mm2, material, shop.shelf.offers, shop.workroom)
            name = f"a piece of {material.name}{where}"
            yield StashParts(stash_id=piece.id, name=name, holds=tuple(held * one for one in only), worth=worth)


def _fits(material: Material, cuts: tuple[CutPiece, ...], piece: StashPiece, shop: Shop, bags: int) -> bool:
    if piece.sound.area_mm2 < bags * math.fsum(cut.region.area_mm2 * cut.count for cut in cuts):
        return False
    asked = lay_request(material, cuts, _ANY_WIDTH_MM, run=bags, gap_mm=shop.workroom.layout_gap_mm)
    stock = stock_piece(piece, has_grain=material.kind.has_grain or material.directional)
    if stock is None:
        return False
    return _lie_all(StockRequest(stock=(stock,), pieces=asked.pieces, gap_mm=asked.gap_mm, repeat=asked.repeat))


@lru_cache(1_000)
def _lie_all(request: StockRequest) -> bool:
    found = lay_on_stock(request, settings=LaySettings(seconds=0))
    return found.verdict.passed and not found.left
