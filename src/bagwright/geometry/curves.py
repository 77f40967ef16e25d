"""The three kinds of curve an edge can be: line, arc, cubic. Coordinates in mm, y upwards.

Each curve flattens to points that stay within a stated distance of it, on a stated side, so that a
shape can be made to only grow or only shrink.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from numpy.polynomial.legendre import leggauss

Point = tuple[float, float]
Side = Literal["on", "left", "right"]
"""Where flattened points may lie: on the curve, or never to its right (`left`) or never to its left (`right`)."""


@dataclass(frozen=True, slots=True)
class Line:
    """Straight from `start` to `end`."""

    start: Point
    end: Point

    @property
    def length_mm(self) -> float:
        """Length.

        >>> Line((0, 0), (3, 4)).length_mm
        5.0
        """
        return math.dist(self.start, self.end)

    def at(self, distance_mm: float) -> Point:
        """Point `distance_mm` along from the start."""
        share = distance_mm / self.length_mm if self.length_mm else 0.0
        return (
            self.start[0] + share * (self.end[0] - self.start[0]),
            self.start[1] + share * (self.end[1] - self.start[1]),
        )

    def reversed(self) -> Line:
        """The same line walked backwards."""
        return Line(self.end, self.start)

    def moved(self, move: Affine) -> Line:
        """The line under `move`."""
        return Line(move.apply(self.start), move.apply(self.end))

    def points(self, tolerance_mm: float, side: Side = "on") -> list[Point]:
        """Start and end."""
        return [self.start, self.end]

    def swept_area_mm2(self) -> float:
        """Signed area swept by a ray from the origin (sum over a closed chain = enclosed area)."""
        return (self.start[0] * self.end[1] - self.end[0] * self.start[1]) / 2


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle from `start` around `centre`; `sweep_deg` > 0 turns counter-clockwise."""

    start: Point
    centre: Point
    sweep_deg: float

    @property
    def radius_mm(self) -> float:
        """Radius."""
        return math.dist(self.start, self.centre)

    @property
    def end(self) -> Point:
        """Where the arc stops."""
        return self._turned(self.sweep_deg)[0]

    @property
    def length_mm(self) -> float:
        """Length: radius times angle.

        >>> round(Arc((10, 0), (0, 0), 90).length_mm, 4)
        15.708
        """
        return self.radius_mm * abs(math.radians(self.sweep_deg))

    def _turned(self, *angles_deg: float, grown: float = 1.0) -> list[Point]:
        x, y = self.centre
        dx, dy = (self.start[0] - x) * grown, (self.start[1] - y) * grown
        turns = [(math.cos(angle), math.sin(angle)) for angle in map(math.radians, angles_deg)]
        return [(x + cos * dx - sin * dy, y + sin * dx + cos * dy) for cos, sin in turns]

    def at(self, distance_mm: float) -> Point:
        """Point `distance_mm` along from the start."""
        return self._turned(self.sweep_deg * distance_mm / self.length_mm if self.length_mm else 0.0)[0]

    def reversed(self) -> Arc:
        """The same arc walked backwards."""
        return Arc(self.end, self.centre, -self.sweep_deg)

    def moved(self, move: Affine) -> Arc:
        """The arc under `move`."""
        return Arc(move.apply(self.start), move.apply(self.centre), -self.sweep_deg if move.mirrors else self.sweep_deg)

    def points(self, tolerance_mm: float, side: Side = "on") -> list[Point]:
        """Points within `tolerance_mm`: chords when the allowed side is the centre's, tangents when it is not."""
        radius = self.radius_mm
        # Tangents leave the circle further than chords of the same angle, so they set the step.
        step_deg = math.degrees(2 * math.acos(max(radius / (radius + tolerance_mm), 0.5))) if radius else 180.0
        count = max(1, math.ceil(abs(self.sweep_deg) / step_deg))
        step = self.sweep_deg / count
        centre_is_left = self.sweep_deg > 0
        if side == "on" or (side == "left") == centre_is_left:
            return self._turned(*(i * step for i in range(count)), self.sweep_deg)
        grown = 1 / math.cos(math.radians(step) / 2)
        return [self.start, *self._turned(*((i + 0.5) * step for i in range(count)), grown=grown), self.end]

    def swept_area_mm2(self) -> float:
        """Signed area swept by a ray from the origin: chord triangle plus circular segment."""
        sweep = math.radians(self.sweep_deg)
        segment = self.radius_mm**2 * (sweep - math.sin(sweep)) / 2
        return Line(self.start, self.end).swept_area_mm2() + segment


