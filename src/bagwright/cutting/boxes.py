"""Pieces as boxes: for each piece the ways it may lie, and placements from the spots where boxes were laid."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from bagwright.cutting.filling import TOUCH_SHARE, Box, Spot
from bagwright.cutting.requests import no_room, with_half_gap
from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LayRequest, Placement
from bagwright.model.piece import Mirror

_FREE_TURNS_AT_MOST = 24
_WAYS_AT_MOST = 6
_SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Way:
    """A piece turned and perhaps mirrored: its box, half the gap included, and the box's lowest corner."""

    turn_deg: float
    mirrored: bool
    box: Box
    corner: tuple[float, float]


@dataclass(frozen=True, slots=True)
class BoxKind:
    """Copies of one piece that may lie in the same ways."""

    id: str
    count: int
    ways: tuple[Way, ...]
    area_mm2: float


def box_kinds(request: LayRequest) -> list[BoxKind]:
    """Every piece as boxes; pairs as two kinds. Raises `NoAnswer` for a piece that fits in no turn."""
    kinds: list[BoxKind] = []
    for piece in request.pieces:
        grown = with_half_gap(piece.region, request.gap_mm)
        for mirrors, count in _shares(piece):
            ways = [_way(grown, turn, mirrored) for mirrored in mirrors for turn in _turns(piece, grown)]
            fitting = _fitting(ways, piece, request)
            kinds.append(BoxKind(piece.id, count, tuple(fitting), piece.region.area_mm2))
    return kinds


def boxiness(kinds: Iterable[BoxKind]) -> float:
    """Area of the pieces as a share of the area of their boxes."""
    kinds = list(kinds)
    return sum(k.area_mm2 * k.count for k in kinds) / sum(math.prod(k.ways[0].box) * k.count for k in kinds)


def placements_of(spots: Sequence[Spot], kinds: Sequence[BoxKind], gap_mm: float) -> list[Placement]:
    """Where each piece lies if boxes lie at `spots` on a cloth with half a gap to spare on every side."""
    placements = []
    for number, at, x, y in spots:
        kind = kinds[number]
        way = kind.ways[at]
        shift = (x - way.corner[0] - gap_mm / 2, y - way.corner[1] - gap_mm / 2)
        placements.append(Placement(kind.id, way.turn_deg, way.mirrored, *shift))
    return placements


def _shares(piece: LayPiece) -> list[tuple[tuple[bool, ...], int]]:
    """Which mirrorings are open to how many copies."""
    if piece.mirror is Mirror.PAIRS:
        return [((False,), piece.count // 2), ((True,), piece.count // 2)]
    return [((False, True) if piece.mirror is Mirror.EITHER else (False,), piece.count)]


def _turns(piece: LayPiece, grown: Region) -> Iterator[float]:
    """The allowed turns; for free pieces, those that lay one of the longest edges straight along or across."""
    if piece.turns_deg is not None:
        yield from piece.turns_deg
        return
    yield from (0.0, 90.0)
    ring = grown.outer_ring()
    edges = sorted(itertools.pairwise([*ring, ring[0]]), key=lambda edge: -math.dist(*edge))
    for (ax, ay), (bx, by) in edges[:_FREE_TURNS_AT_MOST]:
        turn = -math.degrees(math.atan2(by - ay, bx - ax)) % 90
        yield from (turn, turn + 90)


def _way(grown: Region, turn_deg: float, mirrored: bool) -> Way:
    low_x, low_y, high_x, high_y = grown.moved(Affine(turn_deg, mirrors=mirrored)).bounds
    return Way(turn_deg, mirrored, (high_x - low_x, high_y - low_y), (low_x, low_y))


def _fitting(ways: Sequence[Way], piece: LayPiece, request: LayRequest) -> list[Way]:
    """Ways that fit the cloth and differ in their box, smallest box first."""
    width = request.width_mm + request.gap_mm
    fitting: list[Way] = []
    for way in sorted(ways, key=lambda way: math.prod(way.box)):
        if way.box[1] > width * (1 + TOUCH_SHARE) or any(_same(way.box, other.box) for other in fitting):
            continue
        fitting.append(way)
    if not fitting:
        least = min(way.box[1] for way in ways) - request.gap_mm
        raise no_room(piece, least_mm=least, width_mm=request.width_mm)
    return fitting[:_WAYS_AT_MOST]


def _same(a: Box, b: Box) -> bool:
    return abs(a[0] - b[0]) <= _SAME_MM and abs(a[1] - b[1]) <= _SAME_MM
