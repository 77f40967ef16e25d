"""Poses for outlines that agree only within what a photo tells: corners and stretches alike, settled, then compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bagwright.piecing.heap import Heap
from bagwright.piecing.poses import Closeness, Poses, fitting, gathered, matching_poses, placed
from bagwright.piecing.rings import Flags, Points, corners_of
from bagwright.piecing.screening import Mask
from bagwright.piecing.settling import Borders, Shore, settled
from bagwright.piecing.stretches import Stretches, alike, smoothed

_FIRST, _SECOND = 240, 60
_QUICK_STRIDE = 4
_MOST_OF_ONE = 12
_OF_BARE = 2
"""Every second stretch of what is bare is enough: some stretch of a scrap starts within 1.5 mm of it."""


@dataclass(frozen=True, slots=True)
class Traced:
    """What the outer outlines of a heap look like to one who has seen them on a photo."""

    stretches: Stretches
    borders: Borders

    @classmethod
    def of(cls, heap: Heap) -> Traced:
        """From the outlines as they were given."""
        rings = [scrap.region.rings()[0] for scrap in heap.scraps]
        smooth = [smoothed(ring) for ring in rings]
        return cls(Stretches.of(smooth, range(len(rings))), Borders.of(rings, smooth))


def nearly_fitting(rings: Sequence[Points], heap: Heap, traced: Traced, free: Flags, close: Closeness) -> Poses:
    """The poses whose border runs along that of what is bare, the most telling first to be settled."""
    by_corner = _most_telling(matching_poses(corners_of(rings, [0] * len(rings)), heap, free, close), _FIRST)
    by_stretch = _most_telling(_by_stretch(rings, heap, traced, free, close), _FIRST)
    poses = by_corner.and_those(by_stretch)
    if not len(poses.scrap):
        return poses
    shore, freely = Shore(rings), heap.turns is None
    poses = settled(poses, traced.borders, shore, turns_freely=freely, stride=_QUICK_STRIDE)
    poses = gathered(heap, fitting(poses, heap, Mask.of(rings), close), close, adds=False)
    poses = _most_telling(poses, _SECOND)
    poses = settled(poses, traced.borders, shore, turns_freely=freely)
    return fitting(gathered(heap, poses, close, adds=False), heap, Mask.of(rings), close)


def _by_stretch(rings: Sequence[Points], heap: Heap, traced: Traced, free: Flags, close: Closeness) -> Poses:
    bare = Stretches.of([smoothed(ring) for ring in rings], [0] * len(rings))
    bare = bare.every(_OF_BARE)
    pairs = alike(bare, traced.stretches, free, heap.turns)
    often = np.bincount(pairs.bare, minlength=len(bare.owner))
    telling = 1 / np.sqrt(np.maximum(1, often[pairs.bare]))
    targets, points = bare.middle[pairs.bare], traced.stretches.middle[pairs.scrap]
    at = np.column_stack([targets.real, targets.imag]), np.column_stack([points.real, points.imag])
    found = placed(heap, (*at, traced.stretches.owner[pairs.scrap]), pairs.turn, telling, within=0.2)
    return gathered(heap, found, close)


def _most_telling(poses: Poses, most: int) -> Poses:
    """The most telling ones, but of one scrap only its best."""
    poses = poses.only(np.argsort(-poses.telling, kind="stable"))
    by_scrap = np.argsort(poses.scrap, kind="stable")
    counts = np.bincount(poses.scrap)
    ranks = np.empty(len(by_scrap), dtype=np.intp)
    ranks[by_scrap] = np.arange(len(by_scrap)) - np.repeat(np.cumsum(counts) - counts, counts)
    return poses.only(ranks < _MOST_OF_ONE).first(most)
