"""All pages of the printed templates: how to print and join them, a map, then every template at true scale."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.model.pattern import Pattern
from bagwright.output.drawing import Anchor, Drawing, Figure, Ink, Item, Path, Text, Tone, rectangle
from bagwright.output.lettering import Weight, shortened
from bagwright.output.rulers import Measuring
from bagwright.output.tiling import (
    OVERLAP_MM,
    PAPER_MM,
    Paper,
    Sheet,
    Spread,
    page_heading,
    plan_spreads,
    tile_name,
    tile_pages,
)
from bagwright.units import MM_PER_INCH

TEST_SQUARES_MM = (50.0, 2 * MM_PER_INCH)
_STEPS = (
    'Print at 100 % ("actual size"), never "fit to page".',
    "Measure both squares below. If either is off, correct the printer's scale before you cut anything.",
    "On several pages: trim left and top edges on the frame, lay each page over the last so that the rings meet, tape.",
    "Solid line: cut. Dashed: stitch. Tick: a notch, to meet its like. Bracket: lay on the fold. Long arrow: grain.",
)
_MAP_REDUCTIONS = (9.0, 11.0, 13.5, 16.0)
"""Maps are made smaller where that puts all of them on the first page."""
_GAP_MM = 9.0
_MAP_NAMES = 4
_LEAST_MAP_WIDTH_MM = 34.0


@dataclass(frozen=True, slots=True)
class _Numbered:
    """A spread, the number of its first page, and its map."""

    spread: Spread
    first_page: int
    map: Figure


def template_pages(pattern: Pattern, paper: Paper, measuring: Measuring, *, title: str) -> list[Drawing]:
    """The pages, in order, each a drawing the size of the paper."""
    sheet = Sheet(paper)
    spreads = plan_spreads(pattern, sheet, measuring)
    # The maps print page numbers, which depend on how many pages the maps take; their number does not.
    counts = {
        reduction: len(_map_pages(_numbered(spreads, sheet, 0, reduction), sheet, title, page_count=0))
        for reduction in _MAP_REDUCTIONS
    }
    reduction = min(counts, key=counts.__getitem__)
    map_count = counts[reduction]
    page_count = map_count + sum(spread.pages for spread in spreads)
    numbered = _numbered(spreads, sheet, map_count, reduction)
    pages = _map_pages(numbered, sheet, title, page_count=page_count)
    for entry in numbered:
        pages += tile_pages(entry.spread, sheet, first_page=entry.first_page, page_count=page_count, title=title)
    return pages


def _numbered(spreads: Sequence[Spread], sheet: Sheet, pages_before: int, reduction: float) -> list[_Numbered]:
    firsts = itertools.accumulate((spread.pages for spread in spreads), initial=pages_before + 1)
    return [
        _Numbered(spread, first, _map(spread, sheet, first, reduction))
        for spread, first in zip(spreads, firsts, strict=False)
    ]


def _map(spread: Spread, sheet: Sheet, first_page: int, reduction: float) -> Figure:
    """The tiles of one spread, small, with page numbers, and the outline of what lies on them."""
    wide, high = sheet.size[0] / reduction, sheet.size[1] / reduction
    step_x, step_y = wide - OVERLAP_MM / reduction, high - OVERLAP_MM / reduction
    tiles = [(column * step_x, row * step_y) for row in range(spread.rows) for column in range(spread.columns)]
    items: list[Item] = [rectangle((x, y), (x + wide, y + high), Ink.HAIRLINE) for x, y in tiles]
    for item in spread.figure.items:
        if isinstance(item, Path) and item.ink in (Ink.CUT, Ink.FOLD):
            points = tuple((x / reduction, y / reduction) for x, y in item.points)
            items.append(Path(points, Ink.OUTLINE if item.ink is Ink.CUT else Ink.MARK, closed=item.closed))
    for number, (x, y) in enumerate(tiles):
        row, column = divmod(number, spread.columns)
        at = (x + wide / 2, y + high / 2)
        if spread.pages > 1:
            items.append(Text(at, tile_name(column, row), 3.6, Anchor.MIDDLE, weight=Weight.STRONG, halo=True))
        below = (at[0], at[1] + 4.2)
        items.append(Text(below, f"page {first_page + number}", 2.8, Anchor.MIDDLE, tone=Tone.SOFT, halo=True))
    return Figure((*items, *_names(spread, max(wide + (spread.columns - 1) * step_x, _LEAST_MAP_WIDTH_MM))))


def _names(spread: Spread, room_mm: float) -> list[Item]:
    names = list(spread.names)
    if len(names) > _MAP_NAMES:
        names = [*names[: _MAP_NAMES - 1], f"and {len(names) - _MAP_NAMES + 1} more"]
    lines = reversed(list(enumerate(reversed(names))))
    return [
        Text((0.0, -2.0 - 3.8 * up), shortened(name, room_mm, 3.1, Weight.STRONG), 3.1, weight=Weight.STRONG)
        for up, name in lines
    ]


def _map_pages(numbered: Sequence[_Numbered], sheet: Sheet, title: str, *, page_count: int) -> list[Drawing]:
    """The first page with its instructions, and as many more as the maps need."""
    width, height = PAPER_MM[sheet.paper]
    (left, top), (right, bottom) = sheet.low, sheet.high
    pages: list[list[Item]] = [_instructions(sheet, title)]
    x, y, row_height = left, top + 108.0, 0.0
    for entry in numbered:
        low_x, low_y, high_x, high_y = entry.map.bounds
        wide, high = high_x - low_x, high_y - low_y
        if x > left and x + wide > right:
            x, y, row_height = left, y + row_height + _GAP_MM, 0.0
        if y + high > bottom and y > top:
            pages.append([])
            x, y, row_height = left, top, 0.0
        pages[-1] += entry.map.shifted(x - low_x, y - low_y).items
        x, row_height = x + wide + _GAP_MM, max(row_height, high)
    return [
        Drawing(
            width,
            height,
            (*page_heading(sheet, "Templates at true scale", f"{title}, page {number} of {page_count}"), *items),
            f"Page map of {title}",
            "How to print and join the templates" if number == 1 else "Page map, continued",
        )
        for number, items in enumerate(pages, start=1)
    ]


def _instructions(sheet: Sheet, title: str) -> list[Item]:
    left, top = sheet.low
    name = shortened(title, sheet.size[0], 8.0, Weight.STRONG)
    items: list[Item] = [Text((left, top + 9.0), name, 8.0, weight=Weight.STRONG)]
    items += [Text((left, top + 18.0 + 5.4 * i), f"{i + 1}.  {step}", 3.7) for i, step in enumerate(_STEPS)]
    return [*items, *scale_squares((left, top + 44.0))]


def scale_squares(low: tuple[float, float]) -> list[Item]:
    """The squares that tell whether a page was printed at true scale, side by side."""
    items: list[Item] = []
    x, y = low
    for side, words in zip(TEST_SQUARES_MM, ("50 mm", "2 in"), strict=True):
        items.append(rectangle((x, y), (x + side, y + side), Ink.CUT))
        items.append(Text((x + side / 2, y + side / 2 + 1.5), words, 5.0, Anchor.MIDDLE, weight=Weight.STRONG))
        x += side + 14.0
    return items
