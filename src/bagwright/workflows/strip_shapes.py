"""Which pieces are strips, which way they lie, and how a bag has hers cut."""

from __future__ import annotations

from bagwright.cutting.banded import is_rectangle
from bagwright.geometry.region import Region
from bagwright.model.bag import Bag
from bagwright.model.bands import StripWay
from bagwright.model.piece import CutPiece

STRIP_RATIO = 4.0
"""A rectangle at least so many times as long as it is wide is a strip."""
_BIAS_SLACK_DEG = 1.0


def strip_sides_mm(region: Region) -> tuple[float, float] | None:
    """Length and width if it is a strip.

    >>> strip_sides_mm(Region.rectangle((0, 0), (30, 400))), strip_sides_mm(Region.rectangle((0, 0), (30, 100)))
    ((400.0, 30.0), None)
    """
    short, long = sorted((region.width_mm, region.height_mm))
    return (long, short) if is_rectangle(region) and long >= STRIP_RATIO * short else None


def grain_off_deg(region: Region, grain_deg: float) -> float:
    """Angle from its long side to the grain, 0 to 90."""
    along = 0.0 if region.width_mm > region.height_mm else 90.0
    return abs((grain_deg - along + 90) % 180 - 90)


def lies_on_bias(off_deg: float) -> bool:
    """Whether a strip so far off the grain is cut slantwise."""
    return abs(off_deg - 45) <= _BIAS_SLACK_DEG


def way_of(cut: CutPiece, bag: Bag) -> StripWay:
    """How the bag has it cut: a wish for the piece goes before one for its material; LAID if it is no strip."""
    if not bag.strip_wishes or strip_sides_mm(cut.region) is None:
        return StripWay.LAID
    is_bias = lies_on_bias(grain_off_deg(cut.region, cut.grain_deg))
    suiting = [
        wish
        for wish in bag.strip_wishes
        if wish.material_id == cut.material_id
        and wish.piece_id in (cut.id, "")
        and (wish.way is StripWay.LAID or wish.way.is_bias == is_bias)
    ]
    own = next((wish for wish in suiting if wish.piece_id), None) or next(iter(suiting), None)
    return own.way if own else StripWay.LAID
