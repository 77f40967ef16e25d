"""Covers at true scale over sheets of paper: each template with its scraps numbered, to lay them on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.model.cover import Cover, CoverRequest
from bagwright.output.cover import true_scale_cover
from bagwright.output.drawing import Drawing, Item, Text
from bagwright.output.lettering import Weight, shortened
from bagwright.output.template_pages import scale_squares
from bagwright.output.tiling import PAPER_MM, Paper, Sheet, Spread, page_heading, spread_of, tile_pages

_STEPS = (
    'Print at 100 % ("actual size"), never "fit to page".',
    "Measure both squares below. If either is off, correct the printer's scale before you cut anything.",
    "On several pages: trim left and top edges on the frame, lay each page over the last so that the rings meet, tape.",
    "Lay the scraps in the order of their numbers, glue side as on your cloth; trim along the strong lines.",
    "Outer line: the edge of the template. Bent or folded here: the long dashes. Shaded: nothing lies there.",
)


@dataclass(frozen=True, slots=True)
class CoverSheet:
    """One template with its cover, and what it is called."""

    name: str
    request: CoverRequest
    cover: Cover


def cover_pages(sheets: Sequence[CoverSheet], paper: Paper, *, title: str) -> list[Drawing]:
    """First how to print and join the pages, then every template, each page a drawing the size of the paper."""
    sheet = Sheet(paper)
    spreads = [_spread(one, number, sheet) for number, one in enumerate(sheets, 1)]
    count = 1 + sum(spread.pages for spread in spreads)
    pages = [_first(sheet, title, count)]
    for spread in spreads:
        pages += tile_pages(spread, sheet, first_page=len(pages) + 1, page_count=count, title=title)
    return pages


def _spread(one: CoverSheet, number: int, sheet: Sheet) -> Spread:
    """Upright or on its side, whichever takes less paper."""
    ways = [
        spread_of((f"{number}. {one.name}",), true_scale_cover(one.request, one.cover, turn), sheet) for turn in (0, 90)
    ]
    return min(ways, key=lambda spread: spread.pages)


def _first(sheet: Sheet, title: str, count: int) -> Drawing:
    left, top = sheet.low
    items: list[Item] = [
        *page_heading(sheet, "Scraps at true scale", f"page 1 of {count}"),
        Text((left, top + 9.0), shortened(title, sheet.size[0], 7.0, Weight.STRONG), 7.0, weight=Weight.STRONG),
    ]
    for number, step in enumerate(_STEPS):
        items.append(Text((left, top + 18.0 + 5.4 * number), f"{number + 1}.  {step}", 3.5))
    items += scale_squares((left, top + 50.0))
    width, height = PAPER_MM[sheet.paper]
    return Drawing(width, height, tuple(items), title, "How to print and join the pages")
