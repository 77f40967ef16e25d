"""Judge prints on hides, remnants and scraps: each seam by itself, wherever its sides lie."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from bagwright.cutting.check_repeat import MEETS_MM, OFF_MM, off_motif_mm
from bagwright.geometry.curves import Affine, Point
from bagwright.model.layout import LayPiece, Placement
from bagwright.model.prints import PrintPoint, Repeat
from bagwright.model.stock import StockLaid, StockPiece, StockRequest

_SAME_DEG = 1e-3


def stock_print_faults(request: StockRequest, repeat: Repeat, laid: Sequence[StockLaid]) -> Iterator[str]:
    """Anchors beside motifs, seams across which the print does not go on, or of which only some pieces lie on stock."""
    stock = {one.id: one for one in request.stock}
    pieces = {piece.id: piece for piece in request.pieces}
    met: dict[str, tuple[str, Point, float]] = {}
    for one in laid:
        for place in one.placements if one.stock_id in stock else ():
            if place.id in pieces:
                for fault in _placed(stock[one.stock_id], pieces[place.id], place, repeat, met):
                    yield f"{one.stock_id}: {fault}"
    yield from _parted(request, laid)


def _placed(
    stock: StockPiece, piece: LayPiece, place: Placement, repeat: Repeat, met: dict[str, tuple[str, Point, float]]
) -> Iterator[str]:
    points = [point for point in piece.goes_on if point.mirrored is place.mirrored]
    if not piece.anchor and not points:
        return
    if stock.motif is None:
        yield f"{piece.id} minds the print, and where that lies is not known"
        return
    grain, lattice = (
        stock.grain_deg or 0.0,
        Repeat(along_mm=repeat.along_mm, across_mm=repeat.across_mm, drop_share=repeat.drop_share),
    )

    def in_print(at: Point) -> Point:
        x, y = place.move.apply(at)
        return Affine(-grain).apply((x - stock.motif[0], y - stock.motif[1])) if stock.motif else (x, y)

    if piece.anchor:
        off = off_motif_mm(lattice, in_print(piece.anchor))
        if off > (MEETS_MM if piece.goes_on else OFF_MM):
            yield f"{piece.id} lies {off:.6g} mm beside the motif"
    for point in points:
        at, runs = in_print(point.at), _runs_deg(place, point) - grain
        other, there, way = met.setdefault(point.seam, (piece.id, at, runs))
        off = off_motif_mm(lattice, at, there)
        if off > MEETS_MM:
            yield f"{piece.id} lies {off:.6g} mm off the print of {other} at {point.seam}"
        if abs((runs - way + 180) % 360 - 180) > _SAME_DEG:
            yield f"{piece.id} is turned otherwise than {other} at {point.seam}"


def _runs_deg(place: Placement, point: PrintPoint) -> float:
    return place.turn_deg + (180 - point.along_deg if place.mirrored else point.along_deg)


def _parted(request: StockRequest, laid: Sequence[StockLaid]) -> Iterator[str]:
    done = Counter(place.id for one in laid for place in one.placements)
    sides: dict[str, set[str]] = {}
    counts = {piece.id: piece.count for piece in request.pieces}
    for piece in request.pieces:
        for point in piece.goes_on:
            sides.setdefault(point.seam, set()).add(piece.id)
    for seam, names in sides.items():
        if len(names) > 1 and any(done[name] for name in names) and any(done[name] < counts[name] for name in names):
            yield f"{seam}: some of what it joins lies on stock, and some does not"
