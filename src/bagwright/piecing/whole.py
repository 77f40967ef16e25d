"""A template cut whole out of one scrap: its box into a corner of the scrap's box, an edge along an edge."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import without_holes
from bagwright.model.cover import Cover, CoverRequest, CoverScrap, CoverSettings, ScrapPlacement
from bagwright.piecing.best import request_hash
from bagwright.piecing.check import check_cover
from bagwright.piecing.measures import measure_cover

_MOST_EDGES = 12


def whole_cover(request: CoverRequest, scrap: CoverScrap, settings: CoverSettings) -> Cover | None:
    """The template out of that scrap, checked; None if it does not lie in a corner of it.

    >>> need, large = Region.rectangle((0, 0), (50, 20)), Region.rectangle((0, 0), (30, 60))
    >>> scrap = CoverScrap(id="a", region=large)
    >>> asked = CoverRequest(need=need, scraps=(scrap,))
    >>> found = whole_cover(asked, scrap, CoverSettings())
    >>> found.placements[0].turn_deg % 180, round(found.measures.covered_share, 6)
    (90.0, 1.0)
    """
    need = request.need
    if scrap.region.area_mm2 < need.area_mm2:
        return None
    for turn_deg in _turns(request, scrap):
        turned = scrap.region.moved(Affine(turn_deg))
        for x, y in _into_corners(turned, need):
            if turned.shifted(x, y).holds(need, slack_mm=0.0005):
                kept = tuple(piece for part in need.parts() for piece in without_holes(part))
                place = ScrapPlacement(scrap.id, turn_deg, x, y, kept)
                return _checked(request, place, settings)
    return None


def _turns(request: CoverRequest, scrap: CoverScrap) -> Iterator[float]:
    """Along the grain, either way; or each long edge of the scrap laid along x and along y."""
    if request.keeps_grain:
        yield from ((way - (scrap.grain_deg or 0.0)) % 360 for way in (0.0, 180.0))
        return
    ring = scrap.region.outer_ring()
    edges = sorted(zip(ring, [*ring[1:], ring[0]], strict=True), key=lambda edge: -math.dist(*edge))[:_MOST_EDGES]
    turns = (math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) for a, b in edges)
    yield from dict.fromkeys(round((way - turn) % 360, 6) for turn in turns for way in (0, 90, 180, 270))


def _into_corners(turned: Region, need: Region) -> Iterator[tuple[float, float]]:
    """Shifts that bring a corner of the scrap's box on the same corner of the need's."""
    low_x, low_y, high_x, high_y = turned.bounds
    left, low, right, high = need.bounds
    if high_x - low_x > right - left - 0.001 and high_y - low_y > high - low - 0.001:
        yield from ((x, y) for x in (left - low_x, right - high_x) for y in (low - low_y, high - high_y))


def _checked(request: CoverRequest, place: ScrapPlacement, settings: CoverSettings) -> Cover | None:
    measures = measure_cover(request, (place,))
    verdict = check_cover(request, (place,), measures)
    return (
        Cover(
            request_hash=request_hash(request),
            placements=(place,),
            measures=measures,
            is_enough=measures.covered_share >= request.enough_share,
            verdict=verdict,
            settings=settings,
        )
        if verdict.passed
        else None
    )
