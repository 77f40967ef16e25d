"""A beam over snug fits: ground gained, border shared and cloth wasted are all that counts, however many the cuts.

It covers what the other searches, which shun cuts and scraps from the start, do not think of.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from bagwright.geometry.thin_parts import border_along_mm, coarsened
from bagwright.piecing.assembling import Search
from bagwright.piecing.heap import COARSE_MM
from bagwright.piecing.measures import JOIN_GAP_MM
from bagwright.piecing.partial import SCRAP_COSTS, Laid, Partial, lay
from bagwright.piecing.poses import cornered_poses, gains_mm2
from bagwright.piecing.rings import corners_of
from bagwright.piecing.screening import Mask

_WIDTH, _JUDGED = 24, 40
"""So many covers of a level go on, of so many laid exactly."""
_WASTE_COSTS = 0.1
"""Of ground gained, for the same area of scrap cut away: enough to choose between scraps that gain alike."""

_Step = tuple[float, Partial, Laid]


def snug_levels(search: Search, first: Partial) -> Iterator[Partial]:
    """Tell covers with one scrap more than `first`, then two more ...; yield the best of each such level."""
    level = [first]
    while level and len(level[0].laid) < search.most:
        screened: list[_Step] = []
        for partial in level:
            if search.budget.is_spent():
                return
            screened += _screened(search, partial)
        screened.sort(key=lambda step: -step[0])
        level = _laid(search, screened[:_JUDGED])
        for child in level:
            search.tell(child)
        yield from level[:1]


def _screened(search: Search, partial: Partial) -> list[_Step]:
    """What each pose promises, as sample points on a raster tell."""
    search.budget.count()
    rings = coarsened(partial.bare, COARSE_MM).rings()
    if not rings or partial.bare_mm2 < SCRAP_COSTS * search.need_mm2:
        return []
    heap = search.heap
    poses = cornered_poses(corners_of(rings, [0] * len(rings)), heap, search.unused(partial))
    poses, gains = gains_mm2(poses, heap, Mask.of(partial.bare.rings()))
    ranks = gains - partial.bare_mm2 - _WASTE_COSTS * (heap.areas[poses.scrap] - gains)
    return [
        (float(ranks[i]), partial, Laid(int(poses.scrap[i]), float(poses.turn[i]), *map(float, poses.shift[i])))
        for i in np.argsort(-ranks, kind="stable")[:_JUDGED].tolist()
    ]


def _laid(search: Search, steps: list[_Step]) -> list[Partial]:
    """The next level: each cover once, by ground gained, border shared and cloth wasted."""
    found: dict[frozenset[tuple[int, int, int, int]], tuple[float, Partial]] = {}
    for _, partial, laid in steps:
        if search.budget.is_spent():
            break
        child = lay(partial, search.heap, laid)
        gained = partial.bare_mm2 - child.bare_mm2
        if gained > SCRAP_COSTS * search.need_mm2:
            outline = search.heap.shapes[laid.scrap].moved(laid.move)
            shared_mm = border_along_mm(partial.bare, outline, within_mm=JOIN_GAP_MM)
            rank = shared_mm - child.bare_mm2 - _WASTE_COSTS * (outline.area_mm2 - gained)
            found[child.key] = rank, child
    return [child for _, child in sorted(found.values(), key=lambda one: -one[0])[:_WIDTH]]
