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
_LOOKS_AT_MOST = 4
_SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Member:
    """A piece in a box: turn, mirror, and its origin's shift from the lowest corner of the box."""

    id: str
    turn_deg: float
    mirrored: bool
    shift: tuple[float, float]

    def laid_at(self, x_mm: float, y_mm: float) -> Placement:
        """Where the piece lies if its box lies at (x, y)."""
        return Placement(self.id, self.turn_deg, self.mirrored, x_mm + self.shift[0], y_mm + self.shift[1])


@dataclass(frozen=True, slots=True)
class Way:
    """A box, and the different looks that what is in it can have, each a group of pieces."""

    box: Box
    looks: tuple[tuple[Member, ...], ...]


@dataclass(frozen=True, slots=True)
class BoxKind:
    """Boxes that may lie in the same ways. `area_mm2`: of the pieces in one box."""

    count: int
    ways: tuple[Way, ...]
    area_mm2: float

    @property
    def fullness(self) -> float:
        """Area of the pieces as a share of the smallest box."""
        return self.area_mm2 / math.prod(self.ways[0].box)


def box_kinds(request: LayRequest) -> list[BoxKind]:
    """Every piece as boxes, half the gap included; pairs as two kinds. Raises `FaultyInput` if one fits in no turn."""
    kinds: list[BoxKind] = []
    for piece in request.pieces:
        grown = with_half_gap(piece.region, request.gap_mm)
        for mirrors, count in _shares(piece):
            ways = [_way(piece.id, grown, turn, mirrored) for mirrored in mirrors for turn in _turns(piece, grown)]
            kinds.append(BoxKind(count, tuple(_fitting(ways, piece, request)), piece.region.area_mm2))
    return kinds


def boxiness(kinds: Iterable[BoxKind]) -> float:
    """Area of the pieces as a share of the area of their boxes."""
    kinds = list(kinds)
    return sum(k.area_mm2 * k.count for k in kinds) / sum(math.prod(k.ways[0].box) * k.count for k in kinds)


def placements_of(spots: Sequence[Spot], kinds: Sequence[BoxKind], gap_mm: float) -> list[Placement]:
    """Where each piece lies if boxes lie at `spots` on a cloth with half a gap to spare on every side."""
    half = gap_mm / 2
    return [
        member.laid_at(x - half, y - half) for kind, way, x, y in spots for member in kinds[kind].ways[way].looks[0]
    ]


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


def _way(name: str, grown: Region, turn_deg: float, mirrored: bool) -> Way:
    low_x, low_y, high_x, high_y = grown.moved(Affine(turn_deg, mirrors=mirrored)).bounds
    return Way((high_x - low_x, high_y - low_y), ((Member(name, turn_deg, mirrored, (-low_x, -low_y)),),))


def _fitting(ways: Sequence[Way], piece: LayPiece, request: LayRequest) -> list[Way]:
    """Ways that fit the cloth, smallest box first, those with equal boxes as looks of one."""
    width = request.width_mm + request.gap_mm
    fitting: list[Way] = []
    for way in sorted(ways, key=lambda way: math.prod(way.box)):
        if way.box[1] > width * (1 + TOUCH_SHARE):
            continue
        equal = next((i for i, other in enumerate(fitting) if _same(way.box, other.box)), None)
        if equal is None:
            fitting.append(way)
        elif len(fitting[equal].looks) < _LOOKS_AT_MOST:
            fitting[equal] = Way(fitting[equal].box, fitting[equal].looks + way.looks)
    if not fitting:
        least = min(way.box[1] for way in ways) - request.gap_mm
        raise no_room(piece, least_mm=least, width_mm=request.width_mm)
    return fitting[:_WAYS_AT_MOST]


def _same(a: Box, b: Box) -> bool:
    return abs(a[0] - b[0]) <= _SAME_MM and abs(a[1] - b[1]) <= _SAME_MM
