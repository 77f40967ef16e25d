"""The scraps at hand, made ready for the search."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import coarsened, near_lines
from bagwright.model.cover import CoverRequest, CoverScrap
from bagwright.piecing.rings import Corners, Numbers, Points, Whole, corners_of
from bagwright.piecing.screening import Mask, inner_points, rim_points
from bagwright.piecing.tidying import tidied, wanders

INNER, RIM = 64, 48
COARSE_MM = 0.8
_INSET_MM = 1.0
_LENGTH_MM, _TRACED_MM = 0.05, 1.2
_RIGHT = np.pi / 2
_MOST_PRIOR = 14.0


@dataclass(frozen=True, slots=True)
class Heap:
    """Scraps with their corners, areas, borders' lengths, sample points, turns allowed (radians; none: any turn).

    `shapes`: the outlines that the search works with: those that wander are tidied. `outward`: corners that
    stick out once small bends are straightened. `wanders`: whether most outlines do, as those read from a photo.
    `keep_off`: the ground too near the lines that joins keep off.
    `promise`: how much the edges of a scrap look as if another scrap had been cut off there: equal lengths between
    angles that add up to a straight line.
    """

    scraps: tuple[CoverScrap, ...]
    shapes: tuple[Region, ...]
    corners: Corners
    outward: Corners
    areas: Numbers
    rounds_mm: Numbers
    middles: Points
    inner: Points
    rims: Points
    turns: Numbers | None
    wanders: bool
    keep_off: Region | None
    promise: Numbers
    _fills: dict[int, Mask] = field(default_factory=dict, repr=False, compare=False)

    def filled(self, scrap: int) -> Mask:
        """The raster of one scrap in its own frame; made when first asked for."""
        if scrap not in self._fills:
            self._fills[scrap] = Mask.of(self.shapes[scrap].rings())
        return self._fills[scrap]


def ready_heap(request: CoverRequest, *, length_mm: float = _LENGTH_MM) -> Heap:
    """All that the search asks of the scraps again and again; edges are equal within `length_mm`."""
    scraps = request.scraps
    wandering = [wanders(scrap.region) for scrap in scraps]
    shapes = tuple(tidied(one.region) if bent else one.region for one, bent in zip(scraps, wandering, strict=True))
    is_traced = sum(wandering) > len(scraps) / 2
    length_mm = _TRACED_MM if is_traced else length_mm
    rings = [shape.rings() for shape in shapes]
    outer = [one[0] for one in rings]
    owners = [number for number, one in enumerate(rings) for _ in one]
    corners = corners_of([ring for one in rings for ring in one], owners)
    turns = None
    if request.keeps_grain:
        along = np.radians([-(scrap.grain_deg or 0.0) for scrap in scraps])
        turns = np.column_stack([along, along + np.pi])
    return Heap(
        scraps=scraps,
        shapes=shapes,
        corners=corners,
        outward=_outward(shapes),
        areas=np.array([scrap.region.area_mm2 for scrap in scraps]),
        rounds_mm=np.array([shape.perimeter_mm for shape in shapes]),
        middles=np.array([ring.mean(axis=0) for ring in outer]),
        inner=np.stack([inner_points(ring, INNER) for ring in outer]),
        rims=np.stack([rim_points(ring, RIM, inset_mm=_INSET_MM) for ring in outer]),
        turns=turns,
        wanders=is_traced,
        keep_off=_keep_off(request),
        promise=_promise(corners, _next_corner([len(ring) for one in rings for ring in one]), len(scraps), length_mm),
    )


def _keep_off(request: CoverRequest) -> Region | None:
    return near_lines([list(line) for line in request.keep_off], request.keep_off_mm) if request.keep_off else None


def _outward(shapes: tuple[Region, ...]) -> Corners:
    rings = [coarsened(shape, COARSE_MM).rings() for shape in shapes]
    corners = corners_of(
        [ring for one in rings for ring in one], [number for number, one in enumerate(rings) for _ in one]
    )
    return corners.only(corners.angle < np.pi - 0.05)


def _promise(corners: Corners, following: Whole, count: int, length_mm: float) -> Numbers:
    """For each scrap, how telling its mates are: a mate edge runs the other way and is as long."""
    order = np.argsort(corners.out_mm, kind="stable")
    found = np.zeros(count)
    for step in range(1, 12):
        one, other = order[:-step], order[step:]
        alike = (corners.out_mm[other] - corners.out_mm[one] < length_mm) & (corners.out_mm[one] > 2)
        alike &= corners.owner[one] != corners.owner[other]
        one, other = one[alike], other[alike]
        tells = _tells(corners.angle[one], corners.angle[following[other]])
        tells = tells + _tells(corners.angle[following[one]], corners.angle[other])
        said = np.where(tells > 0, tells + 3, 0.0)
        found += np.bincount(corners.owner[one], said, count) + np.bincount(corners.owner[other], said, count)
    return np.minimum(found, _MOST_PRIOR)


def _tells(angle: Numbers, other: Numbers) -> Numbers:
    """What it says that two angles add up to a straight line, or to a full turn; right angles say little."""
    both = angle + other
    fits = (np.abs(both - np.pi) < 0.004) | (np.abs(both - 2 * np.pi) < 0.004)
    return np.where(fits, np.where(np.abs(angle - _RIGHT) < 0.01, 1.0, 4.0), 0.0)


def _next_corner(lengths: list[int]) -> Whole:
    """Which corner each out edge leads to; corners of one ring follow one another."""
    following = np.arange(1, sum(lengths) + 1)
    ends = np.cumsum(lengths)
    following[ends - 1] = ends - lengths
    return following
