"""A polygon cut by a line or a plane; what lies above it is kept. Works in the plane and in space."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

P = TypeVar("P")
M = TypeVar("M")


def kept_above(
    points: Sequence[P],
    marks: Sequence[M],
    heights: Sequence[float],
    *,
    between: Callable[[P, P, float], P],
    cut: M,
) -> tuple[list[P], list[M]]:
    """The part of a polygon at heights >= 0, with the mark of every side; the cut is a side marked `cut`.

    `heights` belong to the corners, `marks[i]` to the side from corner i to the next. Fewer than three corners: nothing
    is left. A hollow polygon that falls apart keeps its parts joined along the cut. Method of Sutherland and Hodgman
    (1974); citation from memory.
    """
    kept: list[P] = []
    sides: list[M] = []
    for i, (point, mark) in enumerate(zip(points, marks, strict=True)):
        j = (i + 1) % len(points)
        a, b = heights[i], heights[j]
        if a >= 0:
            kept.append(point)
            sides.append(mark if b >= 0 or a > 0 else cut)
        if (a > 0 > b) or (a < 0 < b):
            kept.append(between(point, points[j], a / (a - b)))
            sides.append(cut if a > 0 else mark)
    return (kept, sides) if len(kept) > 2 else ([], [])
