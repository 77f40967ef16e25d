"""The shortest checked layout found so far."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bagwright.cutting.check import check_layout, used_length_mm
from bagwright.cutting.compacting import compact
from bagwright.cutting.requests import request_hash
from bagwright.cutting.settling import settle
from bagwright.model.layout import Layout, LayRequest, LaySettings, Placement

_SHORTER_SHARE = 1e-9
_SETTLED_AT_MOST = 600
"""Settling compares all pieces with all others; beyond this number it would take longer than it is worth."""


class Best:
    """The shortest checked layout so far; hands out each better one."""

    def __init__(
        self, request: LayRequest, settings: LaySettings, on_better: Callable[[Layout], object] | None
    ) -> None:
        self._request, self._settings, self._on_better = request, settings, on_better
        self._hash = request_hash(request)
        self.layout: Layout | None = None
        self._first: Layout | None = None

    @property
    def length_mm(self) -> float:
        """Length of the best; infinite before the first."""
        return self.layout.length_mm if self.layout else float("inf")

    def settle(self) -> None:
        """Push the pieces of the best layout back as far as they go; those of the first too, which may end shorter."""
        for layout in (self.layout, self._first if self._first is not self.layout else None):
            if layout and len(layout.placements) <= _SETTLED_AT_MOST:
                self.offer(settle(self._request, layout.placements), found_by=layout.found_by)

    def compact(self) -> None:
        """Push all pieces of the best layout together at once, which gains more and takes longer."""
        if self.layout and len(self.layout.placements) <= _SETTLED_AT_MOST:
            self.offer(compact(self._request, self.layout.placements), found_by=self.layout.found_by)

    def offer_mended(self, placements: Sequence[Placement], *, found_by: str) -> bool:
        """Offer placements that may overlap by rounding; settle them first if they fail as they are."""
        return self.offer(placements, found_by=found_by) or self.offer(
            settle(self._request, placements), found_by=found_by
        )

    def offer_compacted(self, placements: Sequence[Placement], *, found_by: str) -> None:
        """Offer placements whose pieces are first pushed back, then together, if they are sound."""
        pushed = settle(self._request, placements)
        if check_layout(self._request, pushed).passed:
            self.offer(compact(self._request, pushed), found_by=found_by)

    def offer(self, placements: Sequence[Placement], *, found_by: str, doubled_to_mm: float = 0.0) -> bool:
        """Judge the placements, and keep them if they are sound and shorter than the best."""
        request = self._request
        length = used_length_mm(request, placements)
        if length >= self.length_mm * (1 - _SHORTER_SHARE):
            return False
        verdict = check_layout(request, placements)
        if not verdict.passed:
            return False
        area = sum(piece.region.area_mm2 * piece.count for piece in request.pieces)
        self.layout = Layout(
            request_hash=self._hash,
            width_mm=request.width_mm,
            gap_mm=request.gap_mm,
            length_mm=length,
            share_used=area / (length * request.width_mm),
            placements=tuple(placements),
            verdict=verdict,
            settings=self._settings,
            found_by=found_by,
            doubled_to_mm=doubled_to_mm,
        )
        self._first = self._first or self.layout
        if self._on_better:
            self._on_better(self.layout)
        return True
