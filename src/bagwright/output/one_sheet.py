"""All templates of a pattern at true scale on one sheet: for a print shop's roll, or for a projector over the table."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.output.drawing import Anchor, Drawing, Figure, Ink, Item, Text, Tone, Window, bounds_of, line, shifted
from bagwright.output.inks import projected_css
from bagwright.output.lettering import Weight, shortened
from bagwright.output.piece_figure import template_figure
from bagwright.output.piece_lines import Frame
from bagwright.output.pieces import in_rows, line_key
from bagwright.output.rulers import Measuring
from bagwright.output.svg import svg_file
from bagwright.output.template_pages import TEST_SQUARES_MM, scale_squares
from bagwright.units import MM_PER_INCH, UnitSystem

# A0 is 841 mm wide (ISO 216); rolls of 36 in are usual where paper is sold by the inch (common practice, no source).
ROLL_MM: Mapping[str, float] = {"841mm": 841.0, "36in": 36 * MM_PER_INCH}
_MARGIN_MM = 12.0
_HEADING_MM = 68.0
_HOW = (
    'Print at 100 % ("actual size") on one sheet, never "fit to page".',
    "Measure both squares. If either is off, have the sheet printed again before you cut anything.",
)

_PROJECTED_WIDTH_MM = 1100.0
_PROJECTED_LETTERING = 2.5
_HOW_PROJECTED = "Move the projector until both squares measure right in both directions, and the grid is square."
_GRID_MM: Mapping[UnitSystem, tuple[float, int]] = {UnitSystem.INCH: (MM_PER_INCH, 6), UnitSystem.METRIC: (20.0, 5)}
"""From line to line, and how many there are from one bright line to the next."""


def one_sheet(pattern: Pattern, measuring: Measuring, *, roll: str, title: str) -> Drawing:
    """The templates in rows over one sheet as wide as the roll, one of `ROLL_MM`, and as long as it takes.

    A piece that is wider than the roll both ways makes the sheet wider.
    """
    items = _templates(pattern, measuring, Frame(), ROLL_MM[roll] - 2 * _MARGIN_MM)
    _, _, right, bottom = bounds_of(items)
    width, height = max(ROLL_MM[roll], right + 2 * _MARGIN_MM), _HEADING_MM + bottom + 2 * _MARGIN_MM
    placed = tuple(
        mark for mark in _shifted(items, _MARGIN_MM, _MARGIN_MM + _HEADING_MM) if not isinstance(mark, Window)
    )
    window = Window((0.0, _HEADING_MM), (width, height), placed)
    head = _shifted(_heading(title, width - 2 * _MARGIN_MM), _MARGIN_MM, _MARGIN_MM)
    return Drawing(width, height, (*head, window), f"Templates of {title} on one sheet", "All templates at true scale")


def _heading(title: str, width_mm: float) -> Iterator[Item]:
    """Name, how to print, what the lines mean; beside them the squares."""
    room = width_mm - sum(TEST_SQUARES_MM) - 40.0
    yield Text((0.0, 9.0), shortened(title, room, 10.0, Weight.STRONG), 10.0, weight=Weight.STRONG)
    for number, words in enumerate(_HOW):
        yield Text((0.0, 20.0 + 7.0 * number), words, 4.5)
    yield from line_key(min(room, 200.0), 42.0, "true scale")
    yield from scale_squares((width_mm - sum(TEST_SQUARES_MM) - 28.0, 0.0))


def projected_sheet(pattern: Pattern, measuring: Measuring, *, title: str) -> Drawing:
    """The templates for a projector: over a grid in the maker's unit, names large, two squares to set it by."""
    step, _ = _GRID_MM[measuring.units]
    items = _templates(pattern, measuring, Frame(lettering=_PROJECTED_LETTERING), _PROJECTED_WIDTH_MM - 2 * step)
    _, _, right, bottom = bounds_of(items)
    top = step * math.ceil(max(TEST_SQUARES_MM) / step + 2)
    columns, rows = (math.ceil((size + 2 * step) / step) for size in (right, top + bottom))
    words = [
        Text((step, step + 14.0), shortened(title, right - 170.0, 16.0, Weight.STRONG), 16.0, weight=Weight.STRONG),
        Text((step, step + 28.0), shortened(_HOW_PROJECTED, right - 170.0, 8.0), 8.0, tone=Tone.SOFT),
    ]
    squares = scale_squares((columns * step - step - sum(TEST_SQUARES_MM) - 28.0, step / 2))
    return Drawing(
        columns * step,
        rows * step,
        (*_grid(columns, rows, measuring), *words, *squares, *_shifted(items, step, top)),
        f"Templates of {title} for a projector",
        "All templates at true scale, bright on black, over a grid",
    )


def projector_file(pattern: Pattern, measuring: Measuring, *, title: str) -> bytes:
    """The sheet for a projector as an SVG file, bright on black."""
    return svg_file(projected_sheet(pattern, measuring, title=title), css=projected_css())


def _grid(columns: int, rows: int, measuring: Measuring) -> Iterator[Item]:
    """Faint lines, brighter ones with how far they are from the corner."""
    step, bright = _GRID_MM[measuring.units]
    wide, high = columns * step, rows * step
    for number in range(columns + 1):
        yield line((number * step, 0.0), (number * step, high), _grid_ink(number, bright))
    for number in range(rows + 1):
        yield line((0.0, number * step), (wide, number * step), _grid_ink(number, bright))
    for number in range(bright, columns, bright):
        yield Text((number * step, 7.5), measuring.told(number * step), 7.0, Anchor.MIDDLE, tone=Tone.SOFT, halo=True)
    for number in range(bright, rows, bright):
        yield Text((2.0, number * step + 2.5), measuring.told(number * step), 7.0, tone=Tone.SOFT, halo=True)


def _grid_ink(number: int, bright: int) -> Ink:
    return Ink.MEASURE if number % bright == 0 else Ink.HAIRLINE


def _templates(pattern: Pattern, measuring: Measuring, frame: Frame, width_mm: float) -> list[Item]:
    """In rows: every piece lying if it is lower so and has room, else upright. What is bought needs no template."""
    pieces = [piece for piece in pattern.pieces if not piece.is_bought]
    return in_rows([_turned(piece, measuring, frame, width_mm) for piece in pieces], width_mm)


def _turned(piece: Piece, measuring: Measuring, frame: Frame, width_mm: float) -> Figure:
    ways = [template_figure(piece, Frame(1.0, turn, frame.lettering), measuring) for turn in (0.0, -90.0)]

    def badness(figure: Figure) -> tuple[float, float]:
        left, top, right, bottom = figure.bounds
        return max(0.0, right - left - width_mm), bottom - top

    return min(ways, key=badness)


def _shifted(items: Sequence[Item] | Iterator[Item], dx_mm: float, dy_mm: float) -> tuple[Item, ...]:
    return tuple(shifted(item, dx_mm, dy_mm) for item in items)
