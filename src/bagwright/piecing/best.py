"""The best cover so far; each is judged before anyone sees it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from bagwright.geometry.thin_parts import is_wider
from bagwright.model.cover import Cover, CoverMeasures, CoverRequest, CoverSettings, ScrapPlacement
from bagwright.piecing.check import check_cover
from bagwright.piecing.heap import Heap
from bagwright.piecing.measures import measure_cover
from bagwright.piecing.partial import Partial, placements_of
from bagwright.piecing.ranking import WORST, Rank, rank_at_best, rank_of_cover

_NOTED = 4
_SOON = 0.05
"""The first that leaves no more bare is judged at once: nobody waits while it is made better."""


class Best:
    """Keeps the best checked cover and hands out each better one.

    `rank`: of the best. `gaping`: what would be better with one scrap more in its gaps. `closed`, `simplified`,
    `lessened`: the last one whose gaps the search tried to close, that it tried to make simpler, or with fewer scraps.
    `of_count`: with each number of scraps, what leaves least bare, judged or not.
    `has_refused`: whether any did not pass its check.
    """

    def __init__(
        self,
        request: CoverRequest,
        heap: Heap,
        settings: CoverSettings,
        on_better: Callable[[Cover], object] | None = None,
    ) -> None:
        self._request, self._heap, self._settings, self._on_better = request, heap, settings, on_better
        self._hash = request_hash(request)
        self.partial: Partial | None = None
        self.cover: Cover | None = None
        self.rank = WORST
        self.closed: Partial | None = None
        self.gaping: Partial | None = None
        self.simplified: Partial | None = None
        self.lessened: Partial | None = None
        self.of_count: dict[int, Partial] = {}
        self.has_refused = False
        self._noted: list[tuple[Rank, Partial]] = []

    @property
    def scraps(self) -> tuple[str, ...]:
        """Which scraps the best takes."""
        return tuple(one.id for one in self.cover.placements) if self.cover else ()

    @property
    def is_enough(self) -> bool:
        """Whether the best does its work."""
        return self.cover is not None and self.cover.is_enough

    @property
    def has_any(self) -> bool:
        """Whether there is any cover, judged or not."""
        return self.cover is not None or bool(self._noted)

    def note(self, partial: Partial) -> None:
        """Remember it for the next `judge` if it may be better than the best; the first that covers most, judge it."""
        barest = self.of_count.setdefault(len(partial.laid), partial)
        if partial.bare_mm2 < barest.bare_mm2:
            self.of_count[len(partial.laid)] = partial
        if not partial.laid or rank_at_best(self._request, partial) <= self.rank:
            return
        is_wide = not self.is_enough and is_wider(partial.bare, self._request.widest_gap_mm)
        rank = rank_at_best(self._request, partial, has_wide_gap=is_wide)
        if rank > self.rank:
            self._noted.append((rank, partial))
            self._noted.sort(key=lambda one: one[0], reverse=True)
            del self._noted[_NOTED:]
        if self.cover is None and partial.bare_mm2 <= _SOON * self._request.need.area_mm2:
            self.judge(1)

    def judge(self, most: int = _NOTED) -> None:
        """Measure and check what was noted, best first, so many at most, and keep what is better than the best."""
        for promised, partial in self._noted[:most]:
            if promised > self.rank:
                placements = placements_of(self._request, self._heap, partial)
                measures = measure_cover(self._request, placements)
                rank = rank_of_cover(self._request, measures, len(placements))
                if placements and rank > self.rank:
                    self._keep(partial, placements, measures, rank)
                elif rank_at_best(self._request, partial, more_scraps=1) > self.rank:
                    self.gaping = partial
        self._noted.clear()

    def _keep(
        self, partial: Partial, placements: tuple[ScrapPlacement, ...], measures: CoverMeasures, rank: Rank
    ) -> None:
        verdict = check_cover(self._request, placements, measures)
        if not verdict.passed:
            self.has_refused = True
            return
        self.partial, self.rank = partial, rank
        self.cover = Cover(
            request_hash=self._hash,
            placements=placements,
            measures=measures,
            is_enough=rank[0],
            verdict=verdict,
            settings=self._settings,
        )
        if self._on_better:
            self._on_better(self.cover)


def request_hash(request: CoverRequest) -> str:
    """Names what was asked, whatever the search makes of it."""
    said = [
        (request.need.shape.wkb_hex, request.keeps_grain, request.max_scraps, request.keep_off, request.keep_off_mm),
        *((scrap.id, scrap.region.shape.wkb_hex, scrap.grain_deg) for scrap in request.scraps),
    ]
    return hashlib.sha256(repr(said).encode()).hexdigest()
