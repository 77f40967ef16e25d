"""Two searches over partial covers: scraps that fit exactly, side by side, and scraps that are trimmed to fill."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable

import numpy as np

from bagwright.geometry.thin_parts import border_along_mm, coarsened
from bagwright.piecing._budget import Budget
from bagwright.piecing.foresight import chains_that_cover
from bagwright.piecing.heap import COARSE_MM, Heap
from bagwright.piecing.measures import JOIN_GAP_MM
from bagwright.piecing.nearly import Traced, nearly_fitting
from bagwright.piecing.partial import JOIN_NEAR_COSTS, SCRAP_COSTS, SLIVER_MM, Laid, Partial, lay
from bagwright.piecing.poses import (
    EXACT,
    Closeness,
    Poses,
    fitting,
    gains_mm2,
    matching_poses,
    points_at,
    reaching_poses,
)
from bagwright.piecing.rings import Corners, Flags, corners_of, meeting_corners
from bagwright.piecing.screening import Mask
from bagwright.piecing.spanning import spanning_poses

Step = tuple[float, Partial, Laid, float]
"""Rank, what it adds to, what is laid, promise."""
_AREA_TELLS, _LAG_TELLS, _TOLL_TELLS = 12.0, 60.0, 300.0
_SNUG_TELLS_MM = 3.0
"""A millimetre of border that a trimmed scrap lies along counts as so many square millimetres."""
_MOST_CORNERS = 40
_MOST_CLOSED = 12
_SMALL_SHARE = 2e-4
_ALIKE = 2000
_FORESEEN, _LEAST_OF_ONE = 480, 12
_SPANNED = 5


class Search:
    """What both searches share: the scraps, the need's area, the budget, and whom to tell of a better cover."""

    def __init__(
        self, heap: Heap, need_mm2: float, most: int, budget: Budget, tell: Callable[[Partial], object]
    ) -> None:
        self.heap, self.need_mm2, self.most, self.budget, self.tell = heap, need_mm2, most, budget, tell
        self._traced: Traced | None = None
        self._off = Mask.of(heap.keep_off.rings()) if heap.keep_off else None

    @property
    def traced(self) -> Traced:
        """The outlines as one sees them on a photo; made when first asked for."""
        if self._traced is None:
            self._traced = Traced.of(self.heap)
        return self._traced

    def unused(self, partial: Partial) -> Flags:
        """Which scraps are still free."""
        free = np.ones(len(self.heap.scraps), dtype=np.bool_)
        free[[one.scrap for one in partial.laid]] = False
        return free

    def assemble(self, first: Partial, *, width: int, close: Closeness = EXACT) -> list[Partial]:
        """Beam search over exact fits, best first; each level lays one scrap more. Returns the best of all levels."""
        level, found = [first], {first.key: first}
        while level and not self.budget.is_spent():
            steps: list[Step] = []
            for partial in level:
                if len(partial.laid) < self.most and not self.budget.is_spent():
                    steps += self._exact_steps(partial, close)
            level = self._widened(steps, width, close)
            found.update((one.key, one) for one in level[:4])
            if any(one.bare_mm2 < 0.001 * self.need_mm2 for one in level):
                break
        return sorted(found.values(), key=lambda one: -self._rank(one))

    def _area_tells(self, partial: Partial) -> float:
        """What each share of the need counts that is covered next: more where the cover lags behind."""
        lags = partial.bare_mm2 / self.need_mm2 > 1 - (len(partial.laid) + 1) / self.most
        return _AREA_TELLS + (_LAG_TELLS if lags else 0.0)

    def _rank(self, partial: Partial) -> float:
        """What exact fits promise, less what is bare: much more where few scraps are left to cover it."""
        bare = partial.bare_mm2 / self.need_mm2
        lag = max(0.0, bare - 1 + len(partial.laid) / self.most)
        return partial.promise - _AREA_TELLS * bare - _LAG_TELLS * lag - _TOLL_TELLS * partial.toll

    def fill(self, first: Partial, *, width: int, jitter: Callable[[int], np.ndarray] | None = None) -> Partial:
        """Beam search over trimmed scraps until nothing is worth adding."""
        best, level = first, [first]
        while level and not self.budget.is_spent():
            steps: list[Step] = []
            for partial in level:
                if len(partial.laid) < self.most and partial.bare_mm2 > SCRAP_COSTS * self.need_mm2:
                    steps += self._trim_steps(partial, jitter)
            level = self._widened(steps, width, None)
            best = max([best, *level], key=lambda one: one.worth(self.need_mm2))
        return best

    def add_small(self, first: Partial, *, width: int) -> None:
        """Tell covers with one scrap more, however little it covers: it may close a gap that is too wide."""
        if len(first.laid) < self.most:
            steps = self._trim_steps(first, None, least_share=_SMALL_SHARE)
            self._widened(steps, width, None, least_share=_SMALL_SHARE)

    def foresee(self, first: Partial, *, most: int, width: int) -> None:
        """Lay the few poses that cover most together, as the raster tells, and fill what they leave."""
        self.budget.count()
        allowed = self.most - len(first.laid)
        found = self._reaching(first)
        if allowed < 2 or found is None:
            return
        poses, gains, mask = found
        poses = poses.only(_best_of_each(poses.scrap, gains, _FORESEEN))
        chains = chains_that_cover(poses, self.heap, mask, most=allowed, toll=SCRAP_COSTS)
        for chain in chains[:most]:
            if self.budget.is_spent():
                return
            partial = first
            for laid in _laid_at(poses.only(chain)):
                partial = lay(partial, self.heap, laid)
            self.tell(partial)
            self.fill(partial, width=width)

    def span(self, first: Partial, *, bare_at_most: float) -> Partial | None:
        """Tell covers with one scrap more over all that is bare but that share of the need; what then covers most."""
        self.budget.count()
        if len(first.laid) >= self.most:
            return None
        least_mm2 = first.bare_mm2 - bare_at_most * self.need_mm2
        poses = spanning_poses(first.bare, self.heap, self.unused(first), least_mm2=least_mm2)
        found = [lay(first, self.heap, laid) for laid in _laid_at(poses)[:_SPANNED]]
        for child in found:
            self.tell(child)
        return max(found, key=lambda one: one.worth(self.need_mm2), default=None)

    def _exact_steps(self, partial: Partial, close: Closeness) -> list[Step]:
        self.budget.count()
        rings = partial.bare.rings()
        if not rings:
            return []
        if close.refines:
            poses = nearly_fitting(rings, self.heap, self.traced, self.unused(partial), close)
        else:
            poses = matching_poses(corners_of(rings, [0] * len(rings)), self.heap, self.unused(partial), close)
            poses = fitting(poses, self.heap, Mask.of(rings), close)
        promise = poses.telling + self.heap.promise[poses.scrap]
        rank = self._rank(partial) + promise + self._area_tells(partial) * self.heap.areas[poses.scrap] / self.need_mm2
        return _steps(partial, poses, rank, promise, most=60)

    def _trim_steps(
        self, partial: Partial, jitter: Callable[[int], np.ndarray] | None, *, least_share: float = SCRAP_COSTS
    ) -> list[Step]:
        self.budget.count()
        found = self._reaching(partial)
        if found is None:
            return []
        poses, gains, mask = found
        wasted = self.heap.areas[poses.scrap] - gains
        worth = gains - 0.1 * wasted - JOIN_NEAR_COSTS * self.need_mm2 * self._near_mm(poses, mask)
        if jitter is not None:
            worth = worth * jitter(len(worth))
        kept = gains > least_share * self.need_mm2
        rank = -partial.bare_mm2 - partial.toll * self.need_mm2 + worth
        return _steps(partial, poses.only(kept), rank[kept], np.zeros(int(kept.sum())), most=24)

    def _reaching(self, partial: Partial) -> tuple[Poses, np.ndarray, Mask] | None:
        """Poses from the corners of what is bare, what each would cover, and what is bare as a raster."""
        rings = coarsened(partial.bare, COARSE_MM).rings()
        if not rings:
            return None
        mask = Mask.of(partial.bare.rings())
        corners = _telling_corners(corners_of(rings, [0] * len(rings)), _MOST_CORNERS)
        closed = _telling_corners(meeting_corners(rings), _MOST_CLOSED)
        poses = reaching_poses(corners.and_those(closed), self.heap, self.unused(partial), mask)
        return *gains_mm2(poses, self.heap, mask), mask

    def _near_mm(self, poses: Poses, mask: Mask) -> np.ndarray | float:
        """How much border runs through bare ground near lines that joins keep off, as far as the rasters can tell."""
        if self._off is None:
            return 0.0
        at = points_at(self.heap.rims, poses)
        near = (mask.holds(at) & self._off.holds(at)).mean(axis=1)
        return np.asarray(near * self.heap.rounds_mm[poses.scrap])

    def _widened(
        self, steps: Iterable[Step], width: int, close: Closeness | None, *, least_share: float = SCRAP_COSTS
    ) -> list[Partial]:
        """The best children, each once, told as they come; of exact fits (`close`) only those that do fit."""
        most = width if close else 2 * width + 1
        level, snug = list[Partial](), list[float]()
        seen: set[frozenset[tuple[int, int, int, int]]] = set()
        for _, partial, laid, promise in sorted(steps, key=lambda step: -step[0]):
            if len(level) >= most or self.budget.is_spent():
                break
            key = Partial((*partial.laid, laid), partial.bare, 0.0, 0.0).key
            if key in seen:
                continue
            seen.add(key)
            child = lay(partial, self.heap, laid, promise, sliver_mm=close.sliver_mm if close else SLIVER_MM)
            gained, least = partial.bare_mm2 - child.bare_mm2, least_share * self.need_mm2
            if close:
                least = self.heap.areas[laid.scrap] * (1 - close.waste_share) - 3
            if gained >= least:
                level.append(child)
                self.tell(child)
                snug.append(0.0 if close else _SNUG_TELLS_MM * self._snug_mm(partial, laid) / self.need_mm2)
        return level if close else self._differing(zip(level, snug, strict=True), width)

    def _snug_mm(self, partial: Partial, laid: Laid) -> float:
        """How much border of what was bare a scrap lies along: what stays bare beside it is the simpler for it."""
        outline = self.heap.shapes[laid.scrap].moved(laid.move)
        return border_along_mm(partial.bare, outline, within_mm=JOIN_GAP_MM)

    def _differing(self, level: Iterable[tuple[Partial, float]], width: int) -> list[Partial]:
        """So many at most, the best first; of those in which as many scraps cover as much of the need, two."""
        found, times = list[Partial](), Counter[tuple[int, int]]()
        for partial, _ in sorted(level, key=lambda one: -one[0].worth(self.need_mm2) - one[1]):
            alike = len(partial.laid), round(_ALIKE * partial.bare_mm2 / self.need_mm2)
            times[alike] += 1
            if times[alike] <= 2 and len(found) < width:
                found.append(partial)
        return found


