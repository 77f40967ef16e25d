"""Parts that sketches of bags share; x to the right, y down, the ground at 0, in the bag's own mm."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from bagwright.geometry.curves import Point
from bagwright.output.drawing import Fill, Ink, Item, Path

DEPTH_SHOWN = 0.4
"""Share of the depth by which the side is seen, up and to the right."""

Sizes = Mapping[str, float]


def strap_arch(left: float, right: float, foot: float, sizes: Sizes) -> list[Item]:
    """A strap standing in an arch whose length is the strap's, as a band."""
    rise = arch_height_mm(right - left, sizes["strap_length_mm"])
    width = sizes["strap_width_mm"]
    outer = arch(left - width / 2, right + width / 2, foot, rise + width / 2)
    inner = arch(left + width / 2, right - width / 2, foot, max(rise - width / 2, 0.0))
    return [Path((*outer, *reversed(inner)), Ink.OUTLINE, Fill.PAPER, closed=True)]


def arch_height_mm(span_mm: float, length_mm: float) -> float:
    """Height of a half ellipse over `span_mm` whose curve is `length_mm` long.

    Solved by halving on Ramanujan's first approximation of the circumference of an ellipse (value from memory),
    pi (3 (a + b) - sqrt((3 a + b)(a + 3 b))). 0 if the curve is no longer than the span.

    >>> round(arch_height_mm(100, 50 * math.pi), 3)
    50.0
    """
    if length_mm <= span_mm:
        return 0.0
    low, high, a = 0.0, length_mm, span_mm / 2
    for _ in range(60):
        b = (low + high) / 2
        half_round = math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b))) / 2
        low, high = (b, high) if half_round < length_mm else (low, b)
    return (low + high) / 2


def arch(left: float, right: float, foot: float, rise: float) -> list[Point]:
    """Half an ellipse from `left` to `right` that rises `rise` above `foot`, or falls if negative."""
    middle, half = (left + right) / 2, (right - left) / 2
    angles = [math.pi * step / 24 for step in range(25)]
    return [(middle - half * math.cos(angle), foot - rise * math.sin(angle)) for angle in angles]


def rounded(width: float, height: float, radius: float) -> list[Point]:
    """A rectangle on the ground with round corners."""
    corners: Sequence[tuple[float, float, float]] = (
        (width - radius, -radius, 0.0),
        (radius, -radius, 90.0),
        (radius, radius - height, 180.0),
        (width - radius, radius - height, 270.0),
    )
    return [
        (x + radius * math.cos(math.radians(start + turn)), y + radius * math.sin(math.radians(start + turn)))
        for x, y, start in corners
        for turn in ((0, 15, 30, 45, 60, 75, 90) if radius else (0,))
    ]
