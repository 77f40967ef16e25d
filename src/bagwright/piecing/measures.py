"""What a cover comes to: share covered, gaps, joins, cuts, waste."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import (
    border_along_mm,
    border_near_lines_mm,
    lie_near_border,
    widest_disc_mm,
    without_slivers,
)
from bagwright.model.cover import LEAST_CUT_MM, CoverMeasures, CoverRequest, ScrapPlacement
from bagwright.piecing.rings import Points, rolled

JOIN_GAP_MM = 0.5
"""Borders of two scraps closer than this are a join."""
_SMOOTH_COS = float(np.cos(np.radians(20)))


def measure_cover(request: CoverRequest, placements: Sequence[ScrapPlacement]) -> CoverMeasures:
    """All measures of the placements, from their outlines."""
    kept = [Region.union(one.kept) for one in placements]
    bare = without_slivers(request.need.minus_all(kept), 0.01)
    scraps = {scrap.id: scrap for scrap in request.scraps}
    outlines = [scraps[one.id].region.moved(one.move) for one in placements]
    lines = [list(line) for line in request.keep_off]
    join_near = _join_near_mm(kept, lines, request.keep_off_mm) if lines else 0.0
    return CoverMeasures(
        covered_share=max(0.0, 1 - bare.area_mm2 / request.need.area_mm2),
        widest_gap_mm=widest_disc_mm(bare),
        join_mm=sum(border_along_mm(a, b, within_mm=JOIN_GAP_MM) for i, a in enumerate(kept) for b in kept[:i]),
        join_near_mm=join_near,
        cuts=sum(cuts_to_trim(part, whole) for part, whole in zip(kept, outlines, strict=True)),
        wasted_mm2=sum(w.area_mm2 for w in outlines) - sum(k.area_mm2 for k in kept),
    )


def _join_near_mm(kept: Sequence[Region], lines: list[list[tuple[float, float]]], within_mm: float) -> float:
    """Both sides of a join count, so half of what lies near; the template's own edge is no join."""
    inner = [border_near_lines_mm(region, lines, within_mm=within_mm) for region in kept]
    outside = border_near_lines_mm(
        Region.union(kept).grown(LEAST_CUT_MM).grown(-LEAST_CUT_MM), lines, within_mm=within_mm
    )
    return max(0.0, (sum(inner) - outside) / 2)


def cuts_to_trim(kept: Region, whole: Region) -> int:
    """How many cuts take `kept` out of `whole`; edges that follow one another smoothly are one cut.

    >>> whole = Region.rectangle((0, 0), (10, 10))
    >>> cuts_to_trim(Region.rectangle((0, 0), (10, 6)), whole), cuts_to_trim(whole, whole)
    (1, 0)
    """
    return sum(_cuts_of_ring(ring, whole) for ring in kept.rings())


def _cuts_of_ring(ring: Points, whole: Region) -> int:
    steps = rolled(ring, -1) - ring
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    long = lengths > 2 * LEAST_CUT_MM
    is_cut = long & ~lie_near_border(ring + steps / 2, whole, within_mm=LEAST_CUT_MM)
    units = steps / np.maximum(lengths, 1e-9)[:, None]
    order = np.flatnonzero(long)
    cuts = 0
    for at, edge in enumerate(order):
        before = order[at - 1]
        goes_on = is_cut[before] and float(units[edge] @ units[before]) > _SMOOTH_COS
        cuts += int(is_cut[edge] and not goes_on)
    return cuts if cuts or not is_cut.any() else 1