def _steps(partial: Partial, poses: Poses, rank: np.ndarray, promise: np.ndarray, *, most: int) -> list[Step]:
    order = np.argsort(-rank, kind="stable")[:most]
    laid = _laid_at(poses.only(order))
    return [(float(rank[i]), partial, one, float(promise[i])) for i, one in zip(order.tolist(), laid, strict=True)]


def _laid_at(poses: Poses) -> list[Laid]:
    return [
        Laid(int(scrap), float(turn), float(shift[0]), float(shift[1]))
        for scrap, turn, shift in zip(poses.scrap, poses.turn, poses.shift, strict=True)
    ]


def _best_of_each(scrap: np.ndarray, gains: np.ndarray, most: int) -> np.ndarray:
    """Which poses cover most, about so many, of each scrap as many."""
    order = np.lexsort((-gains, scrap))
    counts = np.bincount(scrap)
    each = max(_LEAST_OF_ONE, most // max(1, int((counts > 0).sum())))
    ranks = np.arange(len(order)) - np.repeat(np.cumsum(counts) - counts, counts)
    return np.sort(order[ranks < each])


def _telling_corners(corners: Corners, most: int) -> Corners:
    """Not more than can be tried: the sharpest outward ones."""
    order = np.argsort(corners.angle, kind="stable")
    return corners.only(np.sort(order[:most]))
