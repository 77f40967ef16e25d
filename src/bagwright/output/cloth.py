"""A length of cloth on paper: which way it lies, its selvedges, its measures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout
from bagwright.model.material import MaterialKind
from bagwright.output.drawing import Anchor, Dot, Fill, Ink, Item, Path, Text, Tone, line, rectangle
from bagwright.output.hatching import LETTERS
from bagwright.output.lettering import Weight, text_width_mm
from bagwright.output.rulers import MEASURE_SIZE_MM, Measuring, dimension_across, dimension_up

_SELVEDGE_MM = 1.6
_PINHOLE_PITCH_MM = 3.0
_BESIDE_MM = 8.0
"""Room for one measure at the left."""
_COLUMN_MM = 6.0
"""From one measure to the next."""
_FOLD_ROOM_MM = 0.6
_HEADING_SIZE_MM = 3.2
_SELVEDGE_SIZE_MM = 2.6
_HIGHEST_SHARE = 0.85
_WITH_SELVEDGE = frozenset(
    {MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT, MaterialKind.COATED, MaterialKind.WOVEN_INTERFACING}
)


@dataclass(frozen=True, slots=True)
class Cloth:
    """What is laid on, and how small. Its length runs across the page, or `hangs` down where it is short and wide.

    On paper the corner of the cloth is at (0, 0), y down. Nothing is mirrored.
    """

    layout: Layout
    kind: MaterialKind
    bought_length_mm: float
    reduction: float
    hangs: bool

    @classmethod
    def fitted(cls, layout: Layout, kind: MaterialKind, bought_length_mm: float, *, width_mm: float) -> Cloth:
        """The cloth as large as a drawing of that width has room for."""
        longest, wide = max(bought_length_mm, layout.length_mm), layout.width_mm
        hangs = longest < wide
        room = width_mm - _BESIDE_MM - (_COLUMN_MM if hangs else 0.0)
        across, down = (wide, longest) if hangs else (longest, wide)
        reduction = max(across / room, down / (_HIGHEST_SHARE * width_mm), 1.0)
        return cls(layout, kind, bought_length_mm, reduction, hangs)

    @property
    def has_selvedges(self) -> bool:
        """Whether its long sides are selvedges."""
        return self.kind in _WITH_SELVEDGE

    @property
    def longest_mm(self) -> float:
        """Length bought; what is used if that is more."""
        return max(self.bought_length_mm, self.layout.length_mm)

    @property
    def size(self) -> Point:
        """Width and height on paper."""
        length, width = self.longest_mm / self.reduction, self.layout.width_mm / self.reduction
        return (width, length) if self.hangs else (length, width)

    def on_paper(self, point: Point) -> Point:
        """Where a point of the cloth goes."""
        along, across = point[0] / self.reduction, point[1] / self.reduction
        return (across, along) if self.hangs else (along, self.layout.width_mm / self.reduction - across)

    def box(self, from_mm: float, to_mm: float, *, beyond_mm: float = 0.0) -> tuple[Point, Point]:
        """Corners on paper of the full width between two lengths, and so much paper beyond both sides."""
        beyond = beyond_mm * self.reduction
        a = self.on_paper((from_mm, -beyond))
        b = self.on_paper((to_mm, self.layout.width_mm + beyond))
        return (min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1]))

    def cut_across(self, at_mm: float) -> Path:
        """Where the cloth may be cut off at that length."""
        beyond = _SELVEDGE_MM * self.reduction
        ends = self.on_paper((at_mm, -beyond)), self.on_paper((at_mm, self.layout.width_mm + beyond))
        return line(*ends, Ink.FOLD)

    def ground(self, edge: Ink | None = Ink.HAIRLINE) -> Iterator[Item]:
        """The cloth in use, under the pieces, with that edge, and what it is."""
        yield rectangle(*self.box(0.0, self.layout.length_mm), edge, Fill.CLOTH)
        yield Text((0.0, -3.4), LETTERS[self.kind], 3.6, weight=Weight.STRONG)
        yield Text((4.0, -3.4), str(self.kind), _HEADING_SIZE_MM, tone=Tone.SOFT)

    def borders(self) -> Iterator[Item]:
        """The border, and the two selvedges outside the usable width where the cloth has them."""
        yield rectangle(*self.box(0.0, self.longest_mm), Ink.OUTLINE)
        yield from self._fold()
        if not self.has_selvedges:
            return
        edge = _SELVEDGE_MM * self.reduction
        pitch = _PINHOLE_PITCH_MM * self.reduction
        for side, away in ((0.0, -edge), (self.layout.width_mm, self.layout.width_mm + edge)):
            yield line(self.on_paper((0.0, away)), self.on_paper((self.longest_mm, away)), Ink.SELVEDGE)
            for count in range(int(self.longest_mm / pitch)):
                yield Dot(self.on_paper(((count + 0.5) * pitch, (side + away) / 2)), 0.25, fill=Fill.SOLID)
        yield from self._selvedge_name()

    def _fold(self) -> Iterator[Item]:
        """Where cloth that is laid double is folded; drawn opened, both layers side by side."""
        middle, end = self.layout.width_mm / 2, self.layout.doubled_to_mm
        if not end:
            return
        yield line(self.on_paper((0.0, middle)), self.on_paper((end, middle)), Ink.FOLD)
        turn, at = (90.0, (-1.0, 0.0)) if self.hangs else (0.0, (0.0, -1.0))
        x, y = self.on_paper((end / 2, middle))
        yield Text((x + at[0], y + at[1]), "fold", _SELVEDGE_SIZE_MM, Anchor.MIDDLE, turn, halo=True)

    def fold_room(self) -> list[Region]:
        """The strip of paper around the fold which no name may touch; nothing on cloth that lies single."""
        middle, end = self.layout.width_mm / 2, self.layout.doubled_to_mm
        away = _FOLD_ROOM_MM * self.reduction
        a, b = self.on_paper((0.0, middle - away)), self.on_paper((end, middle + away))
        low, high = (min(a[0], b[0]), min(a[1], b[1])), (max(a[0], b[0]), max(a[1], b[1]))
        return [Region.rectangle(low, high)] if end else []

    def _selvedge_name(self) -> Iterator[Item]:
        """Beside the cloth, where it has room."""
        wide, high = self.size
        if self.hangs:
            at, turn, room = (wide + _SELVEDGE_MM + 3.0, 0.0), 90.0, high
        else:
            heading = 8.0 + text_width_mm(str(self.kind), _HEADING_SIZE_MM)
            at, turn, room = (wide, -_SELVEDGE_MM - 1.8), 0.0, wide - heading
        if room > text_width_mm("selvedge", _SELVEDGE_SIZE_MM):
            yield Text(at, "selvedge", _SELVEDGE_SIZE_MM, Anchor.END, turn, tone=Tone.SOFT)

    def measures(self, measuring: Measuring, *, all_of_it: str) -> Iterator[Item]:
        """Usable width, length used, and along all of the length what `all_of_it` says."""
        wide, high = self.size
        used_mm = self.layout.length_mm / self.reduction
        width = f"{measuring.told(self.layout.width_mm)} usable"
        used = f"used {measuring.told(self.layout.length_mm)}"
        beside, below = -2.6, high + 2.6 + (0.0 if self.hangs else _SELVEDGE_MM)
        if self.hangs:
            beside -= _SELVEDGE_MM
            is_shallow = max(text_width_mm(words, MEASURE_SIZE_MM) for words in (used, all_of_it)) > high
            yield from dimension_up(0.0, used_mm, beside, "" if is_shallow else used)
            yield from dimension_up(0.0, high, beside - _COLUMN_MM, "" if is_shallow else all_of_it)
            yield from dimension_across(0.0, wide, below, width)
            if is_shallow:  # words that stand higher than the cloth would are told under it
                for number, words in enumerate((used, all_of_it), 1):
                    at = (0.0, below + _COLUMN_MM + number * 1.5 * MEASURE_SIZE_MM)
                    yield Text(at, words, MEASURE_SIZE_MM, tone=Tone.SOFT, is_measure=True)
        else:
            yield from dimension_up(0.0, high, beside, width)
            yield from dimension_across(0.0, used_mm, below, used)
            yield from dimension_across(0.0, wide, below + _COLUMN_MM, all_of_it)
