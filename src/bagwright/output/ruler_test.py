"""How the ruler test is done: a strip slid over the table's edge onto the slope, and how strips are cut."""

from __future__ import annotations

import math

from bagwright.geometry.curves import Point
from bagwright.output.drawing import Anchor, Drawing, Fill, Ink, Item, Path, Text, Tone, framed, line, rectangle
from bagwright.output.lettering import Weight

_EDGE: Point = (46.0, 30.0)
_OVERHANG_MM = 46.0
_TABLE_MM = 44.0
_STEPS = 32
_LETTER_MM = 3.8


def draw_ruler_test(angle_deg: float) -> Drawing:
    """The table from the side with the card at its edge, for a slope of that angle.

    The strip's curve is that of a strip that bends more and more towards the edge, with its tip on the slope.
    """
    words = (
        "A strip lies on a table under a ruler and is pushed out over the edge until its tip touches a line that "
        f"falls by {angle_deg:g} degrees. The overhang is read off the ruler."
    )
    return framed(_side_view(angle_deg), margin_mm=3.0, title="The ruler test", description=words)


def draw_test_strips() -> Drawing:
    """A cloth and the strips that are cut from it: three along the selvedge, three across."""
    words = "Three strips are cut along the selvedge and three across it, each 1 in (25 mm) wide."
    return framed(_cloth((0.0, 0.0)), margin_mm=3.0, title="The strips", description=words)


def _side_view(angle_deg: float) -> list[Item]:
    x, y = _EDGE
    slope = math.radians(angle_deg)
    curve = _curve(angle_deg)
    run = min(54.0, 44.0 / math.tan(slope))
    fall = run * math.tan(slope)
    tip = curve[-1]
    return [
        rectangle((x - _TABLE_MM, y), (x, y + 6.0), Ink.OUTLINE, Fill.SHADE),
        line((x, y + 6.0), (x, y + max(fall, 24.0) + 2.0), Ink.HAIRLINE),
        line((x, y), (x + run, y + fall), Ink.OUTLINE),
        Path(((x - 36.0, y - 0.9), *curve), Ink.STRIP),
        rectangle((x - 30.0, y - 5.6), (x + _OVERHANG_MM, y - 2.4), Ink.OUTLINE, Fill.PAPER),
        *[line((x + at, y - 2.4), (x + at, y - 4.0), Ink.HAIRLINE) for at in range(-25, 45, 5)],
        line((x, y - 9.6), (x + _OVERHANG_MM, y - 9.6), Ink.MEASURE),
        line((x, y - 11.2), (x, y - 8.0), Ink.MEASURE),
        line((x + _OVERHANG_MM, y - 11.2), (x + _OVERHANG_MM, y - 8.0), Ink.MEASURE),
        Text((x + _OVERHANG_MM / 2, y - 11.6), "read this: the overhang", _LETTER_MM, Anchor.MIDDLE),
        Text((x - 30.0, y - 7.4), "ruler on top", _LETTER_MM),
        Text((x - 42.0, y + 4.4), "table", _LETTER_MM),
        Text((x - 2.0, y + 13.0), "slope card,", _LETTER_MM, Anchor.END, tone=Tone.SOFT),
        Text((x - 2.0, y + 18.0), "taped to the side", _LETTER_MM, Anchor.END, tone=Tone.SOFT),
        Text((tip[0] + 4.0, tip[1] - 0.6), "tip touches the line", _LETTER_MM, halo=True),
        Text((x + run, y + fall + 5.0), f"{angle_deg:g} degrees", _LETTER_MM, Anchor.MIDDLE, tone=Tone.SOFT),
    ]


def _curve(angle_deg: float) -> list[Point]:
    """From the edge to a tip on the slope; the bend falls off with the square of the distance from the tip."""
    low, high = 0.0, math.pi / 2
    for _ in range(40):
        tip_slope = (low + high) / 2
        x, y = _followed(tip_slope)[-1]
        falls = math.degrees(math.atan2(y - _EDGE[1], x - _EDGE[0]))
        low, high = (tip_slope, high) if falls < angle_deg else (low, tip_slope)
    return _followed((low + high) / 2)


def _followed(tip_slope: float) -> list[Point]:
    points = [(_EDGE[0], _EDGE[1] - 0.9)]
    step = _OVERHANG_MM / _STEPS
    for number in range(_STEPS):
        left = 1.0 - (number + 0.5) / _STEPS
        slope = tip_slope * (1.0 - left**3)
        x, y = points[-1]
        points.append((x + step * math.cos(slope), y + step * math.sin(slope)))
    return points


def _cloth(low: Point) -> list[Item]:
    """A cloth with its selvedge, three strips along it and three across."""
    x, y = low
    along = [rectangle((x + 6.0 + 6.0 * i, y + 6.0), (x + 9.5 + 6.0 * i, y + 34.0), Ink.CUT) for i in range(3)]
    across = [rectangle((x + 27.0, y + 28.0 + 6.0 * i), (x + 55.0, y + 31.5 + 6.0 * i), Ink.CUT) for i in range(3)]
    return [
        rectangle((x, y), (x + 60.0, y + 52.0), Ink.OUTLINE, Fill.CLOTH),
        line((x + 2.0, y), (x + 2.0, y + 52.0), Ink.SELVEDGE),
        *along,
        *across,
        Text((x + 27.0, y + 12.0), "3 strips along", _LETTER_MM, weight=Weight.STRONG),
        Text((x + 27.0, y + 16.6), "the selvedge,", _LETTER_MM),
        Text((x + 27.0, y + 23.0), "3 across", _LETTER_MM, weight=Weight.STRONG),
        Text((x + 6.0, y + 49.0), "each 1 in (25 mm) wide", _LETTER_MM, tone=Tone.SOFT),
    ]
