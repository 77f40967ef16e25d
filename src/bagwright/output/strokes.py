"""Plain strokes that tell areas apart in black and white, where no material's hatch says what they are."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from bagwright.output.drawing import Dot, Fill, Ink, Item, Path, Window, line, rectangle


class Strokes(StrEnum):
    """How an area is filled."""

    NONE = "none"
    FULL = "full"
    DOTS = "dots"
    LEVEL = "level lines"
    UPRIGHT = "upright lines"
    RISING = "rising lines"
    FALLING = "falling lines"
    CROSSED = "crossed lines"
    DASHES = "dashes"


_PITCH_MM = 1.8
_DOT_MM = 0.25


def stroked(low: tuple[float, float], high: tuple[float, float], strokes: Strokes) -> Iterator[Item]:
    """An upright area between two corners, filled and with its outline."""
    fill = Fill.SHADE if strokes is Strokes.FULL else Fill.PAPER
    yield rectangle(low, high, None, fill)
    marks = tuple(_marks(low, high, strokes))
    if marks:
        yield Window(low, high, marks)
    yield rectangle(low, high, Ink.OUTLINE)


def _marks(low: tuple[float, float], high: tuple[float, float], strokes: Strokes) -> Iterator[Path | Dot]:
    (left, top), (right, bottom) = low, high
    width, height = right - left, bottom - top
    if strokes in (Strokes.LEVEL, Strokes.CROSSED):
        yield from (line((left, y), (right, y), Ink.MEASURE) for y in _steps(top, bottom))
    if strokes in (Strokes.UPRIGHT, Strokes.CROSSED):
        yield from (line((x, top), (x, bottom), Ink.MEASURE) for x in _steps(left, right))
    if strokes is Strokes.RISING:
        yield from (line((x, bottom), (x + height, top), Ink.MEASURE) for x in _steps(left - height, right))
    if strokes is Strokes.FALLING:
        yield from (line((x, top), (x + height, bottom), Ink.MEASURE) for x in _steps(left - height, right))
    if strokes is Strokes.DASHES:
        for y in _steps(top, bottom):
            yield from (line((x, y), (x + 0.5 * _PITCH_MM, y), Ink.MEASURE) for x in _steps(left, right))
    if strokes is Strokes.DOTS and width > 0:
        yield from (Dot((x, y), _DOT_MM, None, Fill.SOLID) for x in _steps(left, right) for y in _steps(top, bottom))


def _steps(start: float, stop: float) -> Iterator[float]:
    """Half a pitch in from the start, then every pitch."""
    count = max(int((stop - start) / _PITCH_MM + 0.5), 0)
    return (start + (place + 0.5) * _PITCH_MM for place in range(count))
