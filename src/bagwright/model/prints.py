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

    def motif_near(self, at: Point) -> Point:
        """The nearest motif of the row nearest to `at`; where there is no repeat, as far along or across as `at`.

        >>> Repeat(along_mm=100, across_mm=80, drop_share=0.5, first_across_mm=30).motif_near((260, 120))
        (250.0, 110.0)
        """
        x, y = at
        row = round((y - self.first_across_mm) / self.across_mm) if self.across_mm else 0
        if self.across_mm:
            y = self.first_across_mm + row * self.across_mm
        if self.along_mm:
            begins = self.first_along_mm + row * self.drop_share * self.along_mm
            x = begins + self.along_mm * round((x - begins) / self.along_mm)
        return float(x), float(y)


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
