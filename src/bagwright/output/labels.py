"""Finding room for a name inside a shape: as large as it fits, turned to be read."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.geometry.box_room import BoxRoom, box_about
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.output.drawing import Anchor, Item, Text, Tone
from bagwright.output.lettering import ELLIPSIS, LINE_PITCH, Setting, Weight, set_block, text_width_mm

_LINE_CHOICES = (1, 2, 3)
_TURN_COSTS_MM = 1.2
_WHOLE_NAME = 60
"""Names up to so many letters are never cut short within a shape: they go elsewhere if they do not fit."""
_LEAST_KEPT = 24
"""Of a longer name that is cut short, at least so many letters are shown: fewer would not tell it from others."""


@dataclass(frozen=True, slots=True)
class Label:
    """What to write in a shape: a name, and a line or two under it."""

    name: str
    notes: tuple[str, ...] = ()
    halo: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A label that found its place: its texts, and the area they take."""

    items: tuple[Item, ...]
    area: Region


def place_label(label: Label, inside: Region, taken: Sequence[Region], *, sizes_mm: Sequence[float]) -> Placed | None:
    """The label at the largest of `sizes_mm` at which it lies within `inside` and off `taken`, or None.

    A turned label is tried only where it can be larger by `_TURN_COSTS_MM`, nearer the middle before further.
    """
    left = inside.minus_all(taken)
    if left.is_empty:
        return None
    room, bounds = BoxRoom.of(left), inside.bounds
    wide, high = bounds[2] - bounds[0], bounds[3] - bounds[1]
    tried: set[tuple[float, float]] = set()
    ways = sorted(itertools.product(sizes_mm, (0.0, 90.0)), key=lambda way: way[1] * _TURN_COSTS_MM / 90 - way[0])
    for (size, turn), lines in itertools.product(ways, _LINE_CHOICES):
        block = _compose(label, size, lines, room_mm=(wide if turn == 0 else high) - 0.2)
        if block is None:
            continue
        box_mm = (block.width_mm, block.height_mm) if turn == 0 else (block.height_mm, block.width_mm)
        middle = None if box_mm in tried else room.middle_for(box_mm, bounds)
        tried.add(box_mm)
        if middle:
            return Placed(tuple(block.texts(middle, turn)), box_about(middle, box_mm))
    return None


@dataclass(frozen=True, slots=True)
class _Block:
    name: Setting
    notes: Setting
    halo: bool

    @property
    def width_mm(self) -> float:
        return max(self.name.width_mm, self.notes.width_mm)

    @property
    def height_mm(self) -> float:
        return self.name.height_mm + self.notes.height_mm

    def texts(self, centre: Point, turn_deg: float) -> Iterator[Item]:
        """The lines, the middle of the block at `centre`."""
        down = -self.height_mm / 2
        for setting, tone in ((self.name, Tone.INK), (self.notes, Tone.SOFT)):
            for words in setting.lines:
                base = down + setting.size_mm * 0.92
                at = (centre[0], centre[1] + base) if turn_deg == 0 else (centre[0] + base, centre[1])
                is_note = setting is self.notes
                yield Text(
                    at, words, setting.size_mm, Anchor.MIDDLE, turn_deg, setting.weight, tone, self.halo, is_note
                )
                down += setting.size_mm * LINE_PITCH


def _compose(label: Label, size_mm: float, most_lines: int, *, room_mm: float) -> _Block | None:
    """The label in at most so many lines of name; None if that would cut it short at a size that can still shrink."""
    longest_word = max((text_width_mm(w, size_mm, Weight.STRONG) for w in label.name.split()), default=0.0)
    longest_note = max((text_width_mm(w, 0.85 * size_mm) for note in label.notes for w in note.split()), default=0.0)
    if longest_note > room_mm or (longest_word > room_mm and len(label.name) <= _WHOLE_NAME):
        return None
    words = text_width_mm(label.name, size_mm, Weight.STRONG)
    name = set_block(
        label.name, min(room_mm, max(longest_word, words / most_lines * 1.25)), most_lines, size_mm, Weight.STRONG
    )
    if name.lines and name.lines[-1].endswith(ELLIPSIS):
        shown = sum(len(line) for line in name.lines)
        if len(label.name) <= _WHOLE_NAME or shown < _LEAST_KEPT:
            return None
    blocks = [set_block(note, room_mm, 2, size_mm * 0.85) for note in label.notes]
    notes = tuple(line for block in blocks for line in block.lines)
    if any(line.endswith(ELLIPSIS) for line in notes):
        return None
    block = _Block(name, Setting(notes, size_mm * 0.85), label.halo)
    return block if block.width_mm <= room_mm else None