@dataclass(frozen=True, slots=True)
class Cubic:
    """Cubic Bezier curve from `start` to `end` with control points `first` and `second`."""

    start: Point
    first: Point
    second: Point
    end: Point

    def _at_share(self, t: float) -> Point:
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        corners = (self.start, self.first, self.second, self.end)
        return (
            sum(w * p[0] for w, p in zip(weights, corners, strict=True)),
            sum(w * p[1] for w, p in zip(weights, corners, strict=True)),
        )

    def _steps(self, tolerance_mm: float) -> int:
        """Chords needed: |second derivative| / 8 n^2 bounds the sagitta."""
        bend = max(
            math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1])
            for a, b, c in ((self.start, self.first, self.second), (self.first, self.second, self.end))
        )
        return max(1, math.ceil(math.sqrt(6 * bend / (8 * tolerance_mm))))

    @property
    def length_mm(self) -> float:
        """Length, to a millionth of a mm; where the curve turns back on itself in a cusp, to some thousandths."""
        return _cubic_length_mm(self)

    def at(self, distance_mm: float) -> Point:
        """Point `distance_mm` along from the start."""
        points = self.points(1e-4)
        for a, b in itertools.pairwise(points):
            step = math.dist(a, b)
            if distance_mm <= step:
                return Line(a, b).at(distance_mm)
            distance_mm -= step
        return self.end

    def reversed(self) -> Cubic:
        """The same curve walked backwards."""
        return Cubic(self.end, self.second, self.first, self.start)

    def moved(self, move: Affine) -> Cubic:
        """The curve under `move`."""
        return Cubic(move.apply(self.start), move.apply(self.first), move.apply(self.second), move.apply(self.end))

    def points(self, tolerance_mm: float, side: Side = "on") -> list[Point]:
        """Points within `tolerance_mm` of the curve; for one side, chord points pushed out by half of it."""
        if side == "on":
            count = self._steps(tolerance_mm)
            return [self._at_share(i / count) for i in range(count)] + [self.end]
        count = self._steps(tolerance_mm / 2)
        push = tolerance_mm / 2 if side == "left" else -tolerance_mm / 2
        # Ends must stay put, and a push square to the curve there would cross the next edge of a sharp notch. So the
        # push grows over a quarter step, in which the curve leaves its chord 16 times less than in a whole one.
        shares = [0.25, *range(1, count), count - 0.25]
        return [self.start, *(self._pushed(share / count, push) for share in shares), self.end]

    def _pushed(self, t: float, push_mm: float) -> Point:
        a, b = self._at_share(max(t - 1e-4, 0.0)), self._at_share(min(t + 1e-4, 1.0))
        run = math.dist(a, b) or 1.0
        x, y = self._at_share(t)
        return x - (b[1] - a[1]) / run * push_mm, y + (b[0] - a[0]) / run * push_mm

    def swept_area_mm2(self) -> float:
        """Signed area swept by a ray from the origin, exact (Green's theorem on the polynomial)."""
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.start, self.first, self.second, self.end
        return (
            6 * (x0 * y1 - x1 * y0)
            + 3 * (x0 * y2 - x2 * y0)
            + (x0 * y3 - x3 * y0)
            + 3 * (x1 * y2 - x2 * y1)
            + 3 * (x1 * y3 - x3 * y1)
            + 6 * (x2 * y3 - x3 * y2)
        ) / 20


@lru_cache(maxsize=8192)
def _cubic_length_mm(cubic: Cubic) -> float:
    """The speed integrated by Gauss's rule over ever more equal parts, until twice as many change nothing."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = cubic.start, cubic.first, cubic.second, cubic.end
    (ax, ay), (bx, by), (cx, cy) = (x1 - x0, y1 - y0), (x2 - x1, y2 - y1), (x3 - x2, y3 - y2)

    def speed(t: float) -> float:
        a, b, c = 3 * (1 - t) ** 2, 6 * t * (1 - t), 3 * t * t
        return math.hypot(a * ax + b * bx + c * cx, a * ay + b * by + c * cy)

    def part(low: float, high: float) -> float:
        half = (high - low) / 2
        return half * sum(weight * speed(low + half * (1 + node)) for node, weight in _GAUSS)

    def length(low: float, high: float, whole: float, depth: int) -> float:
        middle = (low + high) / 2
        left, right = part(low, middle), part(middle, high)
        is_steady = abs(left + right - whole) < _LENGTH_MM and depth <= _DEEPEST - _FEWEST
        if depth == 0 or is_steady:
            return left + right
        return length(low, middle, left, depth - 1) + length(middle, high, right, depth - 1)

    return length(0.0, 1.0, part(0.0, 1.0), _DEEPEST)


_LENGTH_MM = 1e-8
_DEEPEST, _FEWEST = 24, 3
"""Halvings near a cusp, where the speed has a corner, and anywhere, lest two sums agree by chance."""
_GAUSS = tuple((float(node), float(weight)) for node, weight in zip(*leggauss(10), strict=True))


Curve = Line | Arc | Cubic


@dataclass(frozen=True, slots=True)
class Affine:
    """A move without stretch: mirror x -> -x first (if `mirrors`), then turn about the origin, then shift."""

    turn_deg: float = 0.0
    shift: Point = (0.0, 0.0)
    mirrors: bool = False

    def apply(self, point: Point) -> Point:
        """Where `point` goes.

        >>> Affine(mirrors=True, shift=(10, 0)).apply((3, 1))
        (7.0, 1.0)
        """
        x, y = (-point[0] if self.mirrors else point[0]), point[1]
        cos, sin = _quarter_exact(self.turn_deg)
        return cos * x - sin * y + self.shift[0], sin * x + cos * y + self.shift[1]


def steps_length_mm(points: Sequence[Sequence[float]]) -> float:
    """How long the way from point to point is, in the plane or in space, in the unit of the points.

    >>> steps_length_mm([(0, 0), (3, 4), (3, 10)])
    11.0
    """
    return math.fsum(math.dist(a, b) for a, b in itertools.pairwise(points))


def _quarter_exact(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine, exact at quarter turns so that straight edges stay straight."""
    quarters = angle_deg / 90
    if quarters == int(quarters):
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
