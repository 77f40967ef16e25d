"""The finished bag folded up in space from its pieces and seams: flat facets, and how well the seams close."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.geometry.facets import FacetEdge
from bagwright.geometry.space import Point3

GAP_TOLERANCE_MM = 0.5
Copy = tuple[str, int]
"""A piece's id and the number of its copy, counted from 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedFacet:
    """A flat part of one copy: x to the right, y away from the front, z upwards from the ground, all in mm.

    Corners run counter-clockwise seen from its right side, out of which `normal` points. `is_double`: cloth folded on
    itself, so both faces are right sides. Facets of one `plane` lie on one another, `rank` counting towards the right
    side. `lines` are stitched on it.
    """

    piece_id: str
    copy: int
    role: str
    points: tuple[Point3, ...]
    edges: tuple[FacetEdge, ...]
    normal: Point3
    plane: int
    rank: int
    is_double: bool = False
    lines: tuple[tuple[Point3, Point3], ...] = ()


@dataclass(frozen=True, slots=True)
class SeamGap:
    """How far the sides of a seam lie apart at worst where the bag is folded up; ease is taken off.

    `threads` lead from side to side along a seam that gapes by more than `GAP_TOLERANCE_MM`.
    """

    seam_id: str
    gap_mm: float
    threads: tuple[tuple[Point3, Point3], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldUp:
    """A bag folded up: flat and bent panels, straps hanging in arches, no weight and no thickness.

    `assembled_size_mm`: how wide, deep and high its faces stand. `lean_mm`: by how much less deep it is above than on
    the ground, at each face. `base_width_mm`: how wide it is on the ground. `capacity_l`: litres inside the lining (the
    outer if there is none), None for a bag that lies flat. `unplaced`: copies that no seam joins to the rest.
    """

    facets: tuple[FoldedFacet, ...]
    gaps: tuple[SeamGap, ...]
    assembled_size_mm: tuple[float, float, float]
    base_width_mm: float
    lean_mm: float
    capacity_l: float | None
    unplaced: tuple[Copy, ...] = ()

    @property
    def worst_seam(self) -> SeamGap:
        """The seam that closes worst, the first of several alike; of a bag without seams, none with no gap."""
        return max(self.gaps, key=lambda gap: round(gap.gap_mm, 3), default=SeamGap("", 0.0))
