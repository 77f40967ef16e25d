"""The shortest checked layout found so far."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bagwright.cutting.check import check_layout, used_length_mm
from bagwright.cutting.requests import request_hash
from bagwright.cutting.settling import settle
from bagwright.model.layout import Layout, LayRequest, LaySettings, Placement


class Best:
    """The shortest checked layout so far; hands out each better one."""

    def __init__(
        self, request: LayRequest, settings: LaySettings, on_better: Callable[[Layout], object] | None
    ) -> None:
        self._request, self._settings, self._on_better = request, settings, on_better
        self._hash = request_hash(request)
        self.layout: Layout | None = None

    @property
    def length_mm(self) -> float:
        """Length of the best; infinite before the first."""
        return self.layout.length_mm if self.layout else float("inf")

    def offer(self, placements: Sequence[Placement], *, found_by: str) -> bool:
        """Settle, judge and keep the placements if they are sound and shorter than the best."""
        request = self._request
        settled = settle(request, placements)
        length = used_length_mm(request, settled)
        if length >= self.length_mm:
            return False
        verdict = check_layout(request, settled)
        if not verdict.passed:
            return False
        area = sum(piece.region.area_mm2 * piece.count for piece in request.pieces)
        self.layout = Layout(
            request_hash=self._hash,
            width_mm=request.width_mm,
            gap_mm=request.gap_mm,
            length_mm=length,
            share_used=area / (length * request.width_mm),
            placements=settled,
            verdict=verdict,
            settings=self._settings,
            found_by=found_by,
        )
        if self._on_better:
            self._on_better(self.layout)
        return True
