"""What is left of a cloth: the few largest shapes worth keeping, not slivers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bagwright.cutting.check_remnants import check_remnants
from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine
from bagwright.geometry.few_corners import with_few_corners
from bagwright.geometry.largest_rectangle import largest_rectangle
from bagwright.geometry.no_fit import areas_of
from bagwright.geometry.region import Bounds, Region
from bagwright.model.layout import LayRequest, Placement
from bagwright.model.remnant import Remnant, RemnantSettings

_NEARLY_RECTANGLE = 0.85
"""A shape filled so far by its largest rectangle is kept as that rectangle."""
_COMPACT = 0.75
"""A shape that fills this share of its convex hull is kept whole; a sprawling one is cut into rectangles."""
_OPENING = 0.49
"""Of the least side: slivers narrower than twice this are no part of any remnant."""
_MOST_CORNERS = 60
_CORNERS_OF_ALL, _LEAST_EVENED = 1500, 60
"""Pieces share so many corners, and keep so many each: the time that remnants take grows with their number."""
_TOUCH_MM = 1e-3
_SMOOTHED_MM = 0.3


def laid_regions(request: LayRequest, placements: Sequence[Placement]) -> list[Region]:
    """Each copy where it lies on the cloth, in the order of `placements`."""
    regions = {piece.id: piece.region for piece in request.pieces}
    return [regions[place.id].moved(place.move) for place in placements]


def find_remnants(
    cloth: Region, laid: Sequence[Region], *, settings: RemnantSettings | None = None
) -> tuple[Remnant, ...]:
    """What is left of `cloth` (all that was bought) around the pieces `laid`: largest first, none over another.

    Rectangles where the shape is nearly one or sprawls, larger odd outlines where most of one would be lost. Curved
    outlines are kept up to 0.6 mm inside. Raises `BrokenPromise` if a remnant fails its check.

    >>> cloth, panel = Region.rectangle((0, 0), (900, 1000)), Region.rectangle((0, 0), (500, 900))
    >>> [(left.length_mm, left.width_mm) for left in find_remnants(cloth, [panel])]
    [(400.0, 1000.0), (500.0, 100.0)]
    """
    keep = settings or RemnantSettings()
    found: list[Remnant] = []
    waiting = list(_without_slivers(cloth.minus_all(_evened(laid)), keep))
    while waiting and len(found) < keep.most:
        waiting.sort(key=lambda part: part.area_mm2)
        part = waiting.pop()
        kept = _largest_in(part, keep)
        if kept is None:
            continue
        region, bounds, is_rectangle = kept
        share = region.area_mm2 / cloth.area_mm2
        found.append(Remnant(region=region, is_rectangle=is_rectangle, largest_mm=bounds, share_of_cloth=share))
        waiting += _without_slivers(part.minus(region), keep)
    found.sort(key=lambda remnant: -remnant.region.area_mm2)
    verdict = check_remnants(cloth, laid, found, keep)
    if not verdict.passed:
        raise BrokenPromise(f"a remnant failed its check: {verdict.faults}")
    return tuple(found)


def find_doubled_remnants(
    cloth: Region, laid: Sequence[Region], *, fold_mm: float, settings: RemnantSettings | None = None
) -> tuple[Remnant, ...]:
    """What is left of cloth cut double, told on the opened cloth: in pairs, or in one where it lies on the fold.

    `laid`: the pieces on the opened cloth, the fold along y = `fold_mm`, both layers alike.

    >>> cloth, panels = Region.rectangle((0, 0), (500, 1000)), [Region.rectangle((0, 0), (500, 300))]
    >>> [(left.length_mm, left.width_mm) for left in find_doubled_remnants(cloth, panels, fold_mm=500)]
    [(500.0, 400.0)]
    """
    low_x, low_y, high_x, _ = cloth.bounds
    layer = Region.rectangle((low_x, low_y), (high_x, fold_mm))
    lower = [region.shared_with(layer) for region in laid if region.bounds[1] < fold_mm - _TOUCH_MM]
    found = []
    for one in find_remnants(layer, lower, settings=settings):
        over = Affine(180.0, (0.0, 2 * fold_mm), mirrors=True)
        opened = one.region.moved(over)
        low_x, low_y, high_x, high_y = one.largest_mm
        if one.is_rectangle and high_y > fold_mm - _TOUCH_MM:
            whole = (low_x, low_y, high_x, 2 * fold_mm - low_y)
            region = Region.rectangle(whole[:2], whole[2:])
            found.append(replace(one, region=region, largest_mm=whole))
        else:
            twin = (low_x, 2 * fold_mm - high_y, high_x, 2 * fold_mm - low_y)
            half = one.share_of_cloth / 2
            found += [
                replace(one, share_of_cloth=half),
                replace(one, region=opened, largest_mm=twin, share_of_cloth=half),
            ]
    return tuple(sorted(found, key=lambda remnant: -remnant.region.area_mm2))


def _evened(laid: Sequence[Region]) -> list[Region]:
    """Pieces of very many corners in fewer, which cover them: what lies between their teeth is no remnant."""
    most = max(_LEAST_EVENED, _CORNERS_OF_ALL // max(1, len(laid)))
    return [with_few_corners(one, most) if one.corners > most else one for one in laid]


def _largest_in(part: Region, keep: RemnantSettings) -> tuple[Region, Bounds, bool] | None:
    """What to keep of a part: its largest rectangle, or all of it; None if it holds none that is large enough."""
    bounds = largest_rectangle(part, least_side_mm=keep.least_side_mm)
    if bounds is None:
        return None
    rectangle = Region.rectangle(bounds[:2], bounds[2:])
    is_odd = rectangle.area_mm2 < _NEARLY_RECTANGLE * part.area_mm2
    if is_odd and part.area_mm2 >= _COMPACT * part.hull_area_mm2:
        whole = _smoothed(part)
        within = largest_rectangle(whole, least_side_mm=keep.least_side_mm)
        if within and whole.area_mm2 >= keep.least_area_mm2:
            return whole, within, False
    return (rectangle, bounds, True) if rectangle.area_mm2 >= keep.least_area_mm2 else None


def _smoothed(part: Region) -> Region:
    """A part with many corners in fewer, never outside it; the largest piece if that falls apart."""
    corners = len(part.outer_ring()) + sum(map(len, part.hole_rings()))
    if corners <= _MOST_CORNERS:
        return part
    return max(part.smoothed_inwards(_SMOOTHED_MM).parts(), key=lambda one: one.area_mm2, default=part)


def _without_slivers(left: Region, keep: RemnantSettings) -> Iterator[Region]:
    """The parts of what is left that are nowhere narrower than the least side."""
    inset = _OPENING * keep.least_side_mm
    for part in left.parts():
        taken: list[Region] = []  # corners of one core, mitred, may reach into the next
        for core in part.grown(-inset).parts():
            opened = areas_of(core.grown(inset).shared_with(part)).minus_all(taken)
            whole = max(opened.parts(), key=lambda one: one.area_mm2, default=None)
            if whole and whole.area_mm2 >= keep.least_area_mm2:
                taken.append(whole)
                yield whole.without_needless_points()
