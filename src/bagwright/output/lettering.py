"""How wide text runs, and how to break or shorten it so that it fits. Widths are those of Source Sans 3."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from bagwright.output.further_letters import FURTHER_WIDTHS

LINE_PITCH = 1.2
"""Distance from one line of text to the next, in ems."""
ELLIPSIS = "…"
FRACTION = re.compile(r"(?<![\d/])(\d+/\d+)(?![\d/])")
"""A common fraction within a measure."""
_BREAKS = re.compile(r"(?<!\d) | (?!(?:\d+/\d+|in|yd|mm|cm|m)(?![\w/]))")
"""Spaces at which a line may end: none within a measure."""


class Weight(StrEnum):
    """The two weights that are packaged."""

    PLAIN = "plain"
    STRONG = "strong"


# Advance widths of U+0020 to U+007E in thousandths of an em, from the packaged fonts (400 and 600).
# fmt: off
_ASCII = {
    Weight.PLAIN: (
        200, 289, 426, 497, 497, 824, 609, 249, 303, 303, 418, 497, 249, 311, 249, 350, 497, 497, 497, 497, 497, 497,
        497, 497, 497, 497, 249, 249, 497, 497, 497, 425, 847, 543, 588, 571, 615, 527, 494, 617, 652, 263, 479, 579,
        486, 727, 647, 664, 566, 664, 569, 534, 536, 645, 515, 786, 513, 476, 539, 303, 350, 303, 497, 500, 542, 504,
        553, 456, 555, 496, 292, 504, 544, 246, 247, 495, 255, 829, 547, 542, 555, 555, 347, 419, 338, 544, 467, 719,
        446, 467, 425, 303, 241, 303, 497,
    ),
    Weight.STRONG: (
        200, 315, 482, 513, 513, 841, 639, 275, 324, 324, 438, 513, 275, 322, 275, 344, 513, 513, 513, 513, 513, 513,
        513, 513, 513, 513, 275, 275, 513, 513, 513, 444, 875, 558, 597, 576, 625, 538, 510, 628, 663, 282, 494, 597,
        502, 745, 657, 674, 582, 674, 592, 545, 546, 655, 536, 800, 541, 501, 540, 324, 344, 324, 513, 500, 549, 516,
        563, 462, 564, 507, 317, 520, 558, 262, 263, 522, 271, 843, 560, 549, 564, 564, 373, 431, 361, 556, 495, 748,
        481, 495, 443, 324, 255, 324, 513,
    ),
}
# fmt: on


@lru_cache(maxsize=1024)
def one_line(text: str) -> str:
    """Text on one line without control characters, which neither XML nor a page can carry.

    >>> one_line("Front\\tpanel\\x00 ")
    'Front panel'
    """
    kept = "".join(
        " " if c.isspace() else c for c in text if c.isspace() or not unicodedata.category(c).startswith("C")
    )
    return " ".join(kept.split())


def text_width_mm(text: str, size_mm: float, weight: Weight = Weight.PLAIN) -> float:
    """Width of `text` set at `size_mm` to the em; never less than it takes in the packaged font.

    >>> round(text_width_mm("1000", 10), 2)
    19.88
    """
    return _advances(text, weight) * size_mm / 1000


@lru_cache(maxsize=4096)
def _advances(text: str, weight: Weight) -> int:
    return sum(_advance(c, weight) for c in text)


def _advance(char: str, weight: Weight) -> int:
    table = _ASCII[weight]
    if " " <= char <= "~":
        return table[ord(char) - 32]
    if unicodedata.combining(char):
        return 0
    base, *accents = tuple(unicodedata.normalize("NFD", char))
    if " " <= base <= "~":
        return table[ord(base) - 32]
    # Greek sets the accents of a capital beside it, where they take room of their own.
    beside = len(accents) if base.isupper() and "\u0370" <= base <= "\u03ff" else 0
    return FURTHER_WIDTHS.get(base, 1000) + 250 * beside


def shortened(text: str, room_mm: float, size_mm: float, weight: Weight = Weight.PLAIN) -> str:
    """The text, or as much of it as fits with an ellipsis.

    >>> shortened("Front panel", 100, 3), shortened("Front panel", 10, 3)
    ('Front panel', 'Front…')
    """
    text = one_line(text)
    if text_width_mm(text, size_mm, weight) <= room_mm:
        return text
    room = room_mm - text_width_mm(ELLIPSIS, size_mm, weight)
    kept = 0.0
    for count, char in enumerate(text):
        kept += text_width_mm(char, size_mm, weight)
        if kept > room:
            return text[:count].rstrip() + ELLIPSIS
    return text


def wrapped(text: str, room_mm: float, size_mm: float, weight: Weight = Weight.PLAIN) -> list[str]:
    """The text broken at spaces into lines no wider than `room_mm`; words that are too long break anywhere.

    A whole number is not parted from its fraction, nor either from its unit, where the line has room for them.

    >>> wrapped("Front panel lining", 18, 3)
    ['Front panel', 'lining']
    >>> wrapped("Along, 34 7/16 in on", 18, 3)
    ['Along,', '34 7/16 in on']
    """
    lines: list[str] = []
    current = ""
    words = [
        part
        for words in _BREAKS.split(" ".join(one_line(text).split()))
        for part in ([words] if text_width_mm(words, size_mm, weight) <= room_mm else words.split())
    ]
    for word in words:
        joined = f"{current} {word}".strip()
        if text_width_mm(joined, size_mm, weight) <= room_mm:
            current = joined
            continue
        lines += [current] if current else []
        chunks = _broken(word, room_mm, size_mm, weight)
        lines += chunks[:-1]
        current = chunks[-1]
    return [*lines, current] if current else lines


def _broken(word: str, room_mm: float, size_mm: float, weight: Weight) -> list[str]:
    chunks = [""]
    for char in word:
        if chunks[-1] and text_width_mm(chunks[-1] + char, size_mm, weight) > room_mm:
            chunks.append("")
        chunks[-1] += char
    return chunks


@dataclass(frozen=True, slots=True)
class Setting:
    """A block of text as it is set: lines of one size."""

    lines: tuple[str, ...]
    size_mm: float
    weight: Weight = Weight.PLAIN

    @property
    def width_mm(self) -> float:
        """Width of the widest line."""
        return max((text_width_mm(line, self.size_mm, self.weight) for line in self.lines), default=0.0)

    @property
    def height_mm(self) -> float:
        """Height of all lines."""
        return len(self.lines) * self.size_mm * LINE_PITCH


def set_block(text: str, room_mm: float, most_lines: int, size_mm: float, weight: Weight = Weight.PLAIN) -> Setting:
    """The text in at most `most_lines` lines, the last one shortened if there is more."""
    lines = wrapped(text, room_mm, size_mm, weight)
    if len(lines) > most_lines:
        rest = " ".join(lines[most_lines - 1 :])
        lines = [*lines[: most_lines - 1], shortened(rest, room_mm, size_mm, weight)]
    return Setting(tuple(lines), size_mm, weight)


@dataclass(frozen=True, slots=True)
class Run:
    """Letters of one size: `scale` of the text's own size, `rise` ems of it above the baseline."""

    text: str
    scale: float = 1.0
    rise: float = 0.0


def fraction_runs(text: str) -> list[Run]:
    """A measure as runs, its fractions small and slanted as a typesetter does them.

    >>> [run.text for run in fraction_runs("12 5/8 in")]
    ['12 ', '5', '⁄', '8', ' in']
    """
    runs: list[Run] = []
    for part in FRACTION.split(text):
        top, slash, bottom = part.partition("/")
        if FRACTION.fullmatch(part):
            runs += [Run(top, 0.62, 0.26), Run("⁄"), Run(bottom, 0.62)]
        elif part:
            runs.append(Run(top + slash + bottom))
    return runs
