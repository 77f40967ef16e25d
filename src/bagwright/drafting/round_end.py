"""A round end or base: a circle, and the strip that goes round it."""

from __future__ import annotations

import math

from bagwright.geometry.curves import Arc
from bagwright.geometry.outline import Edge, Outline


def strip_round_mm(diameter_mm: float) -> float:
    """Net length of the strip round a cylinder: pi d; cut, it takes a seam allowance at both ends. Derived.

    >>> round(strip_round_mm(20), 3)
    62.832
    """
    return math.pi * diameter_mm


def round_end_outline(diameter_mm: float, halves: tuple[str, str]) -> Outline:
    """A circle in two halves; the first runs below, from left to right, the second back above."""
    r = diameter_mm / 2
    return Outline(
        (
            Edge(halves[0], (Arc((0.0, r), (r, r), 180.0),)),
            Edge(halves[1], (Arc((diameter_mm, r), (r, r), 180.0),)),
        )
    )
