"""The best cover so far; each is judged before anyone sees it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from bagwright.model.cover import Cover, CoverMeasures, CoverRequest, CoverSettings, ScrapPlacement
from bagwright.piecing.check import check_cover
from bagwright.piecing.heap import Heap
from bagwright.piecing.measures import measure_cover
from bagwright.piecing.partial import CUT_COSTS, JOIN_NEAR_COSTS, SCRAP_COSTS, Partial, placements_of

_BETTER = 1e-6
_NOTED = 4
_WIDE_COSTS, _GAP_COSTS = 0.002, 1.5e-3
_MOST_GAP_COSTS = 0.006
"""Toll for a gap wider than is borne, for each mm beyond that, and at most."""


class Best:
    """Keeps the best checked cover and hands out each better one.

    `closed`, `simplified`: the last one whose gap the search tried to close, and that it tried to make simpler.
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
        self._need_mm2 = request.need.area_mm2
        self._hash = request_hash(request)
        self.partial: Partial | None = None
        self.cover: Cover | None = None
        self.worth = float("-inf")
        self.closed: Partial | None = None
        self.simplified: Partial | None = None
        self.has_refused = False
        self._noted: list[Partial] = []

    @property
    def has_any(self) -> bool:
        """Whether there is any cover, judged or not."""
        return self.cover is not None or bool(self._noted)

    def note(self, partial: Partial) -> None:
        """Remember it for the next `judge` if it may be better than the best."""
        if partial.laid and partial.worth(self._need_mm2) > self.worth + _BETTER:
            self._noted.append(partial)
            self._noted.sort(key=lambda one: -one.worth(self._need_mm2))
            del self._noted[_NOTED:]

    def judge(self, most: int = _NOTED) -> None:
        """Measure and check what was noted, best first, so many at most, and keep what is better than the best."""
        for partial in self._noted[:most]:
            if partial.worth(self._need_mm2) > self.worth + _BETTER:
                placements = placements_of(self._request, self._heap, partial)
                measures = measure_cover(self._request, placements)
                worth = measures.covered_share - SCRAP_COSTS * len(placements)
                worth -= JOIN_NEAR_COSTS * measures.join_near_mm + CUT_COSTS * measures.cuts
                too_wide_mm = max(0.0, measures.widest_gap_mm - self._request.widest_gap_mm)
                worth -= min(_MOST_GAP_COSTS, _WIDE_COSTS * (too_wide_mm > 0) + _GAP_COSTS * too_wide_mm)
                if placements and worth > self.worth + _BETTER:
                    self._keep(partial, placements, measures, worth)
        self._noted.clear()

    def _keep(
        self, partial: Partial, placements: tuple[ScrapPlacement, ...], measures: CoverMeasures, worth: float
    ) -> None:
        verdict = check_cover(self._request, placements, measures)
        if not verdict.passed:
            self.has_refused = True
            return
        request = self._request
        self.partial, self.worth = partial, worth
        self.cover = Cover(
            request_hash=self._hash,
            placements=placements,
            measures=measures,
            is_enough=measures.covered_share >= request.enough_share
            and measures.widest_gap_mm <= request.widest_gap_mm,
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
