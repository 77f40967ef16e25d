"""Pieces of the stash, all to one scale, so that they can be compared by eye."""

from __future__ import annotations

from bagwright.geometry.region import Region
from bagwright.model.material import MaterialKind
from bagwright.output.drawing import Drawing, Fill, Hatch, Ink, Item, Path, framed
from bagwright.output.layouts import thinned
from bagwright.output.rulers import double_arrow

STASH_REDUCTION = 16.0
"""A piece 36 in long then takes about 215 px."""
_LONGEST_MM = 112.0
"""Longer pieces (70 in and more) are made smaller still."""
_LEAST_ARROW_MM = 3.0


def draw_stash_piece(region: Region, kind: MaterialKind, *, grain_deg: float | None, name: str) -> Drawing:
    """One piece as it lies, smaller by `STASH_REDUCTION` (more only if it would not fit), grain as an arrow.

    y runs up in the outline and down on paper.
    """
    low_x, low_y, high_x, high_y = region.bounds
    reduction = max(STASH_REDUCTION, (high_x - low_x) / _LONGEST_MM, (high_y - low_y) / _LONGEST_MM)

    def on_paper(point: tuple[float, float]) -> tuple[float, float]:
        return (point[0] - low_x) / reduction, (high_y - point[1]) / reduction

    rings = [region.outer_ring(), *region.hole_rings()]
    drawn = [tuple(thinned([on_paper(point) for point in ring])) for ring in rings]
    items: list[Item] = [Path(drawn[0], Ink.OUTLINE, Hatch(kind), closed=True)]
    items += [Path(ring, Ink.OUTLINE, Fill.PAPER, closed=True) for ring in drawn[1:]]
    middle = ((high_x - low_x) / 2 / reduction, (high_y - low_y) / 2 / reduction)
    run = min(8.0, 0.6 * min(high_x - low_x, high_y - low_y) / reduction)
    if grain_deg is not None and run >= _LEAST_ARROW_MM:
        items += _grain(middle, run, grain_deg)
    size = f"{high_x - low_x:.0f} x {high_y - low_y:.0f} mm over all"
    return framed(items, margin_mm=0.6, title=name, description=f"{name}: {size}")


def _grain(middle: tuple[float, float], run_mm: float, grain_deg: float) -> list[Item]:
    if round(grain_deg) % 180 == 90:
        return double_arrow((middle[0], middle[1] - run_mm / 2), (middle[0], middle[1] + run_mm / 2))
    if round(grain_deg) % 180 == 0:
        return double_arrow((middle[0] - run_mm / 2, middle[1]), (middle[0] + run_mm / 2, middle[1]))
    return []
