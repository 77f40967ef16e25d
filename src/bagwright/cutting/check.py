"""Judge any layout from the original outlines. Knows nothing of how the layout was found.

Tolerances. Coordinates are doubles, so sound layouts err by about 1e-9 mm. Two pieces may overlap by 1e-6 of the
smaller one's area (a strip of 0.0002 mm along the side of a 200 mm panel: far below the width of a blade or a chalk
line); a piece may leave the cloth, and a gap may fall short, by one part in a million of the cloth's width, at most
0.001 mm and 0.01 mm.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from bagwright.cutting.check_banded import banded_faults
from bagwright.cutting.check_double import double_faults
from bagwright.cutting.check_repeat import repeat_faults
from bagwright.geometry.curves import Affine
from bagwright.geometry.neighbours import Neighbours
from bagwright.geometry.region import Bounds, Region
from bagwright.model.layout import LayPiece, LayRequest, Placement
from bagwright.model.piece import Mirror
from bagwright.model.source import Verdict

CHECKS = ("copies", "turns", "mirrored copies", "on the cloth", "overlap", "gap")
OVERLAP_SHARE = 1e-6
WIDTH_SHARE = 1e-6
EDGE_MM = 1e-3
GAP_SHORT_MM = 1e-2
TURN_DEG = 1e-6


def check_layout(request: LayRequest, placements: Sequence[Placement]) -> Verdict:
    """Re-derive everything from `request` and name each fault.

    >>> square = LayPiece(id="square", region=Region.rectangle((0, 0), (10, 10)), count=1)
    >>> cloth = LayRequest(width_mm=15, pieces=(square,))
    >>> check_layout(cloth, [Placement("square", 0.0, False, 0.0, 6.0)]).faults
    ('square: reaches from 6 to 16 mm across a cloth of 15 mm',)
    """
    pieces = {piece.id: piece for piece in request.pieces}
    known = [placement for placement in placements if placement.id in pieces and _is_finite(placement)]
    faults = [f"{place.id}: no such piece was asked for" for place in placements if place.id not in pieces]
    faults += [f"{place.id}: has no place in the plane" for place in placements if not _is_finite(place)]
    faults += _count_faults(request, known)
    for placement in known:
        faults += _turn_faults(pieces[placement.id], placement)
    laid = [pieces[placement.id].region.moved(placement.move) for placement in known]
    for placement, region in zip(known, laid, strict=True):
        faults += _edge_faults(placement.id, region, request.width_mm)
    faults += _meeting_faults([placement.id for placement in known], laid, request)
    checks = list(CHECKS)
    if request.is_doubled:
        checks.append("both layers")
        faults += double_faults(request, known, laid)
    if request.repeat:
        checks.append("repeat")
        faults += repeat_faults(request, known)
    if request.bands:
        checks.append("bands")
        faults += banded_faults(request, request.bands, known, laid)
    return Verdict(tuple(checks), tuple(faults))


def used_length_mm(request: LayRequest, placements: Sequence[Placement]) -> float:
    """From the start of the cloth to the furthest point of any piece."""
    pieces = {piece.id: piece.region for piece in request.pieces}
    looks = {(place.id, place.turn_deg, place.mirrored) for place in placements}
    ends = {
        (name, turn, mirrors): pieces[name].moved(Affine(turn, mirrors=mirrors)).bounds[2]
        for name, turn, mirrors in looks
    }
    return max((ends[place.id, place.turn_deg, place.mirrored] + place.x_mm for place in placements), default=0.0)


def _is_finite(place: Placement) -> bool:
    return math.isfinite(place.turn_deg) and math.isfinite(place.x_mm) and math.isfinite(place.y_mm)


def _count_faults(request: LayRequest, placements: Sequence[Placement]) -> Iterator[str]:
    laid = Counter(placement.id for placement in placements)
    mirrored = Counter(placement.id for placement in placements if placement.mirrored)
    for piece in request.pieces:
        if laid[piece.id] != piece.count:
            yield f"{piece.id}: laid {laid[piece.id]} times, asked for {piece.count}"
        if piece.mirror is Mirror.NO and mirrored[piece.id]:
            yield f"{piece.id}: {mirrored[piece.id]} mirrored, none may be"
        if piece.mirror is Mirror.PAIRS and 2 * mirrored[piece.id] != laid[piece.id]:
            yield f"{piece.id}: {mirrored[piece.id]} of {laid[piece.id]} mirrored, half must be"


def _turn_faults(piece: LayPiece, placement: Placement) -> Iterator[str]:
    if piece.turns_deg is None:
        return
    off = min((abs((placement.turn_deg - turn + 180) % 360 - 180) for turn in piece.turns_deg), default=360.0)
    if off > TURN_DEG:
        allowed = ", ".join(f"{turn:g}" for turn in piece.turns_deg)
        yield f"{piece.id}: turned by {placement.turn_deg:g} degrees, allowed are {allowed}"


def _edge_faults(name: str, laid: Region, width_mm: float) -> Iterator[str]:
    low_x, low_y, _, high_y = laid.bounds
    slack = min(EDGE_MM, WIDTH_SHARE * width_mm)
    if low_y < -slack or high_y > width_mm + slack:
        yield f"{name}: reaches from {low_y:.7g} to {high_y:.7g} mm across a cloth of {width_mm:g} mm"
    if low_x < -slack:
        yield f"{name}: begins {-low_x:.7g} mm before the cloth does"


def _meeting_faults(names: Sequence[str], laid: Sequence[Region], request: LayRequest) -> Iterator[str]:
    near = Neighbours.of(laid)
    slack = min(GAP_SHORT_MM, WIDTH_SHARE * request.width_mm)
    boxes = [region.bounds for region in laid]
    for i, region in enumerate(laid):
        for j in near.near(region, within_mm=request.gap_mm):
            if j <= i or _boxes_apart_mm(boxes[i], boxes[j]) >= request.gap_mm:
                continue  # boxes that do not overlap save the dear work on outlines
            overlap = region.overlap_mm2(laid[j])
            if overlap > OVERLAP_SHARE * min(region.area_mm2, laid[j].area_mm2):
                yield f"{names[i]} and {names[j]} overlap by {overlap:.6g} mm2"
            elif request.gap_mm > 0 and (gap := region.distance_mm(laid[j])) < request.gap_mm - slack:
                yield f"{names[i]} and {names[j]} lie {gap:.6g} mm apart, {request.gap_mm:g} mm are asked for"


def _boxes_apart_mm(one: Bounds, other: Bounds) -> float:
    """How far apart two boxes lie along the cloth or across it, whichever is more; below 0 where they overlap."""
    return max(one[0] - other[2], other[0] - one[2], one[1] - other[3], other[1] - one[3])
