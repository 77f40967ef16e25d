"""Covers at true scale over sheets of paper: each template with its scraps numbered, to lay them on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.model.cover import Cover, CoverRequest
from bagwright.output.cover import Looks, draw_cover, true_scale_cover
from bagwright.output.drawing import Drawing, Figure, Item, Text, bounds_of
from bagwright.output.lettering import Weight, shortened, text_width_mm
from bagwright.output.template_pages import scale_squares
from bagwright.output.tiling import PAPER_MM, Paper, Sheet, Spread, page_heading, spread_of, tile_pages
from bagwright.units import UnitSystem

_STEPS = (
    'Print at 100 % ("actual size"), never "fit to page".',
    "Measure both squares below. If either is off, correct the printer's scale before you cut anything.",
    "On several pages: trim left and top edges on the frame, lay each page over the last so that the rings meet, tape.",
    "Lay the scraps in the order of their numbers, glue side as on your cloth; trim along the strong lines.",
    "Outer line: the edge of the template. Bent or folded here: the long dashes. Shaded: nothing lies there.",
)
_OVERVIEW_MM = (165.0, 185.0)
_STEP_SIZE_MM = 3.5
_PITCH_MM = 5.0
_INDENT_MM = 6.0


@dataclass(frozen=True, slots=True)
class CoverSheet:
    """One template with its cover, what it is called, and how its scraps look."""

    name: str
    request: CoverRequest
    cover: Cover
    looks: Looks


@dataclass(frozen=True, slots=True)
class PaperSteps:
    """What to do at the board, step by step, and the units that measures are told in."""

    at_the_board: tuple[str, ...]
    units: UnitSystem


def cover_pages(sheets: Sequence[CoverSheet], paper: Paper, steps: PaperSteps, *, title: str) -> list[Drawing]:
    """What to do; every template with its scraps' pictures; then at true scale. Each a drawing the size of the paper.

    The sheets at true scale bear lines only: pictures would take much ink and hide the scraps laid on them.
    """
    sheet = Sheet(paper)
    spreads = [_spread(one, number, sheet) for number, one in enumerate(sheets, 1)]
    count = 1 + len(sheets) + sum(spread.pages for spread in spreads)
    pages = [_first(sheet, title, count, steps)]
    for number, one in enumerate(sheets, 1):
        pages.append(_overview(sheet, one, f"{number}. {one.name}", (steps, f"{title}, page {number + 1} of {count}")))
    for spread in spreads:
        pages += tile_pages(spread, sheet, first_page=len(pages) + 1, page_count=count, title=title)
    return pages


def _spread(one: CoverSheet, number: int, sheet: Sheet) -> Spread:
    """Upright or on its side, whichever takes less paper."""
    ways = [
        spread_of((f"{number}. {one.name}",), true_scale_cover(one.request, one.cover, turn), sheet) for turn in (0, 90)
    ]
    return min(ways, key=lambda spread: spread.pages)


def _overview(sheet: Sheet, one: CoverSheet, name: str, told: tuple[PaperSteps, str]) -> Drawing:
    """The template with its scraps as they look, made smaller, and what to do with each."""
    steps, place = told
    drawn = draw_cover(one.request, one.cover, units=steps.units, size_mm=_OVERVIEW_MM, looks=one.looks)
    figure = Figure(drawn.items).shifted(sheet.low[0], sheet.low[1] + 4.0)
    width, height = PAPER_MM[sheet.paper]
    return Drawing(width, height, (*page_heading(sheet, name, place), *figure.items), name, drawn.description)


def _numbered(sheet: Sheet, lines: Sequence[str], top_mm: float) -> Iterator[Item]:
    """Steps in order, each over as many lines as it takes."""
    row, width = 0, sheet.size[0] - _INDENT_MM
    for number, step in enumerate(lines, 1):
        yield Text((sheet.low[0], top_mm + _PITCH_MM * row), f"{number}.", _STEP_SIZE_MM)
        for words in _wrapped(step, width):
            yield Text((sheet.low[0] + _INDENT_MM, top_mm + _PITCH_MM * row), words, _STEP_SIZE_MM)
            row += 1


def _wrapped(text: str, width_mm: float) -> Iterator[str]:
    kept = ""
    for word in text.split():
        longer = f"{kept} {word}".strip()
        if kept and text_width_mm(longer, _STEP_SIZE_MM, Weight.PLAIN) > width_mm:
            yield kept
            longer = word
        kept = longer
    yield kept


def _first(sheet: Sheet, title: str, count: int, steps: PaperSteps) -> Drawing:
    left, top = sheet.low
    items: list[Item] = [
        *page_heading(sheet, "Scraps at true scale", f"page 1 of {count}"),
        Text((left, top + 9.0), shortened(title, sheet.size[0], 7.0, Weight.STRONG), 7.0, weight=Weight.STRONG),
    ]
    items += _numbered(sheet, _STEPS, top + 18.0)
    squares = scale_squares((left, top + 50.0))
    items += squares
    below = bounds_of(squares)[3] + 12.0
    items.append(Text((left, below), "At the ironing board", 5.0, weight=Weight.STRONG))
    items += _numbered(sheet, steps.at_the_board, below + 8.0)
    width, height = PAPER_MM[sheet.paper]
    return Drawing(width, height, tuple(items), title, "How to print and join the pages")
