"""A round end or base: a circle, and the strip that goes round it."""

from __future__ import annotations

import math

from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.measurements import Sizes, too_small
from bagwright.errors import Problem
from bagwright.geometry.curves import Arc
from bagwright.geometry.outline import Edge, Outline

ALLOWANCES_IN_RADIUS = 4
"""The radius in seam allowances: tighter circles cannot be clipped and turned (common practice, no source)."""


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


def zip_end_outline(diameter_mm: float, zip_mm: float) -> Outline:
    """A circle whose edge `zip`, `zip_mm` long, lies above; `round` is the rest, counter-clockwise.

    >>> round(zip_end_outline(100, 20).length_mm, 3)
    314.159
    """
    r = diameter_mm / 2
    over = math.degrees(zip_mm / r)
    half = math.radians(over / 2)
    right, left = (r + r * math.sin(half), r + r * math.cos(half)), (r - r * math.sin(half), r + r * math.cos(half))
    return Outline((Edge("zip", (Arc(right, (r, r), over),)), Edge("round", (Arc(left, (r, r), 360.0 - over),))))


def too_tight_rule(key: str) -> FitRule:
    """The least diameter for its seam allowance; `key` is its measurement."""

    def judge(sizes: Sizes) -> Problem | None:
        least = 2 * ALLOWANCES_IN_RADIUS * sizes["seam_allowance_mm"]
        return too_small(sizes, key, least, "is too tight a circle for its seam allowance")

    return FitRule((key, "seam_allowance_mm"), judge)
