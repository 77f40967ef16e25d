"""One hide, remnant or scrap as a container: its usable part, and the ways in which pieces may lie on it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from bagwright.cutting.board import Board
from bagwright.cutting.requests import with_half_gap
from bagwright.cutting.shapes import NoFits, Shape, different, shape_of
from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.no_fit import areas_of, inner_fit, within_few_corners
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece
from bagwright.model.piece import Mirror
from bagwright.model.stock import StockPiece

_MOST_CORNERS = 48
_EDGES = 3
"""So many of the longest edges of a container have the longest edge of a piece of any turn laid along them."""
_QUARTERS = (0.0, 90.0, 180.0, 270.0)


@dataclass(frozen=True, slots=True)
class Way:
    """A piece in one turn on one container: the shape among those of the container, and whether it is mirrored."""

    shape: int
    mirrored: bool


class Container:
    """Stock to be filled again and again; what does not depend on the filling is worked out once.

    `ways[i]`: how piece i may lie on it; only upright ones for pieces of any turn, until `add_slanted`.
    """

    def __init__(self, stock: StockPiece, pieces: Sequence[LayPiece], gap_mm: float) -> None:
        self.id, self.area_mm2 = stock.id, stock.region.area_mm2
        self._pieces, self._gap_mm = pieces, gap_mm
        whole = _clear_of(stock.region, stock.flaws)
        self._parts = {False: whole, True: _clear_of(whole, stock.lesser) if stock.lesser else whole}
        self.shapes: list[Shape] = []
        self._inside: list[Region] = []
        self._rooms: dict[int, Region] = {}
        self._no_fits = NoFits(self.shapes)
        self.ways: list[tuple[Way, ...]] = [()] * len(pieces)
        for number, piece in enumerate(pieces):
            if piece.turns_deg is None:
                self._add(number, piece, _upright)
            elif stock.grain_deg is not None:
                self._add(number, piece, partial(_by_grain, stock.grain_deg, piece.turns_deg))

    def add_slanted(self) -> None:
        """Let pieces of any turn lie along the longest edges of the container too."""
        for number, piece in enumerate(self._pieces):
            if piece.turns_deg is None:
                self._add(number, piece, partial(_slanted, self._parts[piece.best_only]))

    def board(self) -> Board:
        """The container with nothing on it."""
        return Board(self._no_fits, self._room)

    def _room(self, shape: int) -> Region:
        """Where a shape lies inside; the gap around it may reach over the edge."""
        if shape not in self._rooms:
            parts = self.shapes[shape].bare or self.shapes[shape].parts
            rooms = [inner_fit(part, parts) for part in self._inside[shape].parts()]
            self._rooms[shape] = areas_of(Region.union(room for room in rooms if not room.is_empty))
        return self._rooms[shape]

    def _add(self, number: int, piece: LayPiece, turns_of: Callable[[Region], list[float]]) -> None:
        grown = with_half_gap(piece.region, self._gap_mm)
        bare = piece.region if self._gap_mm > 0 else None
        found: list[Shape] = []
        for mirrored in (False,) if piece.mirror is Mirror.NO else (False, True):
            turns = turns_of(piece.region.moved(Affine(mirrors=mirrored)))
            moves = (Affine(turn, mirrors=mirrored) for turn in turns)
            found += different(shape_of(grown, piece.id, move, bare=bare) for move in moves)
        for shape in found if piece.mirror is Mirror.PAIRS else different(found):
            self.ways[number] += (Way(len(self.shapes), shape.member.mirrored),)
            self.shapes.append(shape)
            self._inside.append(self._parts[piece.best_only])


def _clear_of(region: Region, parts: Sequence[Region]) -> Region:
    """The region without the parts, in few corners, all inside."""
    return within_few_corners(areas_of(region.minus_all(parts)), _MOST_CORNERS)


def _by_grain(grain_deg: float, turns_deg: Sequence[float], _: Region) -> list[float]:
    return [(turn + grain_deg) % 360 for turn in turns_deg]


def _upright(piece: Region) -> list[float]:
    """Turns that lay the longest edge of a piece along or across."""
    (own,) = _directions(piece, 1)
    return [(quarter - own) % 360 for quarter in _QUARTERS]


def _slanted(inside: Region, piece: Region) -> list[float]:
    """Turns that lay the longest edge of a piece along one of the longest edges of a container."""
    (own,) = _directions(piece, 1)
    edges = [edge for part in inside.parts() for edge in _directions(part, _EDGES)]
    turns = (round((edge - own + half) % 360, 9) for edge in edges for half in (0.0, 180.0))
    upright = [round(turn, 9) for turn in _upright(piece)]
    return list(dict.fromkeys(turn for turn in turns if turn not in upright))


def _directions(region: Region, most: int) -> list[float]:
    ring = region.outer_ring()
    edges = sorted(itertools.pairwise([*ring, ring[0]]), key=lambda edge: -math.dist(*edge))
    return [_direction(*edge) for edge in edges[:most]]


def _direction(start: Point, end: Point) -> float:
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
