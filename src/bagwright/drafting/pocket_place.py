"""Where pockets lie on a face: the room they have, their lines on it, how they bend with it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from bagwright.drafting.faces import Box, Face
from bagwright.drafting.measurements import Room, Sizes
from bagwright.geometry.curves import Point
from bagwright.model.piece import Bend, Piece, PlacementLine

BELOW_TOP_MM = 38.1
"""From the top edge of the bag to that of a pocket (common practice, no source)."""
MARGIN_MM = 12.7
"""What stays free beside and below a pocket, so that seams can be sewn past it (common practice, no source)."""
HAIR_MM = 0.01
"""By so much a round bend ends before the edge of what it bends, so that it is told apart from a fold there."""
TOO_SMALL = "is too small to be a pocket"


def room_across(face: Face) -> Room:
    """What a pocket may measure across."""

    def limits(sizes: Sizes) -> tuple[float, float]:
        return 0.0, face.box(sizes).width_mm - 2 * MARGIN_MM

    return Room(face.keys, limits, TOO_SMALL, "is too wide for the face of the bag")


def room_upright(face: Face) -> Room:
    """What a pocket may measure upright."""

    def limits(sizes: Sizes) -> tuple[float, float]:
        return 0.0, face.box(sizes).height_mm - BELOW_TOP_MM - MARGIN_MM

    return Room(face.keys, limits, TOO_SMALL, "is too tall for the face of the bag")


def pocket_box(face: Face, sizes: Sizes, width_mm: float, height_mm: float) -> Box:
    """Where a pocket of that size lies, in the middle of the face."""
    box = face.box(sizes)
    return Box(box.middle_mm - width_mm / 2, box.top_mm - BELOW_TOP_MM - height_mm, width_mm, height_mm)


def lines_through(corners: Sequence[tuple[str, Point]], last: Point) -> tuple[PlacementLine, ...]:
    """Lines end to end: each is named with its start, the last one ends at `last`."""
    ends = [*(point for _, point in corners[1:]), last]
    return tuple(PlacementLine(name, start, end) for (name, start), end in zip(corners, ends, strict=True))


def lines_round(word: str, box: Box) -> tuple[PlacementLine, ...]:
    """The four sides of a box as lines that start with `word`, walked the way the edges of a piece are."""
    left, right, low, top = box.left_mm, box.left_mm + box.width_mm, box.bottom_mm, box.top_mm
    corners = {"left": (left, top), "bottom": (left, low), "right": (right, low), "top": (right, top)}
    return lines_through([(f"{word}_{side}", at) for side, at in corners.items()], (left, top))


def bends_on(face: Face, sizes: Sizes, box: Box) -> tuple[Bend, ...]:
    """How a piece bends over a stretch of it that lies on the face; right sides look the same way."""
    if face.radius_mm is None:
        return ()
    radius, middle = face.radius_mm(sizes), box.bottom_mm + box.height_mm / 2
    long = (box.height_mm if face.is_lying else box.width_mm) - 2 * HAIR_MM
    turn = (-1.0 if face.is_inside else 1.0) * math.degrees(long / radius)
    if face.is_lying:
        return (Bend((box.left_mm, middle), (box.left_mm + box.width_mm, middle), turn, radius),)
    return (Bend((box.middle_mm, box.bottom_mm), (box.middle_mm, box.top_mm), turn, radius),)


def turned_over(bends: Sequence[Bend]) -> tuple[Bend, ...]:
    """The same where the right side looks the other way."""
    return tuple(replace(bend, angle_deg=-bend.angle_deg) for bend in bends)


def with_note(piece: Piece, told: str) -> Piece:
    """The piece with one more sentence in its note."""
    return replace(piece, note=f"{piece.note} {told}".strip())
