"""Straight lines between shapes that lie beside each other, and how much room there is at each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bagwright.geometry.no_fit import convex_parts
from bagwright.geometry.region import Bounds, Region

Floats = npt.NDArray[np.float64]
Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class ConvexParts:
    """A shape as convex parts, one after the other: `starts` says with which corner each begins.

    `corners` [corner, axis] in mm, counter-clockwise in each part; `normals` [side, axis], one for the side after each
    corner, point outwards and have length 1.
    """

    corners: Floats
    normals: Floats
    starts: Indices

    @classmethod
    def of(cls, region: Region) -> ConvexParts:
        """The parts of a region without holes."""
        rings = convex_parts(region)
        sides = np.concatenate([np.roll(ring, -1, axis=0) - ring for ring in rings])
        outwards = np.stack([sides[:, 1], -sides[:, 0]], axis=1) / np.hypot(*sides.T)[:, None]
        starts = np.cumsum([0, *(len(ring) for ring in rings[:-1])])
        return cls(np.concatenate(rings), outwards, starts)

    def shifted(self, dx_mm: float, dy_mm: float) -> ConvexParts:
        """Moved without turning."""
        return ConvexParts(self.corners + np.array([dx_mm, dy_mm]), self.normals, self.starts)

    @property
    def bounds(self) -> Bounds:
        """Least x and y, greatest x and y, mm."""
        (low_x, low_y), (high_x, high_y) = self.corners.min(axis=0), self.corners.max(axis=0)
        return float(low_x), float(low_y), float(high_x), float(high_y)


def separations(one: ConvexParts, other: ConvexParts) -> tuple[Floats, Floats]:
    """For each part of one and each of the other: the way across the side that parts them best, and the room there.

    [pair, axis] directions of length 1 from one to the other, and [pair] gaps in mm, negative where parts overlap.
    As long as the other moves by d, and the gap plus the share of d in the direction stays above 0, the two parts
    can't meet: two convex shapes lie apart if and only if a side of one of them has the other beyond it (the
    separating-axis theorem; plane polygons). Takes time and room as the corners of one times those of the other.

    >>> low, high = (ConvexParts.of(Region.rectangle(at, to)) for at, to in [((0, 0), (2, 1)), ((1, 4), (3, 5))])
    >>> directions, gaps = separations(low, high)
    >>> directions.tolist(), gaps.tolist()
    ([[0.0, 1.0]], [3.0])
    """
    from_one, gaps_from_one = _beyond_best_side(one, other)
    from_other, gaps_from_other = _beyond_best_side(other, one)
    directions = np.where((gaps_from_one >= gaps_from_other.T)[..., None], from_one, -from_other.swapaxes(0, 1))
    return directions.reshape(-1, 2), np.maximum(gaps_from_one, gaps_from_other.T).reshape(-1)


def _beyond_best_side(one: ConvexParts, other: ConvexParts) -> tuple[Floats, Floats]:
    """[part of one, part of other]: normal of the side of the one that has the other farthest beyond it; how far."""
    here = np.einsum("si,si->s", one.normals, one.corners)
    beyond = np.minimum.reduceat(one.normals @ other.corners.T, other.starts, axis=1) - here[:, None]
    most = np.maximum.reduceat(beyond, one.starts, axis=0)
    sides = np.arange(len(here))
    is_best = beyond == np.repeat(most, np.diff(np.append(one.starts, len(here))), axis=0)
    best = np.minimum.reduceat(np.where(is_best, sides[:, None], len(here)), one.starts, axis=0)
    return one.normals[best], most
