"""How far a shape can slide along an axis before it meets another, from the exact outlines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bagwright.geometry.region import Region

Floats = npt.NDArray[np.float64]

_SLIVER = 1e-9
"""Shapes that share less than this much of the heights (mm, relative to their own) pass one another."""


@dataclass(frozen=True, slots=True)
class Edges:
    """Straight edges, none of them level, each from its lower to its higher end."""

    low: Floats
    high: Floats

    @property
    def is_upright(self) -> bool:
        """Whether this is a single edge straight across the axis."""
        return len(self.low) == 1 and bool(self.low[0, 0] == self.high[0, 0])

    def moved(self, distance_mm: float) -> Edges:
        """Slid along the axis."""
        step = np.array([distance_mm, 0.0])
        return Edges(self.low + step, self.high + step)


@dataclass(frozen=True, slots=True)
class Sides:
    """A shape without holes as sliding sees it: its extent, the edges at its back, the edges at its front.

    `axis` 0: shapes slide along x, and heights are measured along y; 1: the other way round.
    """

    along: tuple[float, float]
    across: tuple[float, float]
    back: Edges
    front: Edges

    @classmethod
    def of(cls, region: Region, *, axis: int = 0) -> Sides:
        """Sides of a region in one part."""
        ring = region.outer_corners()[:, [axis, 1 - axis]]
        ends = np.concatenate([ring[1:], ring[:1]])
        falls, rises = ring[:, 1] > ends[:, 1], ring[:, 1] < ends[:, 1]
        falling, rising = Edges(ends[falls], ring[falls]), Edges(ring[rises], ends[rises])
        # The ring runs counter-clockwise, so its falling edges are at the back; swapping the axes mirrors it.
        back, front = (falling, rising) if axis == 0 else (rising, falling)
        bounds = region.bounds
        return cls((bounds[axis], bounds[axis + 2]), (bounds[1 - axis], bounds[3 - axis]), back, front)

    def moved(self, distance_mm: float) -> Sides:
        """Slid along the axis."""
        along = (self.along[0] + distance_mm, self.along[1] + distance_mm)
        return Sides(along, self.across, self.back.moved(distance_mm), self.front.moved(distance_mm))

    def shares_heights_with(self, other: Sides) -> bool:
        """Whether the one can ever meet the other by sliding."""
        shared = min(self.across[1], other.across[1]) - max(self.across[0], other.across[0])
        return shared > _SLIVER * max(1.0, self.across[1] - self.across[0])


def free_run_mm(mover: Sides, still: Sides, *, overlap_mm: float = 0.0) -> float:
    """How far `mover` can slide back along the axis until it touches `still`; infinite if it never does.

    Edges of `still` that lie up to `overlap_mm` ahead of the mover's count too: then the run is negative, the way
    out of a shallow overlap.

    >>> block = Sides.of(Region.rectangle((0, 0), (2, 5)))
    >>> free_run_mm(Sides.of(Region.from_ring([(9, 4), (12, 3), (12, 6)])), block)
    7.0
    >>> free_run_mm(Sides.of(Region.rectangle((1.9, 0), (4, 5))), block, overlap_mm=0.5)
    -0.10000000000000009
    """
    if not mover.shares_heights_with(still):
        return float("inf")
    if mover.back.is_upright and still.front.is_upright:  # as of rectangles: no need to look further
        gap_mm = float(mover.back.low[0, 0] - still.front.low[0, 0])
        return gap_mm if gap_mm >= -overlap_mm - _SLIVER else float("inf")
    low, high = max(mover.across[0], still.across[0]), min(mover.across[1], still.across[1])
    ends = [edges[:, 1] for edges in (mover.back.low, mover.back.high, still.front.low, still.front.high)]
    heights = np.concatenate([*ends, [low, high]])
    heights = np.unique(heights[(heights >= low) & (heights <= high)])
    bands = np.stack([heights[:-1], heights[1:]])
    bands = bands[:, bands[1] - bands[0] > _SLIVER]
    gaps = _positions(mover.back, bands)[:, :, :, None] - _positions(still.front, bands)[:, :, None, :]
    behind = gaps.mean(axis=0) >= -overlap_mm - _SLIVER
    nearest = gaps.min(axis=0)[behind]
    return float(nearest.min()) if nearest.size else float("inf")


def _positions(edges: Edges, bands: Floats) -> Floats:
    """[end of band, band, n-th edge in it]: where edges are at the bottom and the top of each band; else NaN.

    Bands hold few edges each, whatever an outline has in all: only as many columns stand as the fullest band needs.
    """
    middles = bands.mean(axis=0)
    first = np.searchsorted(middles, edges.low[:, 1], side="right")
    crossed = np.maximum(np.searchsorted(middles, edges.high[:, 1], side="left") - first, 0)
    # An edge crosses bands that follow one another: only these are looked at, not every band for every edge.
    edge = np.repeat(np.arange(len(crossed)), crossed)
    band = np.arange(len(edge)) - np.repeat(np.cumsum(crossed) - crossed - first, crossed)
    by_band = np.argsort(band, kind="stable")
    edge, band = edge[by_band], band[by_band]
    held = np.bincount(band, minlength=len(middles))
    column = np.arange(len(band)) - np.repeat(np.cumsum(held) - held, held)
    run, rise = edges.high[:, 0] - edges.low[:, 0], edges.high[:, 1] - edges.low[:, 1]
    found: Floats = np.full((2, len(middles), int(held.max(initial=0))), np.nan)
    found[:, band, column] = edges.low[edge, 0] + (run / rise)[edge] * (bands[:, band] - edges.low[edge, 1])
    return found


def free_run_among_mm(mover: Sides, others: Sequence[Sides], *, overlap_mm: float = 0.0) -> float:
    """The shortest of the free runs towards any of `others`, which are walked nearest first."""
    shortest = float("inf")
    for still in sorted(others, key=lambda other: -other.along[1]):
        if mover.along[0] - still.along[1] >= shortest:
            break
        shortest = min(shortest, free_run_mm(mover, still, overlap_mm=overlap_mm))
    return shortest
