"""A whole mat for a print shop: a field of one strong colour with the marker cards round its edge, on one sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from bagwright.model.found_outline import CARD_SIDE_MM, MarkerCard
from bagwright.output.drawing import Drawing, Fill, Item, Text, Tone, rectangle
from bagwright.output.lettering import Weight
from bagwright.output.marker_cards import PAPER_SIDE_MM, card_items, measured_line
from bagwright.units import MM_PER_INCH

# Landscape. ISO 216 (A2, A1); 18 x 24 and 24 x 36 in are usual for posters (common practice, no source).
MAT_SIZES_MM: Final[Mapping[str, tuple[float, float]]] = {
    "A2": (594.0, 420.0),
    "A1": (841.0, 594.0),
    "18x24in": (24 * MM_PER_INCH, 18 * MM_PER_INCH),
    "24x36in": (36 * MM_PER_INCH, 24 * MM_PER_INCH),
}
MAT_COLOURS: Final[Mapping[str, Fill]] = {"magenta": Fill.MAGENTA, "green": Fill.GREEN}
_EDGE_MM, _FOOT_MM, _INSET_MM = 10.0, 34.0, 6.0
_ALONG_TOP, _ALONG_FOOT, _ALONG_SIDE = 4, 4, 2
_WORDS: Final = (
    "Print on one sheet of matt paper, at 100 %. Measure both lines; if one is off, have it printed again.",
    "Lay scraps in the middle, a finger's breadth from each other and from the squares. Take one picture from above.",
)


def draw_full_mat(cards: Sequence[MarkerCard], *, size: str, colour: str) -> Drawing:
    """The mat with 12 cards. `size` is one of `MAT_SIZES_MM`, `colour` one of `MAT_COLOURS`."""
    width, height = MAT_SIZES_MM[size]
    low, high = (_EDGE_MM, _EDGE_MM), (width - _EDGE_MM, height - _FOOT_MM)
    items: list[Item] = [rectangle(low, high, fill=MAT_COLOURS[colour])]
    places = _places((low[0] + _INSET_MM, low[1] + _INSET_MM), (high[0] - _INSET_MM, high[1] - _INSET_MM))
    for card, (x, y) in zip(cards, places, strict=False):
        items.append(rectangle((x, y), (x + PAPER_SIDE_MM, y + PAPER_SIDE_MM), fill=Fill.PAPER))
        items += card_items((x, y), card)
    items += _foot(high[1], width)
    words = f"A {colour} field with squares of {CARD_SIDE_MM:g} mm round its edge, to lay scraps on for a photo"
    return Drawing(width, height, tuple(items), "Mat for photos of scraps", words)


def _places(low: tuple[float, float], high: tuple[float, float]) -> Iterator[tuple[float, float]]:
    """Upper left corners of the cards: along the top, the foot, then down both sides between them."""
    right, bottom = high[0] - PAPER_SIDE_MM, high[1] - PAPER_SIDE_MM
    for count, y in ((_ALONG_TOP, low[1]), (_ALONG_FOOT, bottom)):
        for i in range(count):
            yield low[0] + i * (right - low[0]) / (count - 1), y
    for i in range(1, _ALONG_SIDE + 1):
        y = low[1] + i * (bottom - low[1]) / (_ALONG_SIDE + 1)
        yield low[0], y
        yield right, y


def _foot(top: float, width: float) -> Iterator[Item]:
    """Two lines to measure and what to do, below the field, where nothing of it passes for a scrap."""
    y = top + 11.0
    yield from measured_line((_EDGE_MM + 4.0, y), (10, 10.0), "This line must measure 100 mm")
    yield from measured_line(
        (width - _EDGE_MM - 4.0 - 4 * MM_PER_INCH, y), (4, MM_PER_INCH), "This line must measure 4 in"
    )
    x = _EDGE_MM + 112.0
    yield Text((x, y - 1.6), "Mat for photos of scraps", 4.2, weight=Weight.STRONG)
    for i, words in enumerate(_WORDS):
        yield Text((x, y + 4.2 + 5.0 * i), words, 3.4, tone=Tone.SOFT)
