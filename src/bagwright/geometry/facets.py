"""Flat facets in space, and a sheet rolled round a cylinder as a run of them; knows no bags."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from bagwright.geometry.clipping import kept_above
from bagwright.geometry.curves import Point
from bagwright.geometry.space import Motion, Point3, minus, opposite, turn_about

FINEST_TURN_DEG = 7.5
"""A round bend is drawn as flat strips that turn by at most so much each."""
_HAIR_MM = 2e-3


class EdgeKind(StrEnum):
    """What a side of a facet is: the sheet's own edge, a sharp crease, a smooth bend going on, or a cut."""

    RIM = "rim"
    CREASE = "crease"
    SMOOTH = "smooth"
    CUT = "cut"


@dataclass(frozen=True, slots=True)
class FacetEdge:
    """One side of a facet; `beyond` is the normal of what follows a crease or a smooth bend."""

    kind: EdgeKind
    beyond: Point3 | None = None

    def moved(self, motion: Motion) -> FacetEdge:
        """The same under a motion."""
        return self if self.beyond is None else replace(self, beyond=motion.turned(self.beyond))


@dataclass(frozen=True, slots=True)
class Facet:
    """A flat part of a folded sheet: its corners, counter-clockwise seen from the upper side, what each side is.

    `motion` brings the sheet's plane onto the facet's (of a strip: onto the plane that touches it in its middle).
    """

    points: tuple[Point3, ...]
    edges: tuple[FacetEdge, ...]
    motion: Motion
    area_mm2: float

    @property
    def normal(self) -> Point3:
        """Unit vector out of the sheet's upper side."""
        return self.motion.turned((0.0, 0.0, 1.0))

    def turned_over(self) -> Facet:
        """The same area with its other side up."""
        first, *others = self.points
        corners = (first, *reversed(others))
        edges = tuple(replace(edge, beyond=edge.beyond and opposite(edge.beyond)) for edge in reversed(self.edges))
        (ax, bx, cx), (ay, by, cy), (az, bz, cz) = self.motion.rows
        rows = ((ax, -bx, -cx), (ay, -by, -cy), (az, -bz, -cz))
        return Facet(corners, edges, Motion(rows, self.motion.shift), self.area_mm2)

    def moved(self, motion: Motion) -> Facet:
        """The facet under a motion."""
        points = tuple(motion.apply(point) for point in self.points)
        return Facet(points, tuple(edge.moved(motion) for edge in self.edges), motion.after(self.motion), self.area_mm2)


Span = tuple[float, float]
"""From where to where across a roll, its line being 0."""


@dataclass(frozen=True, slots=True)
class Roll:
    """A sheet rolled round a cylinder whose axis is parallel to a line on it.

    Places on the sheet: along the line, and across it to the left. It touches its own plane at `level_mm` across.
    `radius_mm` > 0 rolls it away from its upper side, < 0 towards it.
    """

    start: Point
    along: Point
    radius_mm: float
    level_mm: float

    @classmethod
    def of(cls, start: Point, end: Point, radius_mm: float, level_mm: float) -> Roll:
        """Along the line from `start` to `end`."""
        run = math.dist(start, end)
        return cls(start, ((end[0] - start[0]) / run, (end[1] - start[1]) / run), radius_mm, level_mm)

    def places(self, point: Point) -> tuple[float, float]:
        """How far along and across a point lies."""
        (ux, uy), dx, dy = self.along, point[0] - self.start[0], point[1] - self.start[1]
        return ux * dx + uy * dy, ux * dy - uy * dx

    def bent(self, point: Point) -> Point3:
        """Where a point of the sheet goes.

        >>> roll = Roll.of((0, 0), (0, 5), 10, 0)
        >>> [round(v, 6) + 0.0 for v in roll.bent((-5 * math.pi, 2))]
        [-10.0, 2.0, -10.0]
        """
        along, across = self.places(point)
        angle = (across - self.level_mm) / self.radius_mm
        height = -self.radius_mm * (1 - math.cos(angle))
        return self._raised(along, self.level_mm + self.radius_mm * math.sin(angle), height)

    def _raised(self, along: float, across: float, height: float) -> Point3:
        (x, y), (ux, uy) = self.start, self.along
        return x + along * ux - across * uy, y + along * uy + across * ux, height

    def touching(self, point: Point) -> Motion:
        """The motion of the sheet's plane onto the plane that touches the roll at a point."""
        _, across = self.places(point)
        (x, y), (ux, uy) = self.start, self.along
        turn = turn_about((x, y), (x + ux, y + uy), -math.degrees((across - self.level_mm) / self.radius_mm))
        return Motion(turn.rows, minus(self.bent(point), Motion(turn.rows).apply((point[0], point[1], 0.0))))

    def normal_beside(self, point: Point, angle_deg: float) -> Point3:
        """Upper normal of the strip next to a point on one side of a band that turns by `angle_deg` in all."""
        _, across = self.places(point)
        levels = strip_levels_mm(self.radius_mm, angle_deg)
        return _normal_at(self, (levels[-2] + levels[-1]) / 2 * (1.0 if across > 0 else -1.0))


