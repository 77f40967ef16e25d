"""Words on paper - a supply list, steps of work, a cost sheet: headings, lines with or without a box to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.output.drawing import Drawing, Ink, Item, Text, Tone, rectangle
from bagwright.output.lettering import Weight, one_line, wrapped
from bagwright.output.tiling import PAPER_MM, Paper, Sheet

_SIZE_MM = 3.6
_PITCH_MM = 5.2
_BOX_MM = 3.0
_INDENT_MM = 6.0


@dataclass(frozen=True, slots=True)
class SheetPart:
    """Lines under one heading; `has_boxes`: each with a box to tick."""

    heading: str
    lines: tuple[str, ...]
    has_boxes: bool = False


@dataclass(frozen=True, slots=True)
class _Line:
    text: str
    is_heading: bool = False
    box: bool = False
    indent_mm: float = 0.0


def draw_word_sheet(title: str, under_title: str, parts: Sequence[SheetPart], *, paper: str) -> list[Drawing]:
    """As many pages as it takes, a heading never by itself at the foot of one."""
    sheet = Sheet(Paper.called(paper))
    (left, top), (right, bottom) = sheet.low, sheet.high
    lines = list(_lines(parts, right - left))
    pages: list[list[Item]] = []
    heading: list[Item] = [Text((left, top + 4.0), one_line(title), 6.5, weight=Weight.STRONG)]
    heading += [
        Text((left, top + 6.0 + (number + 1) * 4.6), words, 3.3, tone=Tone.SOFT, is_measure=True)
        for number, words in enumerate(wrapped(under_title, right - left, 3.3))
    ]
    y = top + 12.0 + 4.6 * len(heading)
    items = heading
    for number, one in enumerate(lines):
        follows = number + 1 < len(lines) and one.is_heading
        if y + (2 * _PITCH_MM if follows else 0.0) > bottom:
            pages.append(items)
            items, y = [], top + _PITCH_MM
        items += _set(one, left, y)
        y += _PITCH_MM
    pages.append(items)
    size = PAPER_MM[Paper.called(paper)]
    return [Drawing(*size, tuple(page), one_line(title), one_line(under_title)) for page in pages]


def _set(one: _Line, left: float, y: float) -> Iterator[Item]:
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
        yield from (_Line(words, is_heading=True) for words in wrapped(part.heading, room_mm, _SIZE_MM, Weight.STRONG))
        for told in part.lines:
            indent = _INDENT_MM if part.has_boxes else 0.0
            first, *others = wrapped(told, room_mm - indent, _SIZE_MM) or [""]
            yield _Line(first, box=part.has_boxes, indent_mm=indent)
            yield from (_Line(words, indent_mm=indent) for words in others)
