"""Printed cloth: after which distance the print comes again, and where it goes on from piece to piece."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.geometry.curves import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """A print. One motif lies at (`first_along_mm`, `first_across_mm`), the next `along_mm` on and `across_mm` up.

    Where along the cloth the first one lies is up to where the cloth is cut off; across, the weaver settled it. 0 in
    one direction: anywhere will do. `drop_share`: each row across lies by this share of `along_mm` further along
    than the row below it; 0.5 is a half drop, which needs both repeats.
    """

    along_mm: float = 0.0
    across_mm: float = 0.0
    drop_share: float = 0.0
    first_along_mm: float = 0.0
    first_across_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class PrintPoint:
    """Where the print of a piece goes on across a seam: at `at`, with the seam running towards `along_deg` from there.

    Both are told in the frame of the outline. All points that name one seam fall on the same point of the print, and
    the pieces are turned so that the seam runs the same way on all of them. `mirrored`: which copies of a mirrored pair
    it is said of.
    """

    seam: str
    at: Point
    along_deg: float = 0.0
    mirrored: bool = False
