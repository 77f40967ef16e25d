"""Each copy of a piece folded by itself, and where its sides of the seams run on it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from bagwright.geometry.curves import Line, Point
from bagwright.geometry.folding import Crease, FoldedSheet, Segment3, fold_sheet
from bagwright.geometry.outline import Edge, Outline
from bagwright.geometry.space import Point3, minus, unit
from bagwright.model.fold_up import Copy
from bagwright.model.pattern import Pattern, Seam, SeamKind, SeamSide
from bagwright.model.piece import Bend, Mirror, Piece

CHORD_MM = 0.05
_STEP_MM = 25.0
_MOST_STEPS = 8
_ON_EDGE_MM = 0.01
_INSIDE_MM = 0.02


@dataclass(frozen=True, slots=True)
class Body:
    """One copy of a piece, folded in its own frame. A mirrored copy is mirrored before it is folded."""

    piece: Piece
    copy: int
    sheet: FoldedSheet
    is_mirrored: bool

    @property
    def key(self) -> Copy:
        """What it is called."""
        return self.piece.id, self.copy

    def turned_over(self, point: Point) -> Point:
        """A point as drawn, on this copy."""
        return (-point[0], point[1]) if self.is_mirrored else point

    def lifted(self, points: Sequence[Point]) -> tuple[Point3, ...]:
        """Where points as drawn come to lie."""
        flat = [self.turned_over(point) for point in points]
        return tuple(face.at(point) for face, point in zip(self.sheet.faces_at(flat), flat, strict=True))

    def inward_at(self, edge: Edge, at_mm: float) -> tuple[Point3, Point3]:
        """At a place on an edge (or line): the direction to its left as drawn, into the piece, and out of the cloth."""
        x, y = edge.at(at_mm)
        dx, dy = edge.direction_at(at_mm)
        inside = self.turned_over((x - _INSIDE_MM * dy, y + _INSIDE_MM * dx))
        motion = self.sheet.faces_at([inside])[0].motion_at(inside)
        left = self.turned_over((-dy, dx))
        return motion.turned((left[0], left[1], 0.0)), motion.turned((0.0, 0.0, 1.0))


@dataclass(frozen=True, slots=True)
class Track:
    """Where one layer of a seam's side runs on its copy, sampled at the same shares of the seam as the other sides.

    `at_mm` are the places on the edge, `drawn` the points as drawn, `points` the same on the folded copy.
    """

    copy: Copy
    side: SeamSide
    layer: int
    at_mm: tuple[float, ...]
    drawn: tuple[Point, ...]
    points: tuple[Point3, ...]
    is_edge: bool


Tracks = Mapping[str, tuple[Track, ...]]
"""The tracks of every joining seam, by its id."""


def fold_bodies(pattern: Pattern) -> dict[Copy, Body]:
    """Every copy folded by itself; what is fused or glued on lies unseen behind what carries it."""
    bodies: dict[Copy, Body] = {}
    for piece in (piece for piece in pattern.pieces if not piece.fixed_to):
        sheets: dict[bool, FoldedSheet] = {}
        for copy in range(1, piece.count + 1):
            mirrors = piece.mirror is Mirror.PAIRS and copy % 2 == 0
            if mirrors not in sheets:
                sheets[mirrors] = _folded(piece.net, piece.bends, mirrors=mirrors)
            bodies[piece.id, copy] = Body(piece, copy, sheets[mirrors], mirrors)
    return bodies


@lru_cache(maxsize=128)
def _folded(net: Outline, bends: tuple[Bend, ...], *, mirrors: bool) -> FoldedSheet:
    # A change of one part of a bag leaves most of its pieces as they were.
    ring, way = net.ring(CHORD_MM), -1.0 if mirrors else 1.0
    ring = [(way * x, y) for x, y in (reversed(ring) if mirrors else ring)]
    creases = [
        Crease((way * b.start[0], b.start[1]), (way * b.end[0], b.end[1]), b.angle_deg, b.band_mm) for b in bends
    ]
    return fold_sheet(ring, creases)


def seam_tracks(pattern: Pattern, bodies: Mapping[Copy, Body]) -> Tracks:
    """The tracks of all seams that join."""
    edges: dict[tuple[str, str], Edge] = {}
    tracks: dict[str, tuple[Track, ...]] = {}
    for seam in pattern.seams:
        if seam.kind.joins:
            for side in seam.sides:
                edges.setdefault((side.piece_id, side.edge), bodies[side.piece_id, side.copy].piece.edge(side.edge))
            shares = sorted({0.0, 1.0, *_shares(seam, bodies, edges)})
            tracks[seam.id] = tuple(_tracks_of(seam, shares, bodies, edges))
    return tracks


_Edges = Mapping[tuple[str, str], Edge]


def _shares(seam: Seam, bodies: Mapping[Copy, Body], edges: _Edges) -> Iterator[float]:
    """Evenly along the seam, and wherever a side crosses a bend, since there gaps are widest."""
    steps = max(2, min(_MOST_STEPS, math.ceil(seam.length_mm / _STEP_MM)))
    yield from (step / steps for step in range(steps + 1))
    for side in seam.sides:
        piece, edge = bodies[side.piece_id, side.copy].piece, edges[side.piece_id, side.edge]
        if side.folds == 1 and len(edge.curves) == 1 and isinstance(edge.curves[0], Line):
            for end in itertools.chain.from_iterable((bend.start, bend.end) for bend in piece.bends):
                share = (_place_on(edge, end) - side.from_mm) / (side.to_mm - side.from_mm)
                if 0.001 < share < 0.999:
                    yield round(share, 9)


def _place_on(edge: Edge, point: Point) -> float:
    """How far along a straight edge a point on it lies; nowhere (NaN) if it is not on it."""
    along = math.dist(edge.start, point)
    past = along + math.dist(point, edge.end) - edge.length_mm
    return along if past < _ON_EDGE_MM else math.nan


def _tracks_of(seam: Seam, shares: Sequence[float], bodies: Mapping[Copy, Body], edges: _Edges) -> Iterator[Track]:
    for side in dict.fromkeys(seam.sides):
        body, edge = bodies[side.piece_id, side.copy], edges[side.piece_id, side.edge]
        layer_mm = (side.to_mm - side.from_mm) / side.folds
        for layer in range(side.folds):
            # A folded edge runs to and fro: every other layer is walked back.
            places = [layer + (share if layer % 2 == 0 else 1 - share) for share in shares]
            at_mm = tuple(side.from_mm + place * layer_mm for place in places)
            drawn = tuple(edge.at(at) for at in at_mm)
            is_edge = all(line.name != side.edge for line in body.piece.lines)
            yield Track(body.key, side, layer, at_mm, drawn, body.lifted(drawn), is_edge)


def way_along(points: Sequence[Point3], number: int | None = None) -> Point3:
    """The direction of a walk through points, in the middle of it or at one of them.

    Where the walk turns back on itself, the way on from there. Raises `BrokenPromise` if all points are one.
    """
    here, last = len(points) // 2 if number is None else number, len(points) - 1
    ends = ((min(here + off, last), back) for off in range(1, last + 1) for back in (max(here - off, 0), here))
    ways = (minus(points[end], points[back]) for end, back in ends)
    return unit(next((way for way in ways if any(way)), minus(points[here], points[0])))


def stitched_lines(pattern: Pattern, bodies: Mapping[Copy, Body]) -> dict[Copy, list[tuple[int, Segment3]]]:
    """Lines drawn on each copy that are stitched through, each part with the number of the facet on which it lies."""
    names: dict[Copy, dict[str, None]] = {}
    for seam in pattern.seams:
        for side in seam.sides if seam.kind is not SeamKind.BASTE else ():
            names.setdefault((side.piece_id, side.copy), {})[side.edge] = None
    found: dict[Copy, list[tuple[int, Segment3]]] = {}
    for copy, sewn in names.items():
        body = bodies[copy]
        found[copy] = [
            part
            for line in body.piece.lines
            if line.name in sewn
            for part in body.sheet.line_on(body.turned_over(line.start), body.turned_over(line.end))
        ]
    return found
