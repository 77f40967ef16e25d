"""A cut line walked corner by corner: what strips laid along every side would give, where that is certain.

Claim. Take a simple counter-clockwise ring; lay outside each of its sides a strip of the side's own width, and into
each convex corner a wedge between the feet of its two strips. Where two strips meet in a hollow corner, trim both
along the line from the corner to the point where their outer sides meet. If

1. what is trimmed off one strip lies in what is left of the other, and
2. the outer ends of what is left, walked in order, make a simple counter-clockwise ring,

then that walk encloses the ring, its strips and its wedges, and nothing else.

Proof. By 1 nothing is lost by trimming. What is left fills the outside of every side and corner once, and nothing is
turned over; so with the inside of the ring it is a disc laid into the plane without folds, and its rim is the walk. A
disc laid without folds covers a point as often as its rim runs round it. A simple counter-clockwise rim runs round
each point inside once and round none outside, so the disc covers just what it encloses.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from bagwright.geometry.curves import Point

MITRE_LIMIT = 3.0
"""A corner reaches at most this many times the wider allowance; sharper corners are cut off square there."""
STRAIGHT_RAD = 1e-9
"""Sides that turn by less run straight on; sides that are shorter, in mm, are none."""
_ROUNDING = 1e-12
_BLUNT_COS = 2 / MITRE_LIMIT**2 - 1
"""Corners between equal strips keep within the limit if they turn no further: mitres are sqrt(2 / (1 + cos)) long."""


def walked_ring(corners: Sequence[Point], widths_mm: Sequence[float]) -> list[Point] | None:
    """Corners of the cut line round a simple counter-clockwise ring; `widths_mm[i]` lies outside the i-th side.

    None where condition 1 fails (narrow notches, sharp hollow corners, very unequal widths there), so that strips must
    be laid one by one. Condition 2 is for the caller to ask.

    >>> walked_ring([(0, 0), (9, 0), (9, 4), (0, 4)], [1, 2, 0, 0])
    [(0.0, -1.0), (11.0, -1.0), (11.0, 4.0), (0.0, 4.0)]
    """
    sides = _sides(corners, widths_mm)
    walk: list[Point] = []
    hollows: dict[int, _Hollow] = {}
    for i, (before, after) in enumerate(zip([sides[-1], *sides[:-1]], sides, strict=True)):
        (x, y, ax, ay, _, wide), (_, _, bx, by, _, wide_before) = after, before
        sin, cos = bx * ay - by * ax, bx * ax + by * ay
        if wide == wide_before and sin > -STRAIGHT_RAD and cos >= _BLUNT_COS:
            mitre = wide / (1 + cos)
            walk.append((x + mitre * (ax + bx), y + mitre * (ay + by)))
        elif cos < _ROUNDING - 1:
            return None
        elif sin >= -STRAIGHT_RAD:
            walk += _round_wedge(before, after, sin)
        elif hollow := _Hollow.between(wide_before, wide, -sin, cos):
            hollows[i] = hollow
            walk.append((x + wide * ax - hollow.trim_mm * ay, y + wide * ay + hollow.trim_mm * ax))
        else:
            return None
    return walk if _fit(hollows, [side.length_mm for side in sides]) else None


class _Side(NamedTuple):
    """One side of the ring: where it starts, the unit vector square to it outwards, its length, its strip's width."""

    x: float
    y: float
    out_x: float
    out_y: float
    length_mm: float
    width_mm: float


def _sides(corners: Sequence[Point], widths_mm: Sequence[float]) -> list[_Side]:
    sides = []
    for (ax, ay), (bx, by), width in zip(corners, itertools.chain(corners[1:], corners[:1]), widths_mm, strict=True):
        length = math.hypot(bx - ax, by - ay)
        if length > STRAIGHT_RAD:
            sides.append(_Side(ax, ay, (by - ay) / length, (ax - bx) / length, length, width))
    return sides


def _round_wedge(before: _Side, after: _Side, sin: float) -> list[Point]:
    """The walk round what fills a convex corner: to where outer sides meet, cut off square at the limit.

    Where they meet behind the wedge (very unequal widths at a blunt corner) or nowhere, it steps from foot to foot.
    """
    x, y, ax, ay, _, wide = after
    _, _, bx, by, _, wide_before = before
    feet = [(wide_before * bx, wide_before * by), (wide * ax, wide * ay)]
    if sin > STRAIGHT_RAD:
        mx, my = (wide_before * ay - wide * by) / sin, (wide * bx - wide_before * ax) / sin
        reach, limit = math.hypot(mx, my), MITRE_LIMIT * max(wide_before, wide)
        if bx * my - by * mx >= 0 >= ax * my - ay * mx:
            feet = [(mx, my)] if reach <= limit else [_cut_off(foot, (mx, my), limit) for foot in feet]
    return [(x + dx, y + dy) for dx, dy in feet]


def _cut_off(foot: Point, tip: Point, limit_mm: float) -> Point:
    """Where the way from foot to tip has come `limit_mm` towards the tip, both seen from the corner."""
    reach = math.hypot(*tip)
    begun = (foot[0] * tip[0] + foot[1] * tip[1]) / reach
    share = (limit_mm - begun) / (reach - begun)
    return foot[0] + share * (tip[0] - foot[0]), foot[1] + share * (tip[1] - foot[1])


class _Hollow(NamedTuple):
    """A hollow corner: per strip how much of its outer side is trimmed, how far along it the other's foot stands.

    `share`: how high that foot stands, as a share of the strip's width.
    """

    trim_mm: float
    foot_mm: float
    share: float
    trim_before_mm: float
    foot_before_mm: float
    share_before: float

    @classmethod
    def between(cls, before_mm: float, after_mm: float, sin: float, cos: float) -> _Hollow | None:
        """None if a foot stands behind the corner or higher than the strip it stands on."""
        high, high_before = before_mm * cos, after_mm * cos
        if cos < -_ROUNDING or high > after_mm + STRAIGHT_RAD or high_before > before_mm + STRAIGHT_RAD:
            return None
        return cls(
            (before_mm - high_before) / sin,
            before_mm * sin,
            high / after_mm if after_mm else 0.0,
            (after_mm - high) / sin,
            after_mm * sin,
            high_before / before_mm if before_mm else 0.0,
        )


_NONE = _Hollow(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def _fit(hollows: Mapping[int, _Hollow], lengths_mm: Sequence[float]) -> bool:
    """Whether what is trimmed at hollow corners, foot and all, has room on each side.

    The far end of a strip is trimmed aslant, so less of it is gone where a foot stands lower.
    """
    count = len(lengths_mm)
    for i in {side % count for at in hollows for side in (at, at - 1)}:
        start, end = hollows.get(i, _NONE), hollows.get((i + 1) % count, _NONE)
        taken = (
            start.trim_mm + end.trim_before_mm,
            start.foot_mm + end.trim_before_mm * start.share,
            end.foot_before_mm + start.trim_mm * end.share_before,
        )
        if max(taken) > lengths_mm[i]:
            return False
    return True
