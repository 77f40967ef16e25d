"""Words on paper - a supply list, steps of work, a cost sheet: headings, lines with or without a box to tick."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from bagwright.geometry.curves import Point
from bagwright.output.drawing import Drawing, Ink, Item, Text, Tone, rectangle, shifted
from bagwright.output.lettering import Weight, one_line, wrapped
from bagwright.output.tiling import PAPER_MM, Paper, Sheet

_SIZE_MM = 3.6
_TITLE_MM, _TITLE_PITCH_MM = 6.5, 8.0
_PITCH_MM = 5.2
_BOX_MM = 3.0
_INDENT_MM = 6.0
_KEPT_WHOLE = 7
"""Lines of a part without boxes that are not parted by the end of a page."""
_OVER_PICTURE_MM, _UNDER_PICTURE_MM = 2.0, 3.0


@dataclass(frozen=True, slots=True)
class SheetPart:
    """Lines under one heading; `has_boxes`: each with a box to tick; `pictures`: what to draw under which line."""

    heading: str
    lines: tuple[str, ...]
    has_boxes: bool = False
    pictures: Mapping[int, Drawing] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Line:
    text: str
    is_heading: bool = False
    box: bool = False
    indent_mm: float = 0.0
    picture: Drawing | None = None
    stays_with_next: bool = False

    @property
    def height_mm(self) -> float:
        return self.picture.height_mm + _UNDER_PICTURE_MM if self.picture else _PITCH_MM


def draw_word_sheet(title: str, under_title: str, parts: Sequence[SheetPart], *, paper: str) -> list[Drawing]:
    """As many pages as it takes.

    What a line says stays on one page with its picture, a heading with its first line, and a short part without boxes
    whole.
    """
    sheet = Sheet(Paper.called(paper))
    (left, top), (right, bottom) = sheet.low, sheet.high
    lines = list(_lines(parts, right - left))
    pages: list[list[Item]] = []
    items, y = _heading(title, under_title, (left, top), right - left)
    for number, one in enumerate(lines):
        if y + _needs_mm(lines, number) > bottom:
            pages.append(items)
            items, y = [], top + _PITCH_MM
        items += _set(one, left, y)
        y += one.height_mm
    pages.append(items)
    size = PAPER_MM[Paper.called(paper)]
    return [Drawing(*size, tuple(page), one_line(title), one_line(under_title)) for page in pages]


def _heading(title: str, under_title: str, at: Point, room_mm: float) -> tuple[list[Item], float]:
    """The title and what is said below it, each on as many lines as it takes; and where the first line goes."""
    left, top = at
    titles = wrapped(one_line(title), room_mm, _TITLE_MM, Weight.STRONG)
    items: list[Item] = [
        Text((left, top + 4.0 + number * _TITLE_PITCH_MM), words, _TITLE_MM, weight=Weight.STRONG)
        for number, words in enumerate(titles)
    ]
    y = top + 6.0 + (len(titles) - 1) * _TITLE_PITCH_MM
    for words in wrapped(under_title, room_mm, 3.3):
        y += 4.6
        items.append(Text((left, y), words, 3.3, tone=Tone.SOFT, is_measure=True))
    return items, y + 10.6


def _needs_mm(lines: Sequence[_Line], number: int) -> float:
    """Room below its baseline for a line; for the first of several that stay together, for all of them."""
    end = number
    if number == 0 or not lines[number - 1].stays_with_next:
        while lines[end].stays_with_next and end + 1 < len(lines):
            end += 1
    return sum(line.height_mm for line in lines[number : end + 1]) - _PITCH_MM


def _set(one: _Line, left: float, y: float) -> Iterator[Item]:
    if one.picture:
        down = y - _PITCH_MM + _OVER_PICTURE_MM
        yield from (shifted(item, left + one.indent_mm, down) for item in one.picture.items)
    if one.box:
        yield rectangle((left, y - _BOX_MM), (left + _BOX_MM, y), Ink.HAIRLINE)
    if one.text:
        weight = Weight.STRONG if one.is_heading else Weight.PLAIN
        yield Text((left + one.indent_mm, y), one.text, _SIZE_MM, weight=weight, is_measure=not one.is_heading)


def _lines(parts: Sequence[SheetPart], room_mm: float) -> Iterator[_Line]:
    for part in parts:
        if not part.lines:
            continue
        yield _Line("")
        for words in wrapped(part.heading, room_mm, _SIZE_MM, Weight.STRONG):
            yield _Line(words, is_heading=True, stays_with_next=True)
        entries = [
            line
            for number, told in enumerate(part.lines)
            for line in _entry(told, part.pictures.get(number), room_mm, has_box=part.has_boxes)
        ]
        if not part.has_boxes and len(entries) <= _KEPT_WHOLE:
            entries[:-1] = [replace(line, stays_with_next=True) for line in entries[:-1]]
        yield from entries


def _entry(told: str, picture: Drawing | None, room_mm: float, *, has_box: bool) -> Iterator[_Line]:
    """One line of a part, wrapped, and its picture, all on one page."""
    indent = _INDENT_MM if has_box else 0.0
    texts = wrapped(told, room_mm - indent, _SIZE_MM) or [""]
    for number, words in enumerate(texts):
        stays = picture is not None or number + 1 < len(texts)
        yield _Line(words, box=has_box and number == 0, indent_mm=indent, stays_with_next=stays)
    if picture:
        yield _Line("", indent_mm=indent, picture=picture)
