"""Straight lines between shapes that lie beside each other, and how much room there is at each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bagwright.geometry.no_fit import convex_parts
from bagwright.geometry.region import Region

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ConvexParts:
    """A shape as convex parts, each with as many corners as the one with most: the last is repeated.

    `corners` [part, corner, axis] in mm, counter-clockwise; `normals` [part, side, axis] point outwards and have
    length 1, or 0 where a side has no length.
    """

    corners: Floats
    normals: Floats

    @classmethod
    def of(cls, region: Region) -> ConvexParts:
        """The parts of a region without holes."""
        rings = [ring if _area(ring) > 0 else ring[::-1] for ring in convex_parts(region)]
        most = max(len(ring) for ring in rings)
        corners = np.stack([np.concatenate([ring, np.repeat(ring[-1:], most - len(ring), axis=0)]) for ring in rings])
        sides = np.roll(corners, -1, axis=1) - corners
        lengths = np.hypot(sides[..., 0], sides[..., 1])[..., None]
        outwards = np.stack([sides[..., 1], -sides[..., 0]], axis=-1)
        return cls(corners, np.divide(outwards, lengths, out=np.zeros_like(outwards), where=lengths > 0))

    def shifted(self, dx_mm: float, dy_mm: float) -> ConvexParts:
        """Moved without turning."""
        return ConvexParts(self.corners + np.array([dx_mm, dy_mm]), self.normals)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y, mm."""
        points = self.corners.reshape(-1, 2)
        (low_x, low_y), (high_x, high_y) = points.min(axis=0), points.max(axis=0)
        return float(low_x), float(low_y), float(high_x), float(high_y)


def _area(ring: Floats) -> float:
    following = np.roll(ring, -1, axis=0)
    return float((ring[:, 0] * following[:, 1] - following[:, 0] * ring[:, 1]).sum())


def separations(one: ConvexParts, other: ConvexParts) -> tuple[Floats, Floats]:
    """For each part of one and each of the other: the way across the side that parts them best, and the room there.

    [pair, axis] directions of length 1 from one to the other, and [pair] gaps in mm, negative where parts overlap.
    As long as the other moves by d, and the gap plus the share of d in the direction stays above 0, the two parts
    can't meet: two convex shapes lie apart if and only if a side of one of them has the other beyond it (the
    separating-axis theorem; plane polygons).

    >>> low, high = (ConvexParts.of(Region.rectangle(at, size)) for at, size in [((0, 0), (2, 1)), ((1, 4), (3, 5))])
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
    nearest = np.einsum("pki,qci->pkqc", one.normals, other.corners).min(axis=3)
    starts = np.einsum("pki,pki->pk", one.normals, one.corners)
    has_length = np.any(one.normals != 0, axis=2)
    beyond = np.where(has_length[:, :, None], nearest - starts[:, :, None], -np.inf)
    best = beyond.argmax(axis=1)
    part = np.arange(len(best))[:, None]
    return one.normals[part, best], np.take_along_axis(beyond, best[:, None, :], axis=1)[:, 0, :]
