"""Step (a) of the design, to measure ours by: what is bare is correlated with each scrap on a raster, by FFT.

It lays a scrap where it gains most and does not look ahead.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.signal import fftconvolve

from bagwright.model.cover import CoverRequest, CoverSettings
from bagwright.piecing.best import Best
from bagwright.piecing.heap import ready_heap
from bagwright.piecing.partial import Laid, lay, start
from bagwright.piecing.poses import turned
from bagwright.piecing.screening import Mask

STEP_MM, LEAST_SHARE, WASTE_COSTS = 4.0, 0.003, 0.1


def correlated_cover(request: CoverRequest):
    """The best scrap by correlation, turned so that long edges meet, polished by exact area, over and over.

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
