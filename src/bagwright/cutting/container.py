"""One hide, remnant or scrap as a container: its usable part, and the ways in which pieces may lie on it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from bagwright.cutting.board import Board
from bagwright.cutting.print_groups import Node, PrintSpot, print_spots
from bagwright.cutting.requests import with_half_gap
from bagwright.cutting.shapes import NoFits, Shape, different, shape_of
from bagwright.cutting.steps import Steps
from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.few_corners import within_few_corners
from bagwright.geometry.no_fit import areas_of, inner_fit
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LayRequest
from bagwright.model.piece import Mirror
from bagwright.model.prints import Repeat
from bagwright.model.stock import StockPiece, StockRequest

_MOST_CORNERS = 48
_ANY_WIDTH_MM = 1e6
_EDGES = 3
"""So many of the longest edges of a container have the longest edge of a piece of any turn laid along them."""
_QUARTERS = (0.0, 90.0, 180.0, 270.0)


Phases = dict[str, Point]
"""Where in the print each chain of seams begins, along and across the grain from a motif."""
Turn = tuple[bool, float]
"""Whether the piece is mirrored first, and its turn in degrees."""


@dataclass(frozen=True, slots=True)
class Way:
    """A piece in one turn on one container: the shape among those of the bench, and whether it is mirrored."""

    shape: int
    mirrored: bool


class Bench:
    """The pieces and the stock of one call: each shape, and each pair of them, is worked out once for all choices.

    Pieces and stock are told apart by their ids. `repeat`: of the print of all stock. `spots`: how pieces step with it.
    """

    def __init__(
        self, gap_mm: float, *, repeat: Repeat | None = None, spots: Mapping[Node, PrintSpot] | None = None
    ) -> None:
        self.repeat, self.spots = repeat, spots or {}
        self.shapes: list[Shape] = []
        self.no_fits = NoFits(self.shapes)
        self._gap_mm = gap_mm
        self._turned: dict[tuple[str, Turn], int] = {}
        self._told_apart: dict[tuple[str, tuple[Turn, ...]], tuple[int, ...]] = {}
        self._containers: dict[str, Container] = {}

    @classmethod
    def of(cls, request: StockRequest) -> Bench:
        """The bench for a request. Raises `FaultyInput` for each seam across which its print can't go on."""
        asked = LayRequest(width_mm=_ANY_WIDTH_MM, pieces=request.pieces, repeat=request.repeat)
        return cls(request.gap_mm, repeat=request.repeat, spots=print_spots(asked))

    def anchor_of(self, piece: LayPiece, *, mirrored: bool) -> Point | None:
        """The point of a piece that falls on a motif, its own or that of its chain of seams; None without a print."""
        spot = self.spots.get((piece.id, mirrored))
        return None if self.repeat is None else spot.anchor if spot else piece.anchor

    def group_of(self, piece: LayPiece, way: Way) -> str:
        """The chain of seams with which it steps wherever that begins; empty: none, or one that lies on a motif."""
        spot = self.spots.get((piece.id, way.mirrored))
        return spot.group if spot else ""

    def container(self, stock: StockPiece) -> Container:
        """The one container for it."""
        if stock.id not in self._containers:
            self._containers[stock.id] = Container(stock, self)
        return self._containers[stock.id]

    def turned(self, piece: LayPiece, turns: tuple[Turn, ...]) -> tuple[int, ...]:
        """The piece in those turns as shapes, those left out that look like an earlier one."""
        key = (piece.id, turns)
        if key not in self._told_apart:
            found = {id(self.shapes[at]): at for at in dict.fromkeys(self._shape(piece, turn) for turn in turns)}
            shapes = [self.shapes[at] for at in found.values()]
            groups = [[shape for shape in shapes if shape.member.mirrored is mirrored] for mirrored in (False, True)]
            each = [shape for group in groups for shape in different(group)]
            kept = each if piece.mirror is Mirror.PAIRS else different(each)
            self._told_apart[key] = tuple(found[id(shape)] for shape in kept)
        return self._told_apart[key]

    def _shape(self, piece: LayPiece, turn: Turn) -> int:
        key = (piece.id, turn)
        if key not in self._turned:
            mirrored, turn_deg = turn
            grown = with_half_gap(piece.region, self._gap_mm)
            bare = piece.region if self._gap_mm > 0 else None
            self._turned[key] = len(self.shapes)
            anchor = self.anchor_of(piece, mirrored=mirrored)
            move = Affine(turn_deg, mirrors=mirrored)
            self.shapes.append(shape_of(grown, piece.id, move, anchor=anchor, bare=bare))
        return self._turned[key]


