"""The scraps at hand, made ready for the search."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bagwright.model.cover import CoverRequest, CoverScrap
from bagwright.piecing.measures import rings_of
from bagwright.piecing.rings import Corners, Numbers, Points, corners_of
from bagwright.piecing.screening import inner_points, rim_points

INNER, RIM = 64, 48
_INSET_MM = 1.0
_LENGTH_MM = 0.05
_RIGHT = np.pi / 2
_MOST_PRIOR = 14.0


@dataclass(frozen=True, slots=True)
class Heap:
    """Scraps with their corners, areas, sample points, turns allowed (radians; none: any turn).

    `promise`: how much the edges of a scrap look as if another scrap had been cut off there: equal lengths between
    angles that add up to a straight line.
    """

    scraps: tuple[CoverScrap, ...]
    corners: Corners
    areas: Numbers
    middles: Points
    inner: Points
    rims: Points
    turns: Numbers | None
    promise: Numbers


def ready_heap(request: CoverRequest, *, length_mm: float = _LENGTH_MM) -> Heap:
    """All that the search asks of the scraps again and again; edges are equal within `length_mm`."""
    scraps = request.scraps
    rings = [rings_of(scrap.region) for scrap in scraps]
    outer = [one[0] for one in rings]
    owners = [number for number, one in enumerate(rings) for _ in one]
    corners = corners_of([ring for one in rings for ring in one], owners)
    turns = None
    if request.keeps_grain:
        along = np.radians([-(scrap.grain_deg or 0.0) for scrap in scraps])
        turns = np.column_stack([along, along + np.pi])
    return Heap(
        scraps=scraps,
        corners=corners,
        areas=np.array([scrap.region.area_mm2 for scrap in scraps]),
        middles=np.array([ring.mean(axis=0) for ring in outer]),
        inner=np.stack([inner_points(ring, INNER) for ring in outer]),
        rims=np.stack([rim_points(ring, RIM, inset_mm=_INSET_MM) for ring in outer]),
        turns=turns,
        promise=_promise(corners, len(scraps), length_mm),
    )


def _promise(corners: Corners, count: int, length_mm: float) -> Numbers:
    """For each scrap, how telling its mates are: a mate edge runs the other way and is as long."""
    lengths = corners.out_mm
    order = np.argsort(lengths)
    found = np.zeros(count)
    ends = _next_corner(corners)
    for step in range(1, 12):
        one, other = order[:-step], order[step:]
        alike = (lengths[other] - lengths[one] < length_mm) & (corners.owner[one] != corners.owner[other])
        alike &= lengths[one] > 2
        one, other = one[alike], other[alike]
        for i, j in zip(one.tolist(), other.tolist(), strict=True):
            pairs = ((corners.angle[i], corners.angle[ends[j]]), (corners.angle[ends[i]], corners.angle[j]))
            tells = sum(_tells(float(a), float(b)) for a, b in pairs)
            if tells:
                found[corners.owner[i]] += 3 + tells
                found[corners.owner[j]] += 3 + tells
    return np.minimum(found, _MOST_PRIOR)


def _tells(angle: float, other: float) -> float:
    if abs(angle + other - np.pi) > 0.004 and abs(angle + other - 2 * np.pi) > 0.004:
        return 0.0
    return 1.0 if abs(angle - _RIGHT) < 0.01 else 4.0


def _next_corner(corners: Corners) -> list[int]:
    """Which corner each out edge leads to; corners of one ring follow one another."""
    following = []
    first = 0
    for at in range(len(corners.owner)):
        target = corners.at[at] + np.array([np.cos(corners.out[at]), np.sin(corners.out[at])]) * corners.out_mm[at]
        is_last = at + 1 == len(corners.owner) or float(np.abs(corners.at[at + 1] - target).max()) > 1e-6
        following.append(first if is_last else at + 1)
        if is_last:
            first = at + 1
    return following