def strip_levels_mm(radius_mm: float, angle_deg: float) -> list[float]:
    """Where the flat strips that stand for a round bend begin and end, across from its middle line.

    Counted from the middle, so that sheets rolled alike and laid on one another have their strips in the same places.

    >>> [round(level, 3) for level in strip_levels_mm(180 / math.pi, 20)]
    [-10.0, -7.5, 0.0, 7.5, 10.0]
    """
    half, step = abs(angle_deg) / 2, FINEST_TURN_DEG
    inner = [number * step for number in range(1 - math.ceil(half / step - 1e-9), math.ceil(half / step - 1e-9))]
    return [abs(radius_mm) * math.radians(level) for level in (-half, *inner, half)]


def flat_facet(ring: Sequence[Point], edges: Sequence[FacetEdge], motion: Motion) -> Facet:
    """A face that is flat."""
    return Facet(tuple(motion.lift(point) for point in ring), tuple(edges), motion, _area_mm2(ring))


def rolled_facets(
    ring: Sequence[Point], edges: Sequence[FacetEdge], roll: Roll, motion: Motion, *, angle_deg: float
) -> list[tuple[Span, Facet]]:
    """A rolled face as flat strips whose long sides lie on the cylinder, each with the span across that it covers.

    The face lies within the band of a bend of `angle_deg` about the roll's line; strips turn by equal angles.
    """
    levels = strip_levels_mm(roll.radius_mm, angle_deg)
    normals = [_normal_at(roll, (low + high) / 2) for low, high in itertools.pairwise(levels)]
    facets = []
    for number, (low, high) in enumerate(itertools.pairwise(levels)):
        # At either end of the band the side keeps what it is; nothing is cut there.
        beside = normals[max(number - 1, 0)], normals[min(number + 1, len(normals) - 1)]
        strip = _strip(ring, edges, roll, motion, ((low, beside[0]), (high, beside[1])))
        facets += [((low, high), facet) for facet in strip]
    return facets


def _strip(
    ring: Sequence[Point],
    edges: Sequence[FacetEdge],
    roll: Roll,
    motion: Motion,
    between: tuple[tuple[float, Point3], tuple[float, Point3]],
) -> list[Facet]:
    """What of the face lies between two levels, each with the normal of the strip beyond it."""
    (low, before), (high, after) = between
    points, sides = list(ring), list(edges)
    for level, sense, normal in ((low, 1.0, before), (high, -1.0, after)):
        heights = [_snapped(sense * (roll.places(point)[1] - level)) for point in points]
        cut = FacetEdge(EdgeKind.SMOOTH, motion.turned(normal))
        points, sides = kept_above(points, sides, heights, between=_between, cut=cut)
        if not points:
            return []
    lifted = tuple(motion.apply(on_chord(roll, point, (low, high))) for point in points)
    x, y, _ = roll._raised(0.0, (low + high) / 2, 0.0)
    return [Facet(lifted, tuple(sides), motion.after(roll.touching((x, y))), _area_mm2(points))]


def _snapped(height: float) -> float:
    """Corners within a hair of the cut lie on it, so that no slivers are left."""
    return 0.0 if abs(height) < _HAIR_MM else height


def _normal_at(roll: Roll, across: float) -> Point3:
    x, y, _ = roll._raised(0.0, across, 0.0)
    return roll.touching((x, y)).turned((0.0, 0.0, 1.0))


def on_chord(roll: Roll, point: Point, span: Span) -> Point3:
    """Between the two places on the cylinder at which the long sides of a strip lie."""
    (along, across), (low, high) = roll.places(point), span
    (ax, ay, _), (bx, by, _) = roll._raised(along, low, 0.0), roll._raised(along, high, 0.0)
    a, b, share = roll.bent((ax, ay)), roll.bent((bx, by)), (across - low) / (high - low)
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _area_mm2(ring: Sequence[Point]) -> float:
    following = [*ring[1:], ring[0]]
    return math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, following, strict=True)) / 2
