"""Two plain searches for covers, to measure ours by. Each lays a scrap where it gains most; neither looks ahead.

(a) what is bare is correlated with each scrap on a raster, by FFT; (b) a beam over corners put on corners.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.signal import fftconvolve

from bagwright.geometry.thin_parts import border_along_mm, coarsened
from bagwright.model.cover import CoverRequest, CoverSettings
from bagwright.piecing.best import Best
from bagwright.piecing.heap import COARSE_MM, ready_heap
from bagwright.piecing.partial import Laid, lay, start
from bagwright.piecing.poses import EXACT, Poses, gains_mm2, gathered, placed, turned
from bagwright.piecing.rings import corners_of
from bagwright.piecing.screening import Mask

STEP_MM, LEAST_SHARE, WASTE_COSTS = 4.0, 0.003, 0.1
BEAM, JUDGED = 24, 40


def correlated_cover(request: CoverRequest):
    """Step (a): the best scrap by correlation, turned so that long edges meet, polished by exact area, over and over.

    None if nothing is covered.
    """
    heap, partial = ready_heap(request), start(request.need)
    best = Best(request, heap, CoverSettings())
    while len(partial.laid) < request.max_scraps and partial.bare_mm2 > LEAST_SHARE * request.need.area_mm2:
        laid = _correlated(heap, partial)
        if laid is None:
            break
        longer = _polished(heap, partial, laid)
        if partial.bare_mm2 - longer.bare_mm2 < LEAST_SHARE * request.need.area_mm2:
            break
        partial = longer
    best.note(partial)
    best.judge()
    return best.cover


def _correlated(heap, partial):
    bare = Mask.of(partial.bare.rings(), step_mm=STEP_MM)
    worth = np.where(bare.cells, 1.0, -WASTE_COSTS)
    found: tuple[float, Laid] | None = None
    used = {one.scrap for one in partial.laid}
    for scrap in set(range(len(heap.scraps))) - used:
        ring = heap.shapes[scrap].rings()[0]
        turns = heap.turns[scrap] if heap.turns is not None else _long_edges_meet(partial.bare.rings()[0], ring)
        for turn in turns:
            lies = Mask.of([turned(ring[None], np.array([turn]))[0]], step_mm=STEP_MM)
            gains = fftconvolve(worth + WASTE_COSTS, lies.cells[::-1, ::-1].astype(float), mode="full")
            gains -= WASTE_COSTS * lies.cells.sum()
            row, column = np.unravel_index(gains.argmax(), gains.shape)
            if found is None or gains[row, column] > found[0]:
                down, right = np.array(lies.cells.shape) - 1
                x, y = bare.low + (np.array([column - right, row - down])) * STEP_MM - lies.low
                found = float(gains[row, column]), Laid(scrap, float(turn), float(x), float(y))
    return found[1] if found and found[0] > 0 else None


def _long_edges_meet(bare, ring, *, count=4):
    def longest(points):
        steps = np.roll(points, -1, axis=0) - points
        order = np.argsort(-np.hypot(*steps.T))[:count]
        return np.arctan2(steps[order, 1], steps[order, 0])

    return np.unique((longest(bare)[:, None] - longest(ring)[None]).round(4) % round(2 * np.pi, 4))


def _polished(heap, partial, laid):
    """Shifted by ever smaller steps as long as it covers more."""
    best, step_mm = lay(partial, heap, laid), STEP_MM
    while step_mm > 0.05:
        x, y = best.laid[-1].x, best.laid[-1].y
        near = [(x + step_mm, y), (x - step_mm, y), (x, y + step_mm), (x, y - step_mm)]
        tried = [lay(partial, heap, replace(laid, x=to_x, y=to_y)) for to_x, to_y in near]
        better = min(tried, key=lambda one: one.bare_mm2)
        if better.bare_mm2 < best.bare_mm2 - 1e-6:
            best = better
        else:
            step_mm /= 2
    return best


def beam_cover(request: CoverRequest):
    """Step (b): a beam; corner on corner with grain, else edge along edge, end to end. None if nothing is covered."""
    heap, level = ready_heap(request), [start(request.need)]
    best = Best(request, heap, CoverSettings())
    while level and len(level[0].laid) < request.max_scraps:
        screened = [step for partial in level for step in _screened(heap, partial, request.need.area_mm2)]
        screened.sort(key=lambda step: -step[0])
        level = _judged(heap, screened[:JUDGED], LEAST_SHARE * request.need.area_mm2)
        for child in level[:2]:
            best.note(child)
        best.judge()
    return best.cover


def _screened(heap, partial, need_mm2):
    """What each pose promises, as sample points on a raster tell."""
    rings = coarsened(partial.bare, COARSE_MM).rings()
    if not rings or partial.bare_mm2 < LEAST_SHARE * need_mm2:
        return []
    poses = _end_to_end(corners_of(rings, [0] * len(rings)), heap, [one.scrap for one in partial.laid])
    poses, gains = gains_mm2(poses, heap, Mask.of(partial.bare.rings()))
    ranks = gains - partial.bare_mm2 - WASTE_COSTS * (heap.areas[poses.scrap] - gains)
    found = []
    for i in np.argsort(-ranks, kind="stable")[:JUDGED].tolist():
        laid = Laid(int(poses.scrap[i]), float(poses.turn[i]), float(poses.shift[i, 0]), float(poses.shift[i, 1]))
        found.append((float(ranks[i]), partial, laid))
    return found


def _judged(heap, screened, least_mm2):
    """The next level: by area gained, border shared and cloth wasted."""
    found = {}
    for _, partial, laid in screened:
        child = lay(partial, heap, laid)
        gained = partial.bare_mm2 - child.bare_mm2
        if gained > least_mm2:
            outline = heap.shapes[laid.scrap].moved(laid.move)
            shared = border_along_mm(partial.bare, outline, within_mm=0.5)
            found[child.key] = shared - child.bare_mm2 - WASTE_COSTS * (outline.area_mm2 - gained), child
    return [child for _, child in sorted(found.values(), key=lambda one: -one[0])[:BEAM]]


def _end_to_end(bare, heap, used):
    corners = heap.outward.only(~np.isin(heap.outward.owner, used))
    u, s = (one.ravel() for one in np.meshgrid(np.arange(len(bare.angle)), np.arange(len(corners.angle))))
    pairs, none = (bare.at[u], corners.at[s], corners.owner[s]), np.zeros(len(u))
    if heap.turns is None:
        turns = [bare.out[u] - corners.out[s], bare.into[u] - corners.into[s]]
    else:
        turns = [heap.turns[corners.owner[s], way] for way in (0, 1)]
    first, second = (placed(heap, pairs, turn, none) for turn in turns)
    both: Poses = first.and_those(second)
    return gathered(heap, both, EXACT)
