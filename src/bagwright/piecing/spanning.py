"""One scrap over all that is bare: pushed and turned about until it covers most of it, corner on corner or not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bagwright.geometry.region import Region
from bagwright.piecing.heap import Heap
from bagwright.piecing.poses import Poses, turned
from bagwright.piecing.rings import Flags, Numbers, Points
from bagwright.piecing.screening import Mask

_POINTS = 400
_TURNS = 24
_KEPT, _SCRAPS = 5, 8
_FAR_MM, _NEAR_MM = (16.0, 8.0, 8.0, 4.0), (4.0, 2.0, 2.0, 1.0, 1.0, 0.5)
_AREA_COSTS = 0.02
"""Of scraps that cover as much, the smaller is used up first."""


@dataclass(frozen=True, slots=True)
class _Tries:
    """Poses of one scrap, and what share of the ground each covers."""

    scrap: int
    turn: Numbers
    shift: Points
    share: Numbers

    def best(self, most: int) -> _Tries:
        order = np.argsort(-self.share, kind="stable")[:most]
        return _Tries(self.scrap, self.turn[order], self.shift[order], self.share[order])


def spanning_poses(bare: Region, heap: Heap, free: Flags, *, least_mm2: float) -> Poses:
    """The best pose of each of the few scraps that cover most of what is bare, the best first.

    Scraps of less than `least_mm2` are not tried. What they tell: the area that they cover, less a little of their own.
    """
    large = np.flatnonzero(free & (heap.areas >= least_mm2)).tolist()
    rings = bare.rings() if large else []
    points = Mask.of(rings).thinned(_POINTS).middles() if rings else np.zeros((0, 2))
    if not len(points):
        none = np.zeros(0)
        return Poses(np.zeros(0, dtype=np.intp), none, np.zeros((0, 2)), none)
    tries = [_pushed(_starts(scrap, heap, points), heap, points, _FAR_MM) for scrap in large]
    tries.sort(key=lambda one: -float(one.share[0]))
    tries = [_pushed(one, heap, points, _NEAR_MM) for one in tries[:_SCRAPS]]
    scraps = np.array([one.scrap for one in tries], dtype=np.intp)
    covered = np.array([one.share[0] for one in tries]) * bare.area_mm2
    poses = Poses(
        scraps,
        np.array([one.turn[0] for one in tries]),
        np.array([one.shift[0] for one in tries]),
        covered - _AREA_COSTS * heap.areas[scraps],
    )
    return poses.only(np.argsort(-poses.telling, kind="stable"))


def _starts(scrap: int, heap: Heap, points: Points) -> _Tries:
    """The middle of the scrap on the middle of the ground."""
    turn = np.arange(_TURNS) * 2 * np.pi / _TURNS if heap.turns is None else heap.turns[scrap]
    middle = heap.inner[scrap].mean(axis=0)
    shift = points.mean(axis=0) - turned(np.repeat(middle[None], len(turn), axis=0), turn)
    return _Tries(scrap, turn, shift, _shares(scrap, heap, points, turn, shift)).best(_KEPT)


def _shares(scrap: int, heap: Heap, points: Points, turn: Numbers, shift: Points) -> Numbers:
    back = turned(points[None] - shift[:, None], -turn)
    return np.asarray(heap.filled(scrap).holds(back).mean(axis=1))


def _pushed(tries: _Tries, heap: Heap, points: Points, steps_mm: tuple[float, ...]) -> _Tries:
    """Each pose after steps along, across and round, those that gain most; a turn moves the rim by as much."""
    about = points.mean(axis=0)
    reach_mm = float(np.hypot(*(points - about).T).max()) + 1.0
    ways = np.array([(0, 0, 0), (1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)], dtype=np.float64)
    ways = ways if heap.turns is None else ways[:5]
    for step_mm in steps_mm:
        count = len(tries.turn)
        by = np.tile(ways[:, 2] * step_mm / reach_mm, count)
        held = np.repeat(tries.shift, len(ways), axis=0) - about
        shift = about + turned(held, by) + np.tile(ways[:, :2] * step_mm, (count, 1))
        turn = np.repeat(tries.turn, len(ways)) + by
        share = _shares(tries.scrap, heap, points, turn, shift)
        chosen = np.arange(count) * len(ways) + share.reshape(count, -1).argmax(axis=1)
        tries = _Tries(tries.scrap, turn[chosen], shift[chosen], share[chosen])
    return tries.best(_KEPT)
