"""Which of many regions lie near one another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import shapely

from bagwright.geometry.region import Region


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Answers quickly, by the boxes of the regions."""

    tree: shapely.STRtree

    @classmethod
    def of(cls, regions: Iterable[Region]) -> Neighbours:
        """Index these regions, by position."""
        return cls(shapely.STRtree([region.shape for region in regions]))

    def near(self, region: Region, *, within_mm: float = 0.0) -> list[int]:
        """Positions of the regions whose bounding boxes come within `within_mm`, in order."""
        low_x, low_y, high_x, high_y = region.bounds
        box = shapely.box(low_x - within_mm, low_y - within_mm, high_x + within_mm, high_y + within_mm)
        return sorted(int(i) for i in self.tree.query(box))
