"""An order of cuts and what is left over, in the maker's words and units."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from bagwright.model.cuts import Cut, CutWay, count_runs, count_straight
from bagwright.model.layout import Layout, LayPiece, Placement
from bagwright.output.cut_plan import remnant_letter
from bagwright.output.rulers import Measuring
from bagwright.workflows.cut_sides import CutSides

CAUTIONS = (
    "A rotary blade cuts fingers as easily as cloth: cut away from yourself, keep your fingers behind the edge of the "
    "ruler, close the blade each time you put it down, and keep it from children.",
    "Cut on a mat and along a ruler made for it. Change a dull blade: it needs force, and slips.",
    "Check the first measures twice before you cut. Follow the leaflet of your cutter.",
)
"""The usual cautions; common practice, no source."""
_NOTHING_MM = 0.05


@dataclass(frozen=True, slots=True)
class CutLine:
    """One line of the list: its number or numbers, what to do, what comes free, and in which block."""

    numbers: str
    words: str
    frees: str
    block: str

    @property
    def told(self) -> str:
        """The line as one sentence."""
        return f"{self.numbers}  {self.words}" + (f" {self.frees}" if self.frees else "")


def cut_lines(sides: CutSides, layout: Layout, names: Mapping[str, str], measuring: Measuring) -> list[CutLine]:
    """One line for straight cuts side by side, one for all pieces of a block that are cut round in turn."""
    say = _Saying(sides, layout, names, measuring)
    numbered = list(enumerate(sides.cuts, start=1))
    return [say.line(list(group)) for _, group in groupby(numbered, key=lambda one: one[1].alike)]


@dataclass(frozen=True, slots=True)
class _Saying:
    """One layout's cuts put into words."""

    sides: CutSides
    layout: Layout
    names: Mapping[str, str]
    measuring: Measuring

    def line(self, group: Sequence[tuple[int, Cut]]) -> CutLine:
        """One line for cuts that are alike."""
        first, last = group[0], group[-1]
        numbers = str(first[0]) if first is last else f"{first[0]} to {last[0]}"
        cuts = [cut for _, cut in group]
        words = self._round(cuts) if cuts[0].way is CutWay.ROUND else self._straight(first[0], cuts)
        freed = "" if cuts[0].way is CutWay.ROUND else self._freed(cuts)
        return CutLine(numbers, words, f"Frees {freed}." if freed else "", cuts[0].block)

    def _straight(self, number: int, cuts: Sequence[Cut]) -> str:
        measured, way = self.sides.measured(number - 1, len(cuts)), cuts[0].way
        where = f", beginning at {measured.begins}" if measured.begins else ""
        if not where and measured.begins_mm > _NOTHING_MM:
            other = self.sides.near if way is CutWay.ACROSS else "the cut end"
            where = f", beginning {self.measuring.told(measured.begins_mm)} from {other}"
        each = " each" if len(cuts) > 1 else ""
        at, long = self._listed(measured.from_mm), self.measuring.told(cuts[0].length_mm)
        return f"{way.value.capitalize()}, {at} from {measured.side}{where}: {long} long{each}."

    def _listed(self, lengths_mm: Sequence[float]) -> str:
        """Lengths with their unit once.

        >>> from bagwright.units import UnitSystem
        >>> from typing import cast
        >>> sides = CutSides((), "", "", 0)
        >>> _Saying(sides, cast(Layout, None), {}, Measuring(UnitSystem.METRIC))._listed([10, 25, 40])
        '1.0, 2.5 and 4.0 cm'
        """
        told = [self.measuring.told(length).rpartition(" ") for length in lengths_mm]
        numbers = [number for number, _, _ in told]
        listed = numbers[0] if len(numbers) == 1 else f"{', '.join(numbers[:-1])} and {numbers[-1]}"
        return f"{listed} {told[0][2]}"

    def _round(self, cuts: Sequence[Cut]) -> str:
        runs = count_runs(tuple(cuts))
        edges = "1 edge" if runs == 1 else f"{runs} edges"
        return f"Round {self._freed(cuts)}: {edges}, {self.measuring.told(sum(cut.length_mm for cut in cuts))}."

    def _freed(self, cuts: Sequence[Cut]) -> str:
        return freed_in_words(cuts, self.layout, self.names)


def freed_in_words(cuts: Iterable[Cut], layout: Layout, names: Mapping[str, str]) -> str:
    """Names of pieces with how many of each, and letters of what is left over, that these cuts free."""
    pieces: Counter[str] = Counter()
    remnants: list[str] = []
    for cut in cuts:
        ids = [layout.placements[place].id for place in cut.placements]
        pieces.update(names.get(piece_id, piece_id) for piece_id in ids)
        remnants += map(remnant_letter, cut.remnants)
    told = [name if count == 1 else f"{name} ×{count}" for name, count in pieces.items()]
    return ", ".join([*told, *remnants])


def block_in_words(block: str, cuts: Iterable[Cut], layout: Layout, names: Mapping[str, str]) -> str:
    """A block by its letter, and what comes out of it: so it is known among the parts on the table."""
    freed = freed_in_words((cut for cut in cuts if cut.block == block), layout, names)
    return f"Block {block}: {freed}" if freed else f"Block {block}"


def piece_lines(
    layout: Layout, pieces: Sequence[LayPiece], names: Mapping[str, str], measuring: Measuring
) -> list[tuple[str, str]]:
    """Of each piece how many lie on the cloth, and its name, its size along and across the cloth, what is mirrored."""
    regions = {piece.id: piece.region for piece in pieces}
    alike: dict[tuple[str, str], list[Placement]] = {}
    for place in layout.placements:
        low_x, low_y, high_x, high_y = regions[place.id].moved(place.move).bounds
        size = measuring.told_size(high_x - low_x, high_y - low_y)
        alike.setdefault((names.get(place.id, place.id), size), []).append(place)
    return [(f"{len(laid)} ×", f"{name}, {size}{_mirrored_said(laid)}") for (name, size), laid in alike.items()]


def _mirrored_said(laid: Sequence[Placement]) -> str:
    mirrored = sum(place.mirrored for place in laid)
    if not mirrored:
        return ""
    return ", mirrored" if mirrored == len(laid) else f", {mirrored} of them mirrored"


def blocks_of(lines: Sequence[CutLine]) -> Iterator[tuple[str, list[CutLine]]]:
    """Lines by block, in order; the whole cloth first, under an empty name."""
    for block, group in groupby(lines, key=lambda one: one.block):
        yield block, list(group)


def told_total(cuts: Sequence[Cut], measuring: Measuring) -> str:
    """How much there is to cut.

    >>> from bagwright.units import UnitSystem
    >>> told_total([], Measuring(UnitSystem.INCH))
    'No cuts.'
    """
    if not cuts:
        return "No cuts."
    straight, runs = count_straight(tuple(cuts)), count_runs(tuple(cuts))
    rest = runs - straight
    length = measuring.told(sum(cut.length_mm for cut in cuts))
    first = f"{straight} straight {'cut' if straight == 1 else 'cuts'}"
    then = f", then {rest} {'edge' if rest == 1 else 'edges'} round the pieces" if rest else ""
    return f"{first}{then}: together {length}."
