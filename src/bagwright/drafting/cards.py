"""Plastic cards, and what a pocket must be to hold one."""

from __future__ import annotations

import math

from bagwright.model.source import Source, SourceKind

CARD_WIDTH_MM = 85.60
CARD_HEIGHT_MM = 53.98
"""Card ID-1 of ISO/IEC 7810, 85.60 x 53.98 mm. Values from memory; the standard was not at hand."""
CARD_SIDE_EASE_MM = 4.0
CARD_TOP_EASE_MM = 3.0
CARD_LIFT_MM = 2.0
"""How far a rounded corner may hold a card up before it counts as not going in."""
CARD_SOURCE = Source(SourceKind.TYPICAL, "card ID-1 of ISO/IEC 7810 (85.60 x 53.98 mm, from memory) and ease")


def pocket_height_mm(step_mm: float) -> float:
    """Foot to top of a pocket: a card less one step, so that every card shows by one step.

    The top of each card then lies level with the top of the next pocket behind.

    >>> round(pocket_height_mm(12), 2)
    41.98
    """
    return CARD_HEIGHT_MM - step_mm


def corner_lift_mm(radius_mm: float, side_room_mm: float) -> float:
    """How far a rounded corner keeps a card, pushed `side_room_mm` away from the side, off the straight edge.

    The card's square corner rests on the arc: lift = r - sqrt(r^2 - (r - g)^2), 0 once g reaches r. A real card's own
    rounded corners are left out, which is the safe side.

    >>> round(corner_lift_mm(10, 4), 6), corner_lift_mm(4, 10)
    (2.0, 0.0)
    """
    if side_room_mm >= radius_mm:
        return 0.0
    return radius_mm - math.sqrt(radius_mm**2 - (radius_mm - side_room_mm) ** 2)


def roundest_corner_mm(side_room_mm: float) -> float:
    """Largest corner radius that holds a card up by no more than `CARD_LIFT_MM`.

    `corner_lift_mm` solved for r: g + l + sqrt(2 g l).

    >>> round(roundest_corner_mm(8), 3)
    15.657
    """
    return side_room_mm + CARD_LIFT_MM + math.sqrt(2 * side_room_mm * CARD_LIFT_MM)
