"""Where scraps might lie: corner on corner, with at least one edge along an edge of what is bare."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bagwright.piecing.heap import Heap
from bagwright.piecing.rings import Corners, Flags, ManyPoints, Numbers, Points, Whole
from bagwright.piecing.screening import Mask

_NO_TURN = 0.012
_SMOOTH = 0.4
_SCREENED = 500
_MOST_PAIRS = 1_500_000
_MOST_ALIKE = 60_000
"""Not more pairs of corners are weighed; only outlines of thousands of equal corners have as many."""
_MOST_REACHING = 24_000
_ALIKE_TIMES = 4
"""So many of the poses of trimmed scraps are one: a corner on each corner, say."""
_SPOTS = 20
_TURNS = 6


@dataclass(frozen=True, slots=True)
class Closeness:
    """How nearly outlines must agree to be taken for a match.

    `angle` in radians and `length_mm`: corners and edges that are equal. `key_turn`, `key_mm`: poses that are one.
    `sliver_mm`: gaps this thin between scraps are closed. `rim_inside`: share of the rim that must lie on bare ground.
    `waste_share`: of a scrap's area, what may lie outside. `refines`: poses are fitted to all corners that meet.
    """

    angle: float
    length_mm: float
    key_turn: float
    key_mm: float
    sliver_mm: float
    rim_inside: float
    waste_share: float
    refines: bool


EXACT = Closeness(0.006, 0.06, 0.01, 0.6, 0.1, 0.93, 0.004, refines=False)
"""Outlines as they were cut: drawn, or known from a layout."""
NEAR = Closeness(0.03, 1.2, 0.03, 3.0, 1.2, 0.85, 0.02, refines=True)
"""Outlines as read from a photo."""


@dataclass(frozen=True, slots=True)
class Poses:
    """Scraps turned (radians) about their origin, then shifted; `telling`: how unlikely the match is by chance."""

    scrap: Whole
    turn: Numbers
    shift: Points
    telling: Numbers

    def only(self, chosen: Flags | Whole) -> Poses:
        """The chosen ones."""
        return Poses(self.scrap[chosen], self.turn[chosen], self.shift[chosen], self.telling[chosen])

    def first(self, most: int) -> Poses:
        """So many of them at most, in their order."""
        return self.only(np.arange(min(most, len(self.scrap))))

    def and_those(self, others: Poses) -> Poses:
        """These poses and then the others."""
        return Poses(
            np.concatenate([self.scrap, others.scrap]),
            np.concatenate([self.turn, others.turn]),
            np.concatenate([self.shift, others.shift]),
            np.concatenate([self.telling, others.telling]),
        )


def _wrapped(angle: Numbers) -> Numbers:
    return np.asarray((angle + np.pi) % (2 * np.pi) - np.pi)


def turned(points: Points, turn: Numbers) -> Points:
    """Points (n, ..., 2) turned by n angles.

    >>> turned(np.array([[1.0, 0.0]]), np.array([np.pi / 2])).round(6).tolist()
    [[0.0, 1.0]]
    """
    moved = _numbers(points) * np.exp(1j * turn).reshape((len(turn),) + (1,) * (points.ndim - 2))
    return _pairs(moved)


def _numbers(points: Points) -> npt.NDArray[np.complex128]:
    """Points as complex numbers: these turn several times as fast."""
    return np.ascontiguousarray(points, dtype=np.float64).view(np.complex128)[..., 0]


def _pairs(numbers: npt.NDArray[np.complex128]) -> Points:
    return np.ascontiguousarray(numbers).view(np.float64).reshape(*numbers.shape, 2)


def matching_poses(bare: Corners, heap: Heap, free: Flags, close: Closeness) -> Poses:
    """Poses in which corners of equal angle fall on one another, each once, with all that speaks for them added up."""
    corners = heap.corners
    bare = _sharpest(bare, max(4, _MOST_PAIRS // len(corners.owner)))
    alike = np.abs(bare.angle[:, None] - corners.angle[None]) < close.angle
    alike &= (np.abs(bare.angle - np.pi) > _NO_TURN)[:, None] & free[corners.owner][None]
    u, s = np.nonzero(alike)
    out_same = np.abs(bare.out_mm[u] - corners.out_mm[s]) < close.length_mm
    into_same = np.abs(bare.into_mm[u] - corners.into_mm[s]) < close.length_mm
    smooth = np.abs(bare.angle[u] - np.pi) < _SMOOTH
    kept = ~smooth | out_same | into_same
    u, s = u[kept], s[kept]
    out_same, into_same, smooth = out_same[kept], into_same[kept], smooth[kept]
    right = np.abs(np.abs(bare.angle[u] - np.pi) - np.pi / 2) < 0.01
    telling = np.where(smooth, 0.6, np.where(right, 0.7, 5.0))
    edge_tells = np.where(smooth, 0.6, 3.5)
    telling = telling + edge_tells * out_same + edge_tells * into_same
    if len(u) > _MOST_ALIKE:
        most = np.sort(np.argpartition(-telling, _MOST_ALIKE)[:_MOST_ALIKE])
        u, s, telling = u[most], s[most], telling[most]
    by_out = np.minimum(bare.out_mm[u], corners.out_mm[s]) >= np.minimum(bare.into_mm[u], corners.into_mm[s])
    turn = np.where(by_out, bare.out[u] - corners.out[s], bare.into[u] - corners.into[s])
    return gathered(heap, placed(heap, (bare.at[u], corners.at[s], corners.owner[s]), turn, telling), close)


def _sharpest(corners: Corners, most: int) -> Corners:
    """So many at most: those that turn most."""
    order = np.argsort(-np.abs(corners.angle - np.pi), kind="stable")
    return corners.only(np.sort(order[:most]))


def reaching_poses(bare: Corners, heap: Heap, free: Flags, mask: Mask) -> Poses:
    """Poses with a corner on a corner, as `cornered_poses`, and some in the middle of `mask`."""
    return cornered_poses(bare, heap, free).and_those(_in_the_middle(heap, free, mask))


def cornered_poses(bare: Corners, heap: Heap, free: Flags) -> Poses:
    """Poses with a corner on a corner, whatever the angles; an edge along an edge, unless the grain says the turn."""
    corners = heap.outward.only(free[heap.outward.owner])
    bare = _sharpest(bare, max(2, _MOST_REACHING // max(1, len(corners.owner))))
    count, others = len(bare.angle), len(corners.angle)
    u, s = np.repeat(np.arange(count), others), np.tile(np.arange(others), count)
    if heap.turns is None:
        turns = bare.out[u] - corners.out[s], bare.into[u] - corners.into[s]
    else:
        turns = heap.turns[corners.owner[s], 0], heap.turns[corners.owner[s], 1]
    owner, none = corners.owner[s], np.zeros(len(u))
    one, other = (Poses(owner, turn, bare.at[u] - turned(corners.at[s], turn), none) for turn in turns)
    return one.and_those(other)


def _in_the_middle(heap: Heap, free: Flags, mask: Mask) -> Poses:
    """For outlines without corners: the middle of each scrap on spots spread over what is bare."""
    middles = mask.middles()
    spread = np.linspace(0, len(middles) - 1, min(_SPOTS, len(middles)))
    spots = middles[np.unique(spread.round().astype(np.intp))]
    turns = np.arange(_TURNS) * 2 * np.pi / _TURNS
    ways = _TURNS if heap.turns is None else 2
    scrap, spot, way = (
        one.ravel() for one in np.meshgrid(np.flatnonzero(free), np.arange(len(spots)), np.arange(ways))
    )
    turn = turns[way] if heap.turns is None else heap.turns[scrap, way]
    return Poses(scrap, turn, spots[spot] - turned(heap.middles[scrap], turn), np.zeros(len(scrap)))


def placed(
    heap: Heap, pairs: tuple[Points, Points, Whole], turn: Numbers, telling: Numbers, *, within: float = 0.01
) -> Poses:
    """Poses that put the second point on the first; those more than `within` radians off the grain are left out."""
    target, point, owner = pairs
    turn = _wrapped(turn)
    if heap.turns is not None:
        off = np.abs(_wrapped(turn[:, None] - heap.turns[owner]))
        way = off.argmin(axis=1)
        kept = off[np.arange(len(way)), way] < within
        turn = heap.turns[owner, way][kept]
        target, point, owner, telling = target[kept], point[kept], owner[kept], telling[kept]
    return Poses(owner, turn, target - turned(point, turn), telling)


def gathered(heap: Heap, poses: Poses, close: Closeness, *, adds: bool = True) -> Poses:
    """Poses that are one but for rounding, each once; what they tell is added up, or the most telling kept."""
    if not len(poses.scrap):
        return poses
    if not adds:
        poses = poses.only(np.argsort(-poses.telling, kind="stable"))
    middle = turned(heap.middles[poses.scrap], poses.turn) + poses.shift
    turn_key = np.round((poses.turn % (2 * np.pi)) / close.key_turn) % round(2 * np.pi / close.key_turn)
    keys = np.column_stack([poses.scrap, turn_key, np.round(middle / close.key_mm)]).astype(np.int64)
    mixed = ((keys[:, 0] * 1009 + keys[:, 1]) * 100_003 + keys[:, 2] + 30_000) * 100_003 + keys[:, 3] + 30_000
    _, first, group = np.unique(mixed, return_index=True, return_inverse=True)
    total = np.bincount(group, weights=poses.telling).astype(np.float64) if adds else poses.telling[first]
    return Poses(poses.scrap[first], poses.turn[first], poses.shift[first], total)


def points_at(samples: Points, poses: Poses) -> ManyPoints:
    """Sample points (scraps, points, 2) where the poses put them."""
    moved = _numbers(samples).astype(np.complex64)[poses.scrap]
    moved *= np.exp(1j * poses.turn).astype(np.complex64)[:, None]
    moved += _numbers(poses.shift).astype(np.complex64)[:, None]
    return moved.view(np.float32).reshape(*moved.shape, 2)


def fitting(poses: Poses, heap: Heap, mask: Mask, close: Closeness) -> Poses:
    """Those poses whose scrap lies inside, as far as the raster can tell."""
    coarse = mask.holds(points_at(heap.rims[:, ::6], poses)).mean(axis=1) > 0.8
    poses = poses.only(coarse)
    return poses.only(mask.holds(points_at(heap.rims, poses)).mean(axis=1) >= close.rim_inside)


def gains_mm2(poses: Poses, heap: Heap, mask: Mask) -> tuple[Poses, Numbers]:
    """The poses that cover most, each once, with the bare area that each would cover, by sample points.

    By few points first, then by all.
    """
    areas = heap.areas
    if len(poses.scrap) > _SCREENED:
        share = mask.holds(points_at(heap.inner[:, 3::8], poses)).mean(axis=1)
        worth = (1.1 * share - 0.1) * areas[poses.scrap]
        poses = _first_by(worth, poses, _ALIKE_TIMES * _SCREENED)
    poses = gathered(heap, poses, EXACT, adds=False)
    poses = _first_by(poses.telling, poses, _SCREENED)
    return poses, np.asarray(mask.holds(points_at(heap.inner, poses)).mean(axis=1) * areas[poses.scrap])


def _first_by(worth: Numbers, poses: Poses, most: int) -> Poses:
    """So many poses at most, those worth most; what they are worth is what they tell."""
    poses = Poses(poses.scrap, poses.turn, poses.shift, worth)
    return poses if len(worth) <= most else poses.only(np.sort(np.argpartition(-worth, most)[:most]))
