"""Pieces as the placing of outlines sees them: each in the ways it may lie, as convex parts, a hair smaller."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from bagwright.cutting.boxes import Member
from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.few_corners import with_few_corners
from bagwright.geometry.no_fit import Parts, convex_parts, no_fit
from bagwright.geometry.region import Region

_HAIR_MM = 2e-6
_HAIR_SHARE = 1e-7
_TIP_MM = 2e-4
"""So far a needle's tip may withdraw: a fifth of what the check lets a piece reach over an edge."""
_CORNERS = (64, 40, 24, 14)
_MOST_PARTS = 12
"""Where two shapes meet is worked out from each part of the one with each of the other: combs get fewer corners."""
_SAME_SHARE = 1e-9


@dataclass(frozen=True, slots=True)
class Shape:
    """A piece in one way: box with its lowest corner at (0, 0), convex parts, and where its anchor lies in it.

    The parts are a hair smaller than the piece, so that shapes fit into gaps of their own size; the hair overlaps of
    pieces stay a tenth of what `check.py` allows. `bare`: the parts without the gap, if there is one.
    """

    member: Member
    size: Point
    parts: Parts = field(repr=False)
    anchor: Point | None
    bare: Parts | None = field(default=None, repr=False)


def shape_of(
    region: Region, member_id: str, move: Affine, *, anchor: Point | None = None, bare: Region | None = None
) -> Shape:
    """The piece `region`, the gap already around it, turned and mirrored by `move`, whose shift is not used.

    `bare`: the piece without the gap, where its own edge has to be known.
    """
    low_x, low_y, high_x, high_y = region.moved(Affine(move.turn_deg, mirrors=move.mirrors)).bounds
    to_corner = Affine(move.turn_deg, (-low_x, -low_y), move.mirrors)
    parts = _a_hair_smaller(region, to_corner)
    member = Member(member_id, move.turn_deg, move.mirrors, (-low_x, -low_y))
    spot = None
    if anchor:
        x, y = Affine(move.turn_deg, mirrors=move.mirrors).apply(anchor)
        spot = (x - low_x, y - low_y)
    bare_parts = _a_hair_smaller(bare, to_corner) if bare else None
    return Shape(member, (high_x - low_x, high_y - low_y), parts, spot, bare_parts)


def _a_hair_smaller(region: Region, move: Affine) -> Parts:
    for most in _CORNERS:
        parts = _parts(with_few_corners(region, most).moved(move))
        if len(parts) <= _MOST_PARTS:
            break
    return parts


def _parts(few: Region) -> Parts:
    hair = min(_HAIR_MM, _HAIR_SHARE * few.area_mm2 / few.perimeter_mm, _TIP_MM * _sharpness(few.outer_ring()))
    shrunk = few.grown(-hair)
    return convex_parts(few if shrunk.is_empty or len(list(shrunk.parts())) != 1 else shrunk)


def _sharpness(ring: Sequence[Point]) -> float:
    """Sine of half the sharpest angle of a ring: by so much more than the hair a needle's tip withdraws."""
    sharpest = 1.0
    for i, at in enumerate(ring):
        before, after = ring[i - 1], ring[(i + 1) % len(ring)]
        (ux, uy), (vx, vy) = ((end[0] - at[0], end[1] - at[1]) for end in (before, after))
        angle = math.atan2(abs(ux * vy - uy * vx), ux * vx + uy * vy)
        sharpest = min(sharpest, math.sin(angle / 2))
    return sharpest


def different(shapes: Iterable[Shape]) -> list[Shape]:
    """The shapes without those that look like an earlier one: a rectangle turned by 180 degrees."""
    found: list[Shape] = []
    for shape in shapes:
        if not any(_alike(shape, other) for other in found):
            found.append(shape)
    return found


def _alike(a: Shape, b: Shape) -> bool:
    if max(abs(a.size[i] - b.size[i]) for i in (0, 1)) > 1e-6 or (a.anchor is None) != (b.anchor is None):
        return False
    if a.anchor and b.anchor and max(abs(a.anchor[i] - b.anchor[i]) for i in (0, 1)) > 1e-6:
        return False
    one, other = (Region.union(Region.from_ring(part.tolist()) for part in shape.parts) for shape in (a, b))
    return one.is_alike(other, share=_SAME_SHARE)


class NoFits:
    """Where shapes meet one another, each pair worked out once. Shapes are named by their place in `shapes`."""

    def __init__(self, shapes: Sequence[Shape]) -> None:
        self.shapes = shapes
        self._found: dict[tuple[int, int], Region] = {}

    def of(self, still: int, moving: int) -> Region:
        """Shifts of `moving` at which it overlaps `still`, which lies with its box at (0, 0)."""
        if (still, moving) not in self._found:
            self._found[still, moving] = no_fit(self.shapes[still].parts, self.shapes[moving].parts)
        return self._found[still, moving]
