"""Cut lines from net lines: each edge moved outwards by its own seam allowance."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Point
from bagwright.geometry.many_regions import simple_regions, without_needless_points
from bagwright.geometry.outline import FINE_MM, Edge, Outline
from bagwright.geometry.region import Region
from bagwright.geometry.walked_ring import MITRE_LIMIT, STRAIGHT_RAD, walked_ring

_NO_ALLOWANCE_MM = 1e-6


def cut_region(net: Outline, allowance_mm: Mapping[str, float], tolerance_mm: float = FINE_MM) -> Region:
    """The net area plus a border of `allowance_mm[edge name]` outside each edge.

    Corners are mitred: the two cut lines run on until they meet, at most `MITRE_LIMIT` times the wider
    allowance from the corner. An edge missing from `allowance_mm` gets none. Curves only grow, by at most
    `tolerance_mm`. Raises `BrokenPromise` for a negative allowance.

    >>> from bagwright.geometry.outline import rectangle_outline
    >>> cut_region(rectangle_outline(100, 50), {"bottom": 10, "left": 5}).bounds
    (-5.0, -10.0, 100.0, 50.0)
    """
    if any(width < 0 for width in allowance_mm.values()):
        raise BrokenPromise(f"negative seam allowance in {dict(allowance_mm)}")
    return _cut_region(net, tuple(allowance_mm.items()), tolerance_mm)


@lru_cache(maxsize=512)
def _cut_region(net: Outline, allowances_mm: tuple[tuple[str, float], ...], tolerance_mm: float) -> Region:
    # One answer asks for the same cut line dozens of times: drawings, layouts, weights.
    allowance_mm = _real(allowances_mm)
    return walked_region(net, allowance_mm, tolerance_mm) or laid_region(net, allowance_mm, tolerance_mm)


def walked_region(net: Outline, allowance_mm: Mapping[str, float], tolerance_mm: float) -> Region | None:
    """The cut region by one walk round the net line, if that provably gives what `laid_region` does."""
    net.region(tolerance_mm, "right")
    ring = _walk(net, allowance_mm, tolerance_mm)
    walked = Region.if_simple(ring) if ring else None
    return walked.without_needless_points() if walked else None


def plain_cut_regions(asked: Sequence[tuple[Outline, Mapping[str, float]]], tolerance_mm: float) -> list[Region | None]:
    """What `cut_region` gives for each net line and its allowances, where one walk gives it; all in one go.

    The net lines must be simple and the allowances not negative. None where `cut_region` must be asked.
    """
    rings = [_walk(net, _real(allowance_mm.items()), tolerance_mm) or () for net, allowance_mm in asked]
    walked = simple_regions(rings, on_grid=True)
    tidy = iter(without_needless_points([region for region in walked if region]))
    return [next(tidy) if region else None for region in walked]


def _real(allowances_mm: Iterable[tuple[str, float]]) -> dict[str, float]:
    return {name: width for name, width in allowances_mm if width > _NO_ALLOWANCE_MM}


def _walk(net: Outline, allowance_mm: Mapping[str, float], tolerance_mm: float) -> list[Point] | None:
    corners: list[Point] = []
    widths: list[float] = []
    for edge in net.edges:
        run = edge.points(tolerance_mm, "right")[:-1]
        corners += run
        widths += [allowance_mm.get(edge.name, 0.0)] * len(run)
    return walked_ring(corners, widths)


def laid_region(net: Outline, allowance_mm: Mapping[str, float], tolerance_mm: float) -> Region:
    """The cut region as the union of strips laid outside each chord and of what fills the corners."""
    parts = [net.region(tolerance_mm, "right")]
    for edge, following in zip(net.edges, (*net.edges[1:], net.edges[0]), strict=True):
        width, next_width = allowance_mm.get(edge.name, 0.0), allowance_mm.get(following.name, 0.0)
        points = edge.points(tolerance_mm, "right")
        parts += _border(points, width)
        corner = _corner(_last_run(points), width, _first_run(following, tolerance_mm), next_width)
        parts += [corner] if corner else []
    # A notch narrower than its two allowances closes over: only the outer ring is a line one can cut.
    return Region.from_ring(Region.union(parts).outer_ring()).without_needless_points()


def _last_run(points: list[Point]) -> tuple[Point, Point]:
    return points[-2], points[-1]


def _first_run(edge: Edge, tolerance_mm: float) -> tuple[Point, Point]:
    points = edge.points(tolerance_mm, "right")
    return points[0], points[1]


def _outward(a: Point, b: Point) -> Point:
    run = math.dist(a, b)
    return (b[1] - a[1]) / run, (a[0] - b[0]) / run


def _border(points: list[Point], width_mm: float) -> list[Region]:
    """Strips along each chord and mitres between chords of one curved edge."""
    if width_mm == 0:
        return []
    runs = [(a, b) for a, b in itertools.pairwise(points) if math.dist(a, b) > STRAIGHT_RAD]
    strips = []
    for a, b in runs:
        nx, ny = _outward(a, b)
        outer_a = (a[0] + nx * width_mm, a[1] + ny * width_mm)
        outer_b = (b[0] + nx * width_mm, b[1] + ny * width_mm)
        strips.append(Region.from_ring([a, outer_a, outer_b, b]))
    corners = [_corner(run, width_mm, after, width_mm) for run, after in itertools.pairwise(runs)]
    return strips + [corner for corner in corners if corner]


def _corner(before: tuple[Point, Point], width: float, after: tuple[Point, Point], next_width: float) -> Region | None:
    """What fills the outside of a corner: up to where the two cut lines meet, or cut off at the limit."""
    cx, cy = before[1]
    n1, n2 = _outward(*before), _outward(*after)
    cross = n1[0] * n2[1] - n1[1] * n2[0]
    reach = MITRE_LIMIT * max(width, next_width)
    if cross <= STRAIGHT_RAD or reach == 0:
        return None
    # Solve m.n1 = width, m.n2 = next_width for the meeting point m seen from the corner.
    mx, my = (width * n2[1] - next_width * n1[1]) / cross, (next_width * n1[0] - width * n2[0]) / cross
    foot_1, foot_2 = (cx + n1[0] * width, cy + n1[1] * width), (cx + n2[0] * next_width, cy + n2[1] * next_width)
    meet_behind = my * n1[0] - mx * n1[1] < 0 or my * n2[0] - mx * n2[1] > 0
    # Very unequal allowances at a blunt corner meet behind it: there the border steps, bevelled.
    ring = _without_repeats([(cx, cy), foot_1, *([] if meet_behind else [(cx + mx, cy + my)]), foot_2])
    if len(ring) < 3:
        return None
    corner = Region.from_ring(ring)
    if meet_behind or math.hypot(mx, my) <= reach:
        return corner
    return corner.shared_with(Region.from_ring(_cut_off_square((cx, cy), (mx, my), reach)))


def _without_repeats(ring: list[Point]) -> list[Point]:
    return [p for i, p in enumerate(ring) if math.dist(p, ring[i - 1]) > STRAIGHT_RAD]


def _cut_off_square(corner: Point, towards: Point, reach_mm: float) -> list[Point]:
    """A big square around the corner, cut off square to `towards` at `reach_mm`."""
    size = math.hypot(*towards)
    ux, uy = towards[0] / size, towards[1] / size
    far = 100 * reach_mm
    return [
        (corner[0] + ux * along - uy * across, corner[1] + uy * along + ux * across)
        for along, across in ((-far, -far), (reach_mm, -far), (reach_mm, far), (-far, far))
    ]
