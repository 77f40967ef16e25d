"""How high a panel stands by itself against how high it has to: a strip that stands, leans or slumps."""

from __future__ import annotations

import math

from bagwright.geometry.curves import Point
from bagwright.model.source import Band
from bagwright.output.drawing import Anchor, Drawing, Fill, Ink, Item, Path, Text, Tone, line, rectangle
from bagwright.output.lettering import Weight
from bagwright.output.rulers import Measuring
from bagwright.units import UnitSystem

_SIZE_MM = (34.0, 36.0)
"""About 128 px across: small enough to stand beside a number."""
_GROUND_MM = 30.0
_TOP_MM = 5.0
_STRIP_X_MM = 5.0
_BAR_X_MM = (26.0, 31.0)


def draw_stance(height_mm: float, band: Band, *, units: UnitSystem) -> Drawing:
    """A strip from the ground, the panel's height as a dashed line, and how high the stack stands as a bar.

    The bar is full up to the low end of the band and open up to the high end.

    Stands if the low end of the band reaches the height, slumps if the high end does not, else leans.
    """
    stance = "stands" if band.low >= height_mm else "slumps" if band.high < height_mm else "leans"
    # The band may reach far above the panel: it is cut off at twice the height, with an open top.
    top_mm = min(max(height_mm, band.high), 2.0 * height_mm) * 1.06
    scale = (_GROUND_MM - _TOP_MM) / top_mm
    panel_y = _GROUND_MM - height_mm * scale
    right = _SIZE_MM[0] - 1.0
    items: list[Item] = [
        *_bar(band, top_mm, scale),
        Path(tuple(_strip(stance, height_mm * scale)), Ink.STRIP),
        line((1.0, _GROUND_MM), (right, _GROUND_MM), Ink.OUTLINE),
        line((1.0, panel_y), (right, panel_y), Ink.STITCH),
        Text((9.0, panel_y - 1.0), "panel", 2.8, tone=Tone.SOFT),
        Text((_SIZE_MM[0] / 2, _SIZE_MM[1] - 1.2), stance, 3.8, Anchor.MIDDLE, weight=Weight.STRONG),
    ]
    told = Measuring(units, 4).told
    words = (
        f"A strip of this stack stands {told(band.low)} to {told(band.high)} high by itself; "
        f"the panel is {told(height_mm)} high."
    )
    return Drawing(*_SIZE_MM, tuple(items), f"The panel {stance}", words)


def _bar(band: Band, top_mm: float, scale: float) -> list[Item]:
    """The band of standing height as a bar on the ground."""
    left, right = _BAR_X_MM
    low_y, high_y = (_GROUND_MM - min(mm, top_mm) * scale for mm in (band.low, band.high))
    full = rectangle((left, low_y), (right, _GROUND_MM), Ink.OUTLINE, Fill.SHADE)
    sides = ((left, low_y), (left, high_y), (right, high_y), (right, low_y))
    if band.high > top_mm:
        return [full, line(sides[0], sides[1], Ink.OUTLINE), line(sides[2], sides[3], Ink.OUTLINE)]
    return [full, Path(sides, Ink.OUTLINE, Fill.PAPER)]


def _strip(stance: str, length: float) -> list[Point]:
    """The strip's middle line from the ground up: upright, bent over a little, or folded down to the ground."""
    if stance == "stands":
        return [(_STRIP_X_MM, _GROUND_MM), (_STRIP_X_MM, _GROUND_MM - length)]
    most_deg = 75.0 if stance == "leans" else 172.0
    points = [(_STRIP_X_MM, _GROUND_MM - 0.8)]
    steps = 24
    for step in range(steps):
        # Bends more and more towards the tip, as its own weight would have it.
        angle = math.radians(most_deg * ((step + 0.5) / steps) ** 1.3)
        x, y = points[-1]
        points.append(
            (x + math.sin(angle) * length / steps, min(y - math.cos(angle) * length / steps, _GROUND_MM - 0.8))
        )
    return points
