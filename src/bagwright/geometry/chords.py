"""Parallel lines across a shape, cut off where they leave it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Point

SHORTEST_MM = 5.0
"""Shorter bits are left out: no machine sews them."""
CLEAR_MM = 1.0
"""Nor lines so near the outermost edge that they would run along it."""


def chords(ring: Sequence[Point], angle_deg: float, spacing_mm: float) -> list[tuple[Point, Point]]:
    """Lines at `angle_deg` (0 level, 90 upright), `spacing_mm` apart and even about the middle of the ring, inside it.

    >>> square = [(0, 0), (30, 0), (30, 30), (0, 30)]
    >>> chords(square, 0, 10)
    [((0.0, 10.0), (30.0, 10.0)), ((0.0, 20.0), (30.0, 20.0))]
    """
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    # In this frame the lines are level: u runs along them, v across.
    turned = [(cos * x + sin * y, cos * y - sin * x) for x, y in ring]
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    middle = (low + high) / 2
    low, high = low + CLEAR_MM, high - CLEAR_MM
    first = math.ceil((low - middle) / spacing_mm - 0.5)
    found: list[tuple[Point, Point]] = []
    for number in itertools.count(first):
        v = middle + (number + 0.5) * spacing_mm
        if v >= high:
            return found
        found += [
            ((cos * a - sin * v, sin * a + cos * v), (cos * b - sin * v, sin * b + cos * v))
            for a, b in _inside(turned, v)
        ]
    return found


def _inside(ring: Sequence[Point], v: float) -> Iterator[tuple[float, float]]:
    """Where a level line lies inside: between its 1st and 2nd crossing, its 3rd and 4th, and so on."""
    crossings = sorted(
        ua + (v - va) / (vb - va) * (ub - ua)
        for (ua, va), (ub, vb) in zip(ring, (*ring[1:], ring[0]), strict=True)
        if (va <= v) != (vb <= v)
    )
    for a, b in zip(crossings[::2], crossings[1::2], strict=True):
        if b - a >= SHORTEST_MM:
            yield a, b
