"""The stitch line of a piece that draws both lines: closed, parallel to the cut line, or completed along it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from bagwright.geometry.chains import Run, turned_round
from bagwright.geometry.curves import Curve, Point
from bagwright.geometry.inset import allowance_between
from bagwright.geometry.nearest import nearest_place
from bagwright.geometry.outline import Outline
from bagwright.geometry.region import Region
from bagwright.geometry.splitting import split_curves

ON_BORDER_MM = 0.2
_NARROWEST_MM, _WIDEST_MM = 1.0, 60.0
_NONE_MM = 0.05
_STEADY_MM = 0.5


def measured_allowances(net: Outline, cut: Region) -> dict[str, float]:
    """How far the cut line lies outside each edge, to a thousandth of a mm; hardly any counts as none."""
    found = {edge.name: allowance_between(edge, cut)[0] for edge in net.edges}
    return {name: round(width, 3) if width > _NONE_MM else 0.0 for name, width in found.items()}


def uneven_edges(net: Outline, cut: Region) -> list[str]:
    """Edges along which the cut line lies now nearer, now farther, by more than half a mm."""
    return [edge.name for edge in net.edges if allowance_between(edge, cut)[1] > _STEADY_MM]


def is_parallel(net: Outline, cut: Region) -> bool:
    """Whether every edge runs along the cut line at a distance that a seam allowance may have."""
    widths: Mapping[str, float] = measured_allowances(net, cut)
    return all(_NARROWEST_MM <= width <= _WIDEST_MM for width in widths.values()) and not uneven_edges(net, cut)


def completed(runs: Sequence[Run], border: Run) -> Run | None:
    """Open stitch lines that end on the cut line, joined along it where it takes no allowance; None if they don't.

    `border` is closed and counter-clockwise.
    """
    length_mm = math.fsum(curve.length_mm for curve in border)
    placed = [_along(run, border, length_mm) for run in runs]
    if not all(placed):
        return None
    ordered = sorted((one for one in placed if one), key=lambda one: one[0])
    loop: list[Curve] = []
    for number, (_, end_mm, run) in enumerate(ordered):
        next_mm = ordered[(number + 1) % len(ordered)][0]
        loop += [*run, *_stretch(border, end_mm, next_mm, length_mm)]
    return tuple(loop)


def _along(run: Run, border: Run, length_mm: float) -> tuple[float, float, Run] | None:
    """Where along the border the run starts and ends, turned so that it goes the way of the border."""
    ends = [nearest_place(border, point) for point in (run[0].start, run[-1].end)]
    if any(off > ON_BORDER_MM for _, off in ends):
        return None
    middle, _ = nearest_place(border, _middle(run))
    (start, _), (end, _) = ends
    goes_along = (middle - start) % length_mm <= (end - start) % length_mm
    return (start, end, run) if goes_along else (end, start, turned_round(run))


def _middle(run: Run) -> Point:
    half = math.fsum(curve.length_mm for curve in run) / 2
    before, after = split_curves(run, half)
    return (after or before)[0].start if after else before[-1].end


def _stretch(border: Run, from_mm: float, to_mm: float, length_mm: float) -> Run:
    """The border from one place to another, walked on from its end to its start where need be."""
    if to_mm < from_mm:
        return (*_stretch(border, from_mm, length_mm, length_mm), *_stretch(border, 0.0, to_mm, length_mm))
    _, rest = split_curves(border, from_mm)
    stretch, _ = split_curves(rest, to_mm - from_mm) if rest else ((), ())
    return stretch
