"""Judge pieces on hides, remnants and scraps from the outlines alone. Tolerances are those of `check.py`."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from bagwright.cutting.check import EDGE_MM, GAP_SHORT_MM, OVERLAP_SHARE, TURN_DEG
from bagwright.cutting.check_stock_print import stock_print_faults
from bagwright.geometry.neighbours import Neighbours
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, Placement
from bagwright.model.piece import Mirror
from bagwright.model.source import Verdict
from bagwright.model.stock import StockLaid, StockPiece, StockRequest

CHECKS = ("copies", "turns", "mirrored copies", "inside", "flaws", "grade", "overlap", "gap")
FLAW_MM = 1e-5
"""A piece may reach over the edge of a flaw by so much all around it: the rounding of coordinates, no more."""


def check_stock(request: StockRequest, laid: Sequence[StockLaid], left: Sequence[tuple[str, int]]) -> Verdict:
    """Re-derive everything from `request` and name each fault.

    >>> tab = LayPiece(id="tab", region=Region.rectangle((0, 0), (30, 20)), count=1)
    >>> scrap = StockPiece(id="scrap", region=Region.rectangle((0, 0), (40, 40)))
    >>> asked = StockRequest(stock=(scrap,), pieces=(tab,))
    >>> check_stock(asked, [StockLaid("scrap", (Placement("tab", 0.0, False, 15.0, 0.0),))], []).faults
    ('scrap: tab reaches over its edge',)
    """
    stock = {one.id: one for one in request.stock}
    pieces = {piece.id: piece for piece in request.pieces}
    faults = [f"{one.stock_id}: no such stock piece was given" for one in laid if one.stock_id not in stock]
    times = Counter(one.stock_id for one in laid)
    faults += [f"{name}: is told {count} times" for name, count in times.items() if count > 1]
    faults += _count_faults(request, [place for one in laid for place in one.placements], dict(left))
    for one in laid:
        known = [place for place in one.placements if place.id in pieces and _is_finite(place)]
        faults += [f"{place.id}: is no piece with a place" for place in one.placements if place not in known]
        if one.stock_id in stock:
            faults += [f"{one.stock_id}: {fault}" for fault in _on_one(stock[one.stock_id], pieces, known, request)]
    if request.repeat is None:
        return Verdict(CHECKS, tuple(faults))
    faults += stock_print_faults(request, request.repeat, laid)
    return Verdict((*CHECKS, "repeat"), tuple(faults))


def _is_finite(place: Placement) -> bool:
    return math.isfinite(place.turn_deg) and math.isfinite(place.x_mm) and math.isfinite(place.y_mm)


def _count_faults(request: StockRequest, placed: Sequence[Placement], left: dict[str, int]) -> Iterator[str]:
    laid = Counter(place.id for place in placed)
    mirrored = Counter(place.id for place in placed if place.mirrored)
    for piece in request.pieces:
        missing = left.get(piece.id, 0)
        if laid[piece.id] + missing != piece.count or missing < 0:
            yield f"{piece.id}: laid {laid[piece.id]} times, {missing} left, asked for {piece.count}"
        if piece.mirror is Mirror.NO and mirrored[piece.id]:
            yield f"{piece.id}: {mirrored[piece.id]} mirrored, none may be"
        if piece.mirror is Mirror.PAIRS and 2 * mirrored[piece.id] != laid[piece.id]:
            yield f"{piece.id}: {mirrored[piece.id]} of {laid[piece.id]} mirrored, half must be"


def _on_one(
    stock: StockPiece, pieces: dict[str, LayPiece], placed: Sequence[Placement], request: StockRequest
) -> Iterator[str]:
    regions = [pieces[place.id].region.moved(place.move) for place in placed]
    for place, region in zip(placed, regions, strict=True):
        piece = pieces[place.id]
        yield from _turn_faults(stock, piece, place)
        if not stock.region.holds(region, slack_mm=EDGE_MM):
            yield f"{piece.id} reaches over its edge"
        if any(_reaches_over(region, flaw) for flaw in stock.flaws):
            yield f"{piece.id} lies over a flaw"
        if piece.best_only and any(_reaches_over(region, part) for part in stock.lesser):
            yield f"{piece.id} lies on a part of lesser grade"
    near = Neighbours.of(regions)
    for i, region in enumerate(regions):
        for j in near.near(region, within_mm=request.gap_mm):
            if j > i and _overlap(region, regions[j]):
                yield f"{placed[i].id} and {placed[j].id} overlap"
            elif j > i and request.gap_mm > 0 and region.distance_mm(regions[j]) < request.gap_mm - GAP_SHORT_MM:
                yield f"{placed[i].id} and {placed[j].id} lie closer than {request.gap_mm:g} mm"


def _reaches_over(region: Region, part: Region) -> bool:
    return region.overlap_mm2(part) > FLAW_MM * part.perimeter_mm


def _overlap(one: Region, other: Region) -> bool:
    return one.overlap_mm2(other) > OVERLAP_SHARE * min(one.area_mm2, other.area_mm2)


def _turn_faults(stock: StockPiece, piece: LayPiece, place: Placement) -> Iterator[str]:
    if piece.turns_deg is None:
        return
    if stock.grain_deg is None:
        yield f"{piece.id} has a grain, and that of the stock is not known"
        return
    turned = place.turn_deg - stock.grain_deg
    if min(abs((turned - turn + 180) % 360 - 180) for turn in piece.turns_deg) > TURN_DEG:
        yield f"{piece.id} is turned by {turned:g} degrees from the grain"
