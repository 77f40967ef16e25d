"""The request in the words of the packing library, and its answers in ours."""

from __future__ import annotations

from collections.abc import Iterator

from bagwright.cutting._packer import Packing, PackItem, PackJob
from bagwright.cutting.requests import plain_outline
from bagwright.geometry.curves import Affine
from bagwright.model.layout import LayPiece, LayRequest, LaySettings, Placement
from bagwright.model.piece import Mirror


def pack_job(request: LayRequest, settings: LaySettings, *, workers: int) -> PackJob:
    """What the library is asked: each piece, grown by half the gap, on a cloth grown by half the gap on each side."""
    items = []
    for piece, mirrored, count in _items(request):
        grown = plain_outline(piece.region, request.gap_mm)
        # Begun where it was drawn: where a ring begins and which way it runs decides the way of the library's search.
        items.append(PackItem(grown.moved(Affine(mirrors=mirrored)).drawn_ring(), count, piece.turns_deg))
    return PackJob(request.width_mm + request.gap_mm, tuple(items), settings.seconds, workers, settings.seed)


def placements_of_packing(request: LayRequest, packing: Packing) -> list[Placement]:
    """Where each piece lies in an answer of the library to `pack_job`."""
    items, half = list(_items(request)), request.gap_mm / 2
    return [
        Placement(items[number][0].id, turn, items[number][1], x - half, y - half)
        for number, turn, x, y in packing.laid
        if 0 <= number < len(items)
    ]


def _items(request: LayRequest) -> Iterator[tuple[LayPiece, bool, int]]:
    """Piece, whether mirrored, copies. Pieces that may be mirrored at will are not: the library has no such choice."""
    for piece in request.pieces:
        if piece.mirror is Mirror.PAIRS:
            yield piece, False, piece.count // 2
            yield piece, True, piece.count // 2
        else:
            yield piece, False, piece.count
