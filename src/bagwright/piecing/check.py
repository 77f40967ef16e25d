"""Judge any cover from the original outlines alone; nothing the search worked with is trusted."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator, Sequence

from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import widest_disc_mm, without_slivers
from bagwright.model.cover import CoverMeasures, CoverRequest, CoverScrap, ScrapPlacement
from bagwright.model.source import Verdict

CHECKS = ("scraps", "grain", "within the scrap", "within the template", "overlap", "share covered", "gap", "joins")
TURN_DEG = 0.005
EDGE_MM = 0.001
"""A kept part may reach past its scrap or the template by so much: the rounding of coordinates."""
OVERLAP_MM2 = 0.01
SHARE = 1e-4
GAP_MM = 0.5
JOIN_MM, JOIN_SHARE = 8.0, 0.04
JOIN_HAIRS_MM = (0.05, 0.6)
"""Where scraps all but touch, a join is a matter of how near is near: its length must lie between these two."""


def check_cover(request: CoverRequest, placements: Sequence[ScrapPlacement], told: CoverMeasures) -> Verdict:
    """Re-derive everything from `request` and name each fault.

    >>> square = Region.rectangle((0, 0), (10, 10))
    >>> asked = CoverRequest(need=square, scraps=(CoverScrap(id="a", region=square),))
    >>> told = CoverMeasures(covered_share=1, widest_gap_mm=0, join_mm=0, join_near_mm=0, cuts=0, wasted_mm2=0)
    >>> check_cover(asked, [ScrapPlacement("a", 0, 3, 0, (square,))], told).faults
    ('a: keeps cloth that the scrap does not have',)
    """
    scraps = {scrap.id: scrap for scrap in request.scraps}
    faults = list(_scrap_faults(request, placements, scraps))
    known = [one for one in placements if one.id in scraps and _is_finite(one)]
    faults += [f"{one.id}: {fault}" for one in known for fault in _placement_faults(request, scraps[one.id], one)]
    for one, other in itertools.combinations(known, 2):
        if any(a.overlap_mm2(b) > OVERLAP_MM2 for a in one.kept for b in other.kept):
            faults.append(f"{one.id}: lies over {other.id}")
    faults += _told_faults(request, known, told)
    return Verdict(CHECKS, tuple(faults))


def _is_finite(one: ScrapPlacement) -> bool:
    return all(math.isfinite(number) for number in (one.turn_deg, one.x_mm, one.y_mm))


def _scrap_faults(
    request: CoverRequest, placements: Sequence[ScrapPlacement], scraps: dict[str, CoverScrap]
) -> Iterator[str]:
    for name, count in Counter(one.id for one in placements).items():
        if name not in scraps:
            yield f"{name}: no such scrap was given"
        if count > 1:
            yield f"{name}: used {count} times"
    if len(placements) > request.max_scraps:
        yield f"{len(placements)} scraps, at most {request.max_scraps}"
    yield from (f"{one.id}: has no place" for one in placements if not _is_finite(one))


def _placement_faults(request: CoverRequest, scrap: CoverScrap, one: ScrapPlacement) -> Iterator[str]:
    if request.keeps_grain:
        off = (one.turn_deg + (scrap.grain_deg or 0.0)) % 180
        if min(off, 180 - off) > TURN_DEG:
            yield f"turned by {one.turn_deg:g} deg against its grain"
    if not one.kept or any(part.is_empty or part.hole_rings() for part in one.kept):
        yield "keeps nothing, or a part with a hole"
    lies = scrap.region.moved(one.move)
    if not all(lies.holds(part, slack_mm=EDGE_MM) for part in one.kept):
        yield "keeps cloth that the scrap does not have"
    if not all(request.need.holds(part, slack_mm=EDGE_MM) for part in one.kept):
        yield "reaches out of the template"
    for a, b in itertools.combinations(one.kept, 2):
        if a.overlap_mm2(b) > OVERLAP_MM2:
            yield "its parts overlap"


def _told_faults(request: CoverRequest, placements: Sequence[ScrapPlacement], told: CoverMeasures) -> Iterator[str]:
    parts = [part for one in placements for part in one.kept]
    covered = sum(request.need.overlap_mm2(part) for part in parts) / request.need.area_mm2
    if abs(covered - told.covered_share) > SHARE:
        yield f"covers {covered:.5f}, told {told.covered_share:.5f}"
    widest = widest_disc_mm(request.need.minus_all(parts), within_mm=0.1)
    if abs(widest - told.widest_gap_mm) > GAP_MM:
        yield f"widest gap {widest:.2f} mm, told {told.widest_gap_mm:.2f} mm"
    least, most = (_joins_mm(placements, hair_mm=hair) for hair in JOIN_HAIRS_MM)
    slack = JOIN_MM + JOIN_SHARE * most
    if not least - slack <= told.join_mm <= most + slack:
        yield f"joins from {least:.1f} to {most:.1f} mm long, told {told.join_mm:.1f} mm"


def _joins_mm(placements: Sequence[ScrapPlacement], *, hair_mm: float) -> float:
    """Half of what the perimeters lose where scraps are put together and gaps of twice `hair_mm` are closed."""
    if not placements:
        return 0.0
    scraps = [Region.union(one.kept) for one in placements]
    together = without_slivers(Region.union([scrap.grown(hair_mm) for scrap in scraps]).grown(-hair_mm), 0.05)
    return max(0.0, (sum(scrap.perimeter_mm for scrap in scraps) - together.perimeter_mm) / 2)
