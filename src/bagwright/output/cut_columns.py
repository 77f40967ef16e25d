"""The words of the page for the cutting table in columns: no sentence goes on in the next one if that can be helped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import Point
from bagwright.output.drawing import Item, Text
from bagwright.output.lettering import Weight, wrapped

SMALLEST_LINES = (2.4, 3)
_LINES = ((3.3, 2), (2.8, 2), (2.8, 3), SMALLEST_LINES)
"""Size of letters and number of columns, best first."""
_LINE_PITCH = 1.35
_LEAST_LINES = 6
_COLUMN_GAP_MM = 6.0
_INDENT_EMS = 3.7


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetWords:
    """What stands on the page beside the drawing: pieces, a line for each cut, what is left, what to mind.

    Lines of `pieces`, `cuts` and `left` come with their number; one without a number is a heading.
    """

    title: str
    under_title: str
    before: Sequence[str]
    cuts: Sequence[tuple[str, str]]
    left: Sequence[tuple[str, str]]
    cautions: Sequence[str]
    pieces: Sequence[tuple[str, str]] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a column: `lead` stands before it in strong letters; `is_in`: set in by as much as a lead takes.

    `goes_on`: the line before begins its sentence.
    """

    text: str
    weight: Weight = Weight.PLAIN
    lead: str = ""
    is_in: bool = False
    goes_on: bool = False


def set_words(words: SheetWords, low: Point, high: Point) -> tuple[list[Item], list[Line]]:
    """All lines in as few columns and as large letters as the room takes; what found no room."""
    for size, columns in _LINES:
        room = _column_mm(low, high, columns)
        lines = list(_lines(words, room, size))
        texts, rest = set_lines(lines, low, high, (size, columns))
        if not rest:
            break
    return texts, rest


def _column_mm(low: Point, high: Point, columns: int) -> float:
    return (high[0] - low[0] - (columns - 1) * _COLUMN_GAP_MM) / columns


def set_lines(
    lines: Sequence[Line], low: Point, high: Point, style: tuple[float, int]
) -> tuple[list[Item], list[Line]]:
    """Lines between two corners, `style`: size of letters and number of columns; what found no room."""
    size, columns = style
    room, pitch = _column_mm(low, high, columns), _LINE_PITCH * size
    most = max(1, int((high[1] - low[1]) / pitch))
    even = min(most, max(_LEAST_LINES, -(-len(lines) // columns)))
    lines, even = _unbroken(lines, columns, (even, most))
    items: list[Item] = []
    for at, one in enumerate(lines[: columns * even]):
        x, y = low[0] + at // even * (room + _COLUMN_GAP_MM), low[1] + (at % even + 1) * pitch
        if one.lead:
            items.append(Text((x, y), one.lead, size, weight=Weight.STRONG))
        if one.text:
            shift = _INDENT_EMS * size if one.is_in else 0.0
            items.append(Text((x + shift, y), one.text, size, weight=one.weight, is_measure=True))
    rest = list(lines[columns * even :])
    return items, rest if any(one.text for one in rest) else []


def _unbroken(lines: Sequence[Line], columns: int, rows: tuple[int, int]) -> tuple[list[Line], int]:
    """Columns as short as will do in which no sentence goes on in the next one and no heading stands at the foot.

    `rows`: the fewest and the most lines of a column. What fits in none stands as it comes in the longest ones.
    """
    fewest, most = rows
    for high in range(fewest, most + 1):
        set_so = _with_gaps(lines, columns, high)
        if len(set_so) <= columns * high:
            return set_so, high
    return _with_gaps(lines, columns, most), most


def _with_gaps(lines: Sequence[Line], columns: int, high: int) -> list[Line]:
    """The lines with empty ones where a column ends before a sentence that would not end in it."""
    told: list[Line] = []
    at = 0
    while at < len(lines):
        run = _run(lines, at)
        left = -len(told) % high
        if 0 < left < len(run) <= high and len(told) < (columns - 1) * high:
            told += [Line("")] * left
        if not (len(told) % high == 0 and not run[0].text):  # no gap at the head of a column
            told += run
        at += len(run)
    return told


def _run(lines: Sequence[Line], at: int) -> Sequence[Line]:
    """The line there with those that go on from it; a heading with the sentence under it."""
    end = at + 1
    if lines[at].weight is Weight.STRONG and end < len(lines) and lines[end].weight is not Weight.STRONG:
        end += 1
    while end < len(lines) and lines[end].goes_on:
        end += 1
    return lines[at:end]


def _lines(words: SheetWords, room_mm: float, size_mm: float) -> Iterator[Line]:
    parts = (
        ("Pieces, along × across the cloth", words.pieces),
        ("Before", [("", sentence) for sentence in words.before]),
        ("Cut", words.cuts),
        ("What is left, along × across the cloth", words.left),
        ("Take care", [("", sentence) for sentence in words.cautions]),
    )
    for heading, lines in parts:
        if lines:
            yield Line(heading, Weight.STRONG)
        is_in = any(lead for lead, _ in lines)
        for lead, sentence in lines:
            inside = is_in and bool(lead)
            weight = Weight.STRONG if is_in and not lead else Weight.PLAIN
            first, *others = wrapped(sentence, room_mm - (_INDENT_EMS * size_mm if inside else 0.0), size_mm, weight)
            yield Line(first, weight, lead, inside)
            yield from (Line(text, weight, is_in=inside, goes_on=True) for text in others)
        yield Line("")
