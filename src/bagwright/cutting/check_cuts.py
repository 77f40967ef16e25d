"""Judge an order of cuts from the laid pieces with exact geometry. Knows nothing of how the order was found."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bagwright.cutting.cells import Cells, box_of
from bagwright.geometry.curves import Point
from bagwright.geometry.neighbours import Neighbours
from bagwright.geometry.region import Region
from bagwright.model.cuts import Cut, CutWay
from bagwright.model.source import Verdict

CUT_CHECKS = ("through no piece", "from side to side", "every piece cut out", "lengths")
_NEAR_MM = 0.05
"""A blade is no finer: a straight cut may touch a piece's edge, and a piece's edge may be this far from its cut."""
Segment = tuple[Point, Point]


def check_cuts(laid: Sequence[Region], cuts: Sequence[Cut], *, length_mm: float, width_mm: float) -> Verdict:
    """Name each fault: a straight cut through a piece, one that ends in uncut cloth, a piece that stays in the cloth.

    >>> panel = Region.rectangle((0, 0), (30, 40))
    >>> cut = Cut(way=CutWay.ACROSS, start=(20, 0), end=(20, 40), length_mm=40)
    >>> check_cuts([panel], [cut], length_mm=50, width_mm=40).faults
    ('cut 1 passes through piece 1', 'piece 1 is not cut out')
    """
    open_lines = _Lines(length_mm, width_mm)
    shrunk = Cells[tuple[int, Region]](length_mm, width_mm)
    for piece, region in enumerate((region.grown(-_NEAR_MM) for region in laid), start=1):
        if not region.is_empty:
            shrunk.add((piece, region), region.bounds)
    faults: list[str] = []
    for number, cut in enumerate(cuts, start=1):
        if cut.way is CutWay.ROUND:
            continue
        for piece, region in shrunk.near(box_of((cut.start, cut.end))):
            if _may_cross(cut, region) and region.stretch_inside(cut.start, cut.end):
                faults.append(f"cut {number} passes through piece {piece}")
        for end in (cut.start, cut.end):
            if not open_lines.meet(end, _NEAR_MM):
                faults.append(f"cut {number} ends in uncut cloth at {end[0]:.6g}, {end[1]:.6g} mm")
        if abs(math.dist(cut.start, cut.end) - cut.length_mm) > _NEAR_MM:
            faults.append(f"cut {number} is told as {cut.length_mm:.6g} mm and is {math.dist(cut.start, cut.end):.6g}")
        open_lines.add((cut.start, cut.end))
    faults += [f"piece {place + 1} is not cut out" for place in _uncut(laid, cuts, open_lines)]
    return Verdict(CUT_CHECKS, tuple(faults))


def uncut_places(laid: Sequence[Region], cuts: Sequence[Cut], *, length_mm: float, width_mm: float) -> list[int]:
    """Which pieces stay in the cloth, by their places in `laid`.

    >>> panel = Region.rectangle((0, 0), (30, 40))
    >>> uncut_places([panel], [], length_mm=50, width_mm=40)
    [0]
    """
    lines = _Lines(length_mm, width_mm)
    for cut in cuts:
        if cut.way is not CutWay.ROUND:
            lines.add((cut.start, cut.end))
    return list(_uncut(laid, cuts, lines))


class _Lines:
    """The sides of the cloth and the cuts that are made."""

    def __init__(self, length_mm: float, width_mm: float) -> None:
        self._cells = Cells[Segment](length_mm, width_mm)
        corners = [(0.0, 0.0), (length_mm, 0.0), (length_mm, width_mm), (0.0, width_mm)]
        for side in zip(corners, [*corners[1:], corners[0]], strict=True):
            self.add(side)

    def add(self, line: Segment) -> None:
        """One more."""
        self._cells.add(line, box_of(line))

    def meet(self, point: Point, within_mm: float) -> bool:
        """Whether one of them passes so near to the point."""
        return any(_distance(point, line) <= within_mm for line in self._cells.near(box_of((point,), within_mm)))


def _may_cross(cut: Cut, region: Region) -> bool:
    """Whether the boxes of cut and region meet, which saves most of the exact work."""
    low_x, low_y, high_x, high_y = region.bounds
    (ax, ay), (bx, by) = cut.start, cut.end
    return min(ax, bx) <= high_x and max(ax, bx) >= low_x and min(ay, by) <= high_y and max(ay, by) >= low_y


def _uncut(laid: Sequence[Region], cuts: Sequence[Cut], lines: _Lines) -> Iterator[int]:
    """Pieces with an edge that is neither on a straight cut or side of the cloth, nor cut round."""
    cut_round = sorted({place for cut in cuts if cut.way is CutWay.ROUND for place in cut.placements})
    freed = Neighbours.of(laid[place] for place in cut_round)
    for place in sorted(set(range(len(laid))) - set(cut_round)):
        beside = [laid[cut_round[i]] for i in freed.near(laid[place], within_mm=1.0)]
        for a, b in (edge for edge in _sides(laid[place]) if math.dist(*edge) > _NEAR_MM):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            by_others = (one.edge_distance_mm(middle) <= 2 * _NEAR_MM for one in beside)
            if not lines.meet(middle, 2 * _NEAR_MM) and not any(by_others):
                yield place
                break


def _sides(region: Region) -> Iterator[Segment]:
    for ring in (region.outer_ring(), *region.hole_rings()):
        yield from zip(ring, [*ring[1:], ring[0]], strict=True)


def _distance(point: Point, line: Segment) -> float:
    (ax, ay), (bx, by) = line
    run = (bx - ax) ** 2 + (by - ay) ** 2
    share = min(1.0, max(0.0, ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / run)) if run else 0.0
    return math.dist(point, (ax + share * (bx - ax), ay + share * (by - ay)))