class Container:
    """Stock to be filled again and again; what does not depend on the filling is worked out once, when it is needed."""

    def __init__(self, stock: StockPiece, bench: Bench) -> None:
        self.id, self.area_mm2 = stock.id, stock.region.area_mm2
        self._grain_deg, self._motif, self._bench = stock.grain_deg, stock.motif, bench
        whole = _clear_of(stock.region, stock.flaws)
        self._parts = {False: whole, True: _clear_of(whole, stock.lesser) if stock.lesser else whole}
        self._inside: dict[int, Region] = {}
        self._rooms: dict[int, Region] = {}
        self._ways: dict[tuple[str, bool], tuple[Way, ...]] = {}

    @property
    def has_print(self) -> bool:
        """Whether its cloth is printed."""
        return self._bench.repeat is not None

    def ways(self, piece: LayPiece, *, slanted: bool = False) -> tuple[Way, ...]:
        """How it may lie; of pieces of any turn, only those `slanted` lie along the longest edges of the container."""
        key = (piece.id, slanted and piece.turns_deg is None)
        if key not in self._ways:
            before = self.ways(piece) if key[1] else ()
            self._ways[key] = before + self._found(piece, slanted=key[1])
        return self._ways[key]

    def shape(self, way: Way) -> Shape:
        """What a piece in that way looks like."""
        return self._bench.shapes[way.shape]

    def board(self) -> Board:
        """The container with nothing on it."""
        return Board(self._bench.no_fits, self._room)

    def best_corner(
        self, board: Board, piece: LayPiece, way: Way, worth: Callable[[Point], tuple[float, float]], phases: Phases
    ) -> Point | None:
        """Where a piece lies best in that way on a board of this container, in step with `phases`; None if nowhere."""
        anchor, repeat = self.shape(way).anchor, self._bench.repeat
        phase = phases.get(group) if (group := self._bench.group_of(piece, way)) else (0.0, 0.0)
        if anchor is None or repeat is None or self._motif is None or phase is None:
            return board.best_corner(way.shape, worth)
        grain = self._grain_deg or 0.0
        x, y = Affine(-grain).apply((self._motif[0] - anchor[0], self._motif[1] - anchor[1]))
        low = x + phase[0], y + phase[1]
        along = Steps(low[0], repeat.along_mm, repeat.drop_share * repeat.along_mm) if repeat.along_mm else None
        across = Steps(low[1], repeat.across_mm) if repeat.across_mm else None
        return board.best_step(way.shape, worth, (along, across, grain))

    def note_phase(self, piece: LayPiece, way: Way, corner: Point, phases: Phases) -> None:
        """Where in the print the chain of a piece begins, if this one is its first."""
        anchor, group = self.shape(way).anchor, self._bench.group_of(piece, way)
        if anchor and group and self._motif:
            x, y = corner[0] + anchor[0] - self._motif[0], corner[1] + anchor[1] - self._motif[1]
            phases.setdefault(group, Affine(-(self._grain_deg or 0.0)).apply((x, y)))

    def _room(self, shape: int) -> Region:
        """Where a shape lies inside; the gap around it may reach over the edge."""
        if shape not in self._rooms:
            own = self._bench.shapes[shape]
            rooms = [inner_fit(part, own.bare or own.parts) for part in self._inside[shape].parts()]
            self._rooms[shape] = areas_of(Region.union(room for room in rooms if not room.is_empty))
        return self._rooms[shape]

    def _found(self, piece: LayPiece, *, slanted: bool) -> tuple[Way, ...]:
        inside = self._parts[piece.best_only]
        if piece.region.area_mm2 > inside.area_mm2 or (piece.turns_deg is not None and self._grain_deg is None):
            return ()
        both = (False,) if piece.mirror is Mirror.NO else (False, True)
        if self._motif is None and any(self._bench.anchor_of(piece, mirrored=mirrored) for mirrored in both):
            return ()
        looks = {mirrored: piece.region.moved(Affine(mirrors=mirrored)) for mirrored in both}
        turns = tuple(
            (mirrored, turn) for mirrored, look in looks.items() for turn in self._turns(piece, look, slanted, mirrored)
        )
        shapes = self._bench.turned(piece, turns)
        self._inside |= dict.fromkeys(shapes, inside)
        return tuple(Way(shape, self._bench.shapes[shape].member.mirrored) for shape in shapes)

    def _turns(self, piece: LayPiece, look: Region, slanted: bool, mirrored: bool) -> list[float]:
        if spot := self._bench.spots.get((piece.id, mirrored)):
            return [] if slanted else [(spot.turn_deg + (self._grain_deg or 0.0)) % 360]
        if slanted:
            return _slanted(self._parts[piece.best_only], look)
        if piece.turns_deg is None:
            return _upright(look)
        return [(turn + (self._grain_deg or 0.0)) % 360 for turn in piece.turns_deg]


def _clear_of(region: Region, parts: Sequence[Region]) -> Region:
    """The region without the parts, in few corners, all inside."""
    return within_few_corners(areas_of(region.minus_all(parts)), _MOST_CORNERS)


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
