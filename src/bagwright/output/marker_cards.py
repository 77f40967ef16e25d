"""The marker cards at true scale: to be printed on plain paper, cut out and laid round scraps for a photo."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from bagwright.model.found_outline import CARD_SIDE_MM, MarkerCard
from bagwright.output.drawing import Anchor, Drawing, Fill, Ink, Item, Text, Tone, line, rectangle
from bagwright.output.lettering import Weight
from bagwright.output.tiling import PAPER_MM, Paper, Sheet, page_heading
from bagwright.units import MM_PER_INCH

PAPER_SIDE_MM: Final = 66.0
"""A card cut out: its square and the white round it, which the square needs to be seen."""
_COLUMNS, _ROWS = 2, 3
_STEPS: Final = (
    ("Print", ("Print all sheets in one go, at 100 %, on", "plain white paper, not glossy.")),
    ("Measure", ("Measure both lines at the top. If one", "is off, print again without fitting to", "the page.")),
    ("Cut", ("Cut along the thin grey lines. Keep the", "white round each square.")),
    (
        "Choose a ground",
        (
            "A flat cloth, board or paper of one",
            "strong colour: magenta, bright green or",
            "bright blue, whichever differs most from",
            "your scraps. Colour tells white, black and",
            "prints from it, shadows or not. Grey, beige",
            "and pastel do not do: white and grey look",
            "alike in shadow.",
        ),
    ),
    (
        "Lay",
        (
            "Six to eight cards round the edge, one",
            "near each corner, flat, in any turn. You",
            "need not measure where. At least four",
            "must be seen whole.",
            "Scraps within the cards, a finger's breadth",
            "from each other and from the cards.",
        ),
    ),
    (
        "Take the picture",
        (
            "From above, everything in it, as it comes:",
            "do not crop or edit it. Some slant and",
            "shadow do no harm. Take it from as far as",
            "you can reach, without zooming.",
        ),
    ),
)


def draw_marker_sheets(cards: Sequence[MarkerCard], *, paper: str) -> list[Drawing]:
    """Pages with six cards each. `paper` is "A4" or "Letter"."""
    kind = Paper.called(paper)
    by_page = [cards[i : i + _COLUMNS * _ROWS] for i in range(0, len(cards), _COLUMNS * _ROWS)]
    return [_page(kind, page, number, len(by_page)) for number, page in enumerate(by_page, start=1)]


def _page(kind: Paper, cards: Sequence[MarkerCard], number: int, count: int) -> Drawing:
    sheet = Sheet(kind)
    left, top = sheet.low
    items: list[Item] = [*page_heading(sheet, "Marker cards, at true scale", f"sheet {number} of {count}")]
    items += measured_line((left, top + 9.0), (10, 10.0), "This line must measure 100 mm")
    items += measured_line((left, top + 24.0), (4, MM_PER_INCH), "This line must measure 4 in")
    low = left, top + 36.0
    for index, card in enumerate(cards):
        column, row = index % _COLUMNS, index // _COLUMNS
        items += card_items((low[0] + column * PAPER_SIDE_MM, low[1] + row * PAPER_SIDE_MM), card)
    items += _words(low[0] + _COLUMNS * PAPER_SIDE_MM + 6.0, low[1] + 4.0)
    words = (
        f"Cards {cards[0].number} to {cards[-1].number}: black and white squares with a side of {CARD_SIDE_MM:g} mm."
    )
    return Drawing(*PAPER_MM[kind], tuple(items), "Marker cards", words)


def measured_line(start: tuple[float, float], steps: tuple[int, float], words: str) -> Iterator[Item]:
    """So many steps of so many mm."""
    (x, y), length_mm = start, steps[0] * steps[1]
    for step in range(1, steps[0]):
        yield line((x + step * steps[1], y), (x + step * steps[1], y + 2.0), Ink.MEASURE)
    yield line((x, y), (x + length_mm, y), Ink.OUTLINE)
    for end in (x, x + length_mm):
        yield line((end, y - 3.0), (end, y + 3.0), Ink.OUTLINE)
    yield Text((x + length_mm / 2, y - 1.6), words, 3.6, Anchor.MIDDLE, weight=Weight.STRONG)


def card_items(low: tuple[float, float], card: MarkerCard) -> Iterator[Item]:
    """A card cut out, its upper left corner there, without its ground."""
    x, y = low
    yield rectangle(low, (x + PAPER_SIDE_MM, y + PAPER_SIDE_MM), Ink.HAIRLINE)
    margin, cell = (PAPER_SIDE_MM - CARD_SIDE_MM) / 2, CARD_SIDE_MM / len(card.rows)
    for first, last in _black_runs(card.rows):
        corner = x + margin + first[0] * cell, y + margin + first[1] * cell
        yield rectangle(corner, (x + margin + last[0] * cell, y + margin + last[1] * cell), fill=Fill.SOLID)
    yield Text(
        (x + PAPER_SIDE_MM / 2, y + PAPER_SIDE_MM - 2.2), f"card {card.number}", 2.8, Anchor.MIDDLE, tone=Tone.SOFT
    )


def _black_runs(rows: Sequence[str]) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Low and high corner, in cells, of every run of black along and across: together they leave no seam."""
    for y, row in enumerate(rows):
        for first, last in _runs(row):
            yield (first, y), (last, y + 1)
    for x in range(len(rows[0])):
        for first, last in _runs("".join(row[x] for row in rows)):
            yield (x, first), (x + 1, last)


def _runs(cells: str) -> Iterator[tuple[int, int]]:
    """Where runs of ``#`` begin and end.

    >>> list(_runs("##.#"))
    [(0, 2), (3, 4)]
    """
    start = 0
    for run in cells.split("."):
        if run:
            yield start, start + len(run)
        start += len(run) + 1


def _words(x: float, y: float) -> Iterator[Item]:
    for title, lines in _STEPS:
        yield Text((x, y), title, 3.4, weight=Weight.STRONG)
        for words in lines:
            y += 4.2
            yield Text((x, y), words, 3.0)
        y += 7.2
