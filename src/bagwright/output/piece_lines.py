"""The lines of one pattern piece on paper: cut, stitch and fold lines, grain, notches, marks. Shared by all writers."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import Edge
from bagwright.geometry.region import Region
from bagwright.model.piece import Mirror, Notch, Piece

ON_PAPER_MM = 0.01
"""How far a flattened curve may lie from the true one, on paper."""
_ON_LINE_MM = 0.01
_LONGEST_TICK_MM = 6.0


@dataclass(frozen=True, slots=True)
class Frame:
    """From a piece (y up, its own mm) to paper (y down): turned, made smaller by `reduction`, flipped to read.

    Letters are `lettering` times as large as usual.
    """

    reduction: float = 1.0
    turn_deg: float = 0.0
    lettering: float = 1.0

    def on_paper(self, point: Point) -> Point:
        """Where a point of the piece goes."""
        x, y = Affine(self.turn_deg).apply(point)
        return x / self.reduction, -y / self.reduction

    def all_on_paper(self, points: Sequence[Point]) -> tuple[Point, ...]:
        """The same for a run of points."""
        return tuple(self.on_paper(point) for point in points)

    @property
    def mark_size_mm(self) -> float:
        """Size of the small names of marks: larger on a template, which is read at arm's length."""
        return self.lettering * (3.2 if self.reduction == 1.0 else 2.3)

    @property
    def tolerance_mm(self) -> float:
        """Flattening in the piece's own mm that keeps to `ON_PAPER_MM`."""
        return ON_PAPER_MM * self.reduction


def cut_shape(piece: Piece, tolerance_mm: float = ON_PAPER_MM) -> Region:
    """Out to the cut line; a piece on the fold as the half that is drawn."""
    return cut_region(piece.net, piece.allowance_mm, tolerance_mm)


def cut_runs(piece: Piece, tolerance_mm: float = ON_PAPER_MM) -> list[list[Point]]:
    """The cut line as open runs, without the stretch that lies on the fold; one closed run if there is no fold."""
    ring = cut_shape(piece, tolerance_mm).outer_ring()
    closed = [*ring, ring[0]]
    fold = piece.fold_edge
    if fold is None:
        return [closed]
    a, b = piece.net.edge(fold).start, piece.net.edge(fold).end
    segments = [
        pair for pair in itertools.pairwise(closed) if not all(_off_line_mm(p, a, b) < _ON_LINE_MM for p in pair)
    ]
    return _joined(segments)


def fold_run(piece: Piece, tolerance_mm: float = ON_PAPER_MM) -> tuple[Point, Point] | None:
    """The stretch of the cut shape that lies on the fold of the cloth, end to end."""
    fold = piece.fold_edge
    if fold is None:
        return None
    a, b = piece.net.edge(fold).start, piece.net.edge(fold).end
    ring = cut_shape(piece, tolerance_mm).outer_ring()
    on_fold = [point for point in ring if _off_line_mm(point, a, b) < _ON_LINE_MM]
    along = [(point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1]) for point in on_fold]
    ordered = [point for _, point in sorted(zip(along, on_fold, strict=True))]
    return (ordered[0], ordered[-1]) if len(ordered) > 1 else (a, b)


def _off_line_mm(point: Point, a: Point, b: Point) -> float:
    cross = (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
    return abs(cross) / math.dist(a, b)


def _joined(segments: Sequence[tuple[Point, Point]]) -> list[list[Point]]:
    """Segments in ring order as runs, those that meet end to end joined."""
    runs: list[list[Point]] = []
    for start, end in segments:
        if runs and runs[-1][-1] == start:
            runs[-1].append(end)
        else:
            runs.append([start, end])
    if len(runs) > 1 and runs[-1][-1] == runs[0][0]:
        runs[0] = [*runs.pop(), *runs[0][1:]]
    return runs


def stitch_runs(piece: Piece, tolerance_mm: float = ON_PAPER_MM) -> list[list[Point]]:
    """The net line where it does not coincide with the cut line, neighbouring edges joined."""
    runs: list[list[Point]] = []
    for edge in piece.net.edges:
        if piece.allowance_mm.get(edge.name, 0.0) <= 0:
            continue
        points = edge.points(tolerance_mm)
        if runs and math.dist(runs[-1][-1], points[0]) < _ON_LINE_MM:
            runs[-1] += points[1:]
        else:
            runs.append(points)
    if len(runs) > 1 and math.dist(runs[-1][-1], runs[0][0]) < _ON_LINE_MM:
        runs[0] = [*runs.pop(), *runs[0][1:]]
    return runs


def notch_ticks(piece: Piece, *, least_mm: float) -> Iterator[tuple[Point, Point]]:
    """Each notch as a tick from the cut line inwards, square to its edge, at least `least_mm` long."""
    for notch in piece.notches:
        yield notch_tick(piece, notch, least_mm=least_mm)


def notch_tick(piece: Piece, notch: Notch, *, least_mm: float) -> tuple[Point, Point]:
    """One notch: its point on the cut line, and its inner end."""
    edge: Edge = piece.net.edge(notch.edge)
    (x, y), (dx, dy) = edge.at(notch.at_mm), edge.direction_at(notch.at_mm)
    allowance = piece.allowance_mm.get(notch.edge, 0.0)
    depth = max(min(allowance, _LONGEST_TICK_MM), least_mm)
    out, inner = allowance, allowance - depth
    return (x + dy * out, y - dx * out), (x + dy * inner, y - dx * inner)


def told_count(piece: Piece) -> str:
    """What to cut, as it is written on the piece.

    >>> from bagwright.geometry.outline import rectangle_outline
    >>> told_count(Piece(id="a", name="Side", role="outer", net=rectangle_outline(9, 9), allowance_mm={}, edge_use={},
    ...                  count=2, mirror=Mirror.PAIRS))
    'cut 1 pair'
    """
    if piece.is_bought:
        return f"{piece.count}, bought"
    on_fold = " on the fold" if piece.fold_edge else ""
    if piece.mirror is Mirror.PAIRS and piece.count % 2 == 0:
        pairs = piece.count // 2
        return f"cut {pairs} pair{'s' if pairs > 1 else ''}{on_fold}"
    return f"cut {piece.count}{on_fold}"


def told_role(piece: Piece) -> str:
    """What the piece is cut from, unless its name says so already."""
    role = told_key(piece.role)
    return "" if role.lower() in piece.name.lower() else role


def told_key(key: str) -> str:
    """A key as words.

    >>> told_key("pocket_left")
    'pocket left'
    """
    return key.replace("_", " ").strip()
