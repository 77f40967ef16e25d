"""Templates at true scale over sheets of paper: which piece goes on which page, and the pages as drawings."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from bagwright.errors import BrokenPromise
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.output.drawing import (
    Anchor,
    Dot,
    Drawing,
    Figure,
    Ink,
    Item,
    Mark,
    Text,
    Tone,
    Window,
    bounds_of,
    line,
    rectangle,
)
from bagwright.output.lettering import Weight, shortened
from bagwright.output.piece_figure import template_figure
from bagwright.output.piece_lines import Frame
from bagwright.output.rulers import Measuring


class Paper(StrEnum):
    """Sheets that home printers take."""

    A4 = "A4"
    LETTER = "Letter"

    @classmethod
    def called(cls, name: str) -> Paper:
        """The paper of that name. Raises `BrokenPromise` for any other."""
        if name not in list(cls):
            raise BrokenPromise(f"no paper {name!r} among {[paper.value for paper in cls]}")
        return cls(name)


# ISO 216 (A4); US Letter is 8.5 x 11 in.
PAPER_MM: Mapping[Paper, tuple[float, float]] = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}
MARGIN_MM = 10.0
"""Most printers leave less than this blank at each edge; common practice, no source."""
_HEADING_MM = 7.0
OVERLAP_MM = 12.0
_GAP_MM = 8.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """The part of a page that carries templates."""

    paper: Paper

    @property
    def low(self) -> tuple[float, float]:
        """Its top left corner on the page."""
        return MARGIN_MM, MARGIN_MM + _HEADING_MM

    @property
    def size(self) -> tuple[float, float]:
        """Its width and height."""
        width, height = PAPER_MM[self.paper]
        return width - 2 * MARGIN_MM, height - 2 * MARGIN_MM - _HEADING_MM

    @property
    def high(self) -> tuple[float, float]:
        """Its bottom right corner on the page."""
        return self.low[0] + self.size[0], self.low[1] + self.size[1]


@dataclass(frozen=True, slots=True)
class Spread:
    """One figure over `columns` x `rows` pages that overlap by `OVERLAP_MM`; `names` are the pieces on it."""

    names: tuple[str, ...]
    figure: Figure
    columns: int
    rows: int

    @property
    def pages(self) -> int:
        """How many sheets of paper it takes."""
        return self.columns * self.rows


def tile_name(column: int, row: int) -> str:
    """Row letter and column number.

    >>> tile_name(0, 0), tile_name(2, 1), tile_name(0, 27)
    ('A1', 'B3', 'AB1')
    """
    letters = ""
    row += 1
    while row:
        row, rest = divmod(row - 1, 26)
        letters = chr(65 + rest) + letters
    return f"{letters}{column + 1}"


def plan_spreads(pattern: Pattern, sheet: Sheet, measuring: Measuring) -> list[Spread]:
    """Large pieces over several pages each, small ones together on shared pages. What is bought needs no template."""
    spreads: list[Spread] = []
    small: list[tuple[Piece, Figure]] = []
    for piece in pattern.pieces:
        if piece.is_bought:
            continue
        spread = min((_spread(piece, Frame(1.0, turn), sheet, measuring) for turn in (0.0, -90.0)), key=_paper_used)
        if spread.pages == 1:
            small.append((piece, spread.figure))
        else:
            spreads.append(spread)
    return [*spreads, *_shared_pages(small, sheet)]


def _spread(piece: Piece, frame: Frame, sheet: Sheet, measuring: Measuring) -> Spread:
    return spread_of((piece.name,), template_figure(piece, frame, measuring), sheet)


def spread_of(names: tuple[str, ...], figure: Figure, sheet: Sheet) -> Spread:
    """A figure over as many pages as it takes."""
    left, top, right, bottom = figure.bounds
    figure = figure.shifted(1.0 - left, 1.0 - top)
    columns = _count(right - left + 2.0, sheet.size[0])
    return Spread(names, figure, columns, _count(bottom - top + 2.0, sheet.size[1]))


def _paper_used(spread: Spread) -> int:
    return spread.pages


def _count(length_mm: float, page_mm: float) -> int:
    return 1 if length_mm <= page_mm else 1 + math.ceil((length_mm - page_mm) / (page_mm - OVERLAP_MM) - 1e-9)


@dataclass(slots=True)
class _Row:
    """A row of small pieces being filled: where it begins down the page, its height, and how far it is full."""

    top: float
    height: float
    filled: float = 0.0


def _shared_pages(small: Sequence[tuple[Piece, Figure]], sheet: Sheet) -> Iterator[Spread]:
    """Small pieces in rows, highest first, each in the first row of the first page that has room."""
    width, height = sheet.size
    pages: list[tuple[list[_Row], list[str], list[Item]]] = []
    for piece, figure in sorted(small, key=lambda pair: -_size(pair[1])[1]):
        wide, high = _size(figure)
        for rows, _, _ in pages:
            bottom = rows[-1].top + rows[-1].height + _GAP_MM
            row = next((r for r in rows if r.filled + wide <= width and high <= r.height), None)
            if row is None and bottom + high <= height:
                row = _Row(bottom, high)
                rows.append(row)
            if row is not None:
                break
        else:
            row = _Row(0.0, high)
            pages.append(([row], [], []))
        names, items = next((names, items) for rows, names, items in pages if row in rows)
        items += figure.shifted(row.filled, row.top).items
        names.append(piece.name)
        row.filled += wide + _GAP_MM
    for _, names, items in pages:
        yield Spread(tuple(names), Figure(tuple(items)), 1, 1)


def _size(figure: Figure) -> tuple[float, float]:
    """Extent from the origin, the mm around it included."""
    _, _, right, bottom = figure.bounds
    return right + 1.0, bottom + 1.0


def tile_pages(spread: Spread, sheet: Sheet, *, first_page: int, page_count: int, title: str) -> Iterator[Drawing]:
    """The pages of one spread, row by row."""
    for row, column in itertools.product(range(spread.rows), range(spread.columns)):
        page = first_page + row * spread.columns + column
        place = tile_name(column, row) if spread.pages > 1 else ""
        x, y = column * (sheet.size[0] - OVERLAP_MM), row * (sheet.size[1] - OVERLAP_MM)
        shift = (sheet.low[0] - x, sheet.low[1] - y)
        moved = spread.figure.shifted(*shift).items
        seen = tuple(mark for mark in moved if not isinstance(mark, Window) and _touches(mark, sheet))
        heading = f"{' + '.join(spread.names)}{'  ' + place if place else ''}"
        items: list[Item] = [
            *page_heading(sheet, heading, f"{title}, page {page} of {page_count}"),
            Window(sheet.low, sheet.high, seen),
            *_joints(spread, sheet, column, row),
        ]
        width, height = PAPER_MM[sheet.paper]
        yield Drawing(width, height, tuple(items), heading, f"Page {page} of {page_count}")


def _touches(mark: Mark, sheet: Sheet) -> bool:
    left, top, right, bottom = bounds_of([mark])
    (low_x, low_y), (high_x, high_y) = sheet.low, sheet.high
    return left <= high_x and right >= low_x and top <= high_y and bottom >= low_y


def page_heading(sheet: Sheet, left: str, right: str) -> list[Item]:
    """One line over the templates of a page."""
    y = sheet.low[1] - 2.6
    width = sheet.size[0]
    right = shortened(right, width * 0.45, 3.0)
    return [
        Text((sheet.low[0], y), shortened(left, width * 0.5, 3.6, Weight.STRONG), 3.6, weight=Weight.STRONG),
        Text((sheet.high[0], y), right, 3.0, Anchor.END, tone=Tone.SOFT),
    ]


_NEIGHBOURS = ((-1, 0), (1, 0), (0, -1), (0, 1))
_TARGETS_AT = (0.25, 0.75)


def _joints(spread: Spread, sheet: Sheet, column: int, row: int) -> list[Item]:
    """The frame, and towards each neighbour the line where it ends and the targets that print on both pages."""
    if spread.pages == 1:
        return []
    items: list[Item] = [rectangle(sheet.low, sheet.high, Ink.HAIRLINE)]
    for dx, dy in _NEIGHBOURS:
        beside, below = column + dx, row + dy
        if 0 <= beside < spread.columns and 0 <= below < spread.rows:
            pair = "–".join(sorted((tile_name(column, row), tile_name(beside, below))))
            items += _joint(sheet, pair, dx, dy)
    return items


def _joint(sheet: Sheet, pair: str, dx: int, dy: int) -> Iterator[Item]:
    """The overlap with the neighbour in direction (`dx`, `dy`)."""
    (left, top), (right, bottom) = sheet.low, sheet.high
    inner_x = left + OVERLAP_MM if dx < 0 else right - OVERLAP_MM
    inner_y = top + OVERLAP_MM if dy < 0 else bottom - OVERLAP_MM
    if dx:
        yield line((inner_x, top), (inner_x, bottom), Ink.HAIRLINE)
        spots = [(inner_x + dx * OVERLAP_MM / 2, top + share * (bottom - top)) for share in _TARGETS_AT]
    else:
        yield line((left, inner_y), (right, inner_y), Ink.HAIRLINE)
        spots = [(left + share * (right - left), inner_y + dy * OVERLAP_MM / 2) for share in _TARGETS_AT]
    for spot in spots:
        yield from _target(spot, pair, is_upright=bool(dx))


def _target(spot: tuple[float, float], pair: str, *, is_upright: bool) -> list[Item]:
    """A ring with a cross, and between which two pages it lies."""
    x, y = spot
    at = (x + 0.9, y - 4.5) if is_upright else (x + 4.5, y + 0.9)
    return [
        Dot(spot, 3.0, Ink.MEASURE),
        line((x - 4, y), (x + 4, y), Ink.MEASURE),
        line((x, y - 4), (x, y + 4), Ink.MEASURE),
        Text(at, pair, 2.6, turn_deg=90.0 if is_upright else 0.0, tone=Tone.SOFT, halo=True),
    ]
