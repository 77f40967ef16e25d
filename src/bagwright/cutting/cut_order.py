"""The order of cuts: long straight cuts that part the cloth into blocks, then each block, then round the pieces.

A straight cut goes from one side of the cloth, or of the block, to the other and touches no piece (what packing papers
call a guillotine cut). A piece in one part keeps clear of an upright line if and only if its extent does, so the boxes
of the pieces tell every such cut that runs along or across the cloth.
"""

from __future__ import annotations

import itertools
import math
import string
from collections.abc import Container, Generator, Iterator, Sequence
from dataclasses import dataclass, replace

from bagwright.cutting.cells import Cells, box_of
from bagwright.cutting.check_cuts import check_cuts, uncut_places
from bagwright.cutting.cut_edges import Edges, MadeCuts
from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Bounds, Region
from bagwright.model.cuts import Cut, CutWay

_TOUCH_MM = 0.02
"""Pieces that come closer than this share one cut."""
_NEXT_MM = 0.2
"""More than a cut may lie beside the edge that it makes."""
_Group = tuple[float, float, list[int]]
"""From, to, and which pieces."""


def order_cuts(
    laid: Sequence[Region], *, length_mm: float, width_mm: float, remnants: Sequence[Region] = ()
) -> tuple[Cut, ...]:
    """Every cut for the pieces `laid` on a cloth of that size, in the order to make them.

    `remnants`: what is left over and to be kept whole; it is cut out like the pieces. All four sides of the cloth are
    taken as squared already. Raises `BrokenPromise` if the order fails its check.

    >>> left, right = Region.rectangle((0, 0), (30, 20)), Region.rectangle((0, 20), (30, 40))
    >>> [(cut.way.value, cut.at_mm, cut.length_mm) for cut in order_cuts([left, right], length_mm=50, width_mm=40)]
    [('across', 30.0, 40.0), ('along', 20.0, 30.0)]
    """
    everything = [*laid, *remnants]
    whole = tuple(_Table(everything, (0.0, 0.0, length_mm, width_mm)).cut_all())
    # Shapes hardly wider than a blade may pass for cut out by the cuts beside them: they are cut round at the end.
    missed = uncut_places(everything, whole, length_mm=length_mm, width_mm=width_mm)
    whole += tuple(_round_all_of(everything[place], place, whole[-1].block if whole else "A") for place in missed)
    verdict = check_cuts(everything, whole, length_mm=length_mm, width_mm=width_mm)
    if not verdict.passed:
        raise BrokenPromise(f"an order of cuts failed its check: {verdict.faults}")
    return tuple(_told_apart(cut, len(laid)) for cut in whole)


def _is_as_large(part: Bounds, block: Bounds) -> bool:
    return all(abs(a - b) <= _TOUCH_MM for a, b in zip(part, block, strict=True))


def _round_all_of(region: Region, place: int, block: str) -> Cut:
    """A cut round a whole piece."""
    at, (length, runs) = region.bounds[:2], MadeCuts().left_of(Edges.of(region))
    return Cut(
        way=CutWay.ROUND, start=at, end=at, length_mm=length, block=block, placements=(place,), runs=max(runs, 1)
    )


def _told_apart(cut: Cut, pieces: int) -> Cut:
    """The cut with what it frees as pieces and remnants, each by its own place."""
    remnants = tuple(place - pieces for place in cut.placements if place >= pieces)
    return replace(cut, placements=tuple(place for place in cut.placements if place < pieces), remnants=remnants)


@dataclass(frozen=True, slots=True)
class _Block:
    """A rectangle of cloth with the pieces on it; `letter` is empty for the whole cloth."""

    box: Bounds
    members: tuple[int, ...]
    letter: str = ""


class _Table:
    """One cloth being cut up."""

    def __init__(self, laid: Sequence[Region], cloth: Bounds) -> None:
        self.boxes = [region.bounds for region in laid]
        self.edges = [Edges.of(region) for region in laid]
        self.cloth = cloth
        self.freed: set[int] = set()
        self.made = MadeCuts()
        self.places = Cells[int](cloth[2], cloth[3])
        for member, box in enumerate(self.boxes):
            self.places.add(member, box)
        for axis, place in ((0, cloth[0]), (0, cloth[2]), (1, cloth[1]), (1, cloth[3])):
            self.made.add(axis, place, cloth[1 - axis], cloth[3 - axis])

    def cut_all(self) -> Iterator[Cut]:
        """The cuts of the whole cloth, then those of each block."""
        whole = _Block(self.cloth, tuple(range(len(self.boxes))))
        if not self.boxes:
            return
        used = max(box[2] for box in self.boxes)
        if used < self.cloth[2] - _TOUCH_MM:
            yield from self._straight(whole, 0, [used])
            whole = _Block((self.cloth[0], self.cloth[1], used, self.cloth[3]), whole.members)
        blocks = yield from self._part(whole)
        for number, block in enumerate(blocks):
            yield from self._cut_block(_Block(block.box, block.members, _letter(number)))

    def _cut_block(self, block: _Block) -> Iterator[Cut]:
        parts = yield from self._part(block)
        for part in parts:
            if part.members == block.members and _is_as_large(part.box, block.box):
                yield from self._round(part)  # narrower than any cut: parting it again would go on for ever
            else:
                yield from self._cut_block(part)

    def _part(self, block: _Block) -> Generator[Cut, None, list[_Block]]:
        """Part the block by cuts of one way, or cut out what is on it; the blocks that are left to cut."""
        axis = self._axis(block)
        if axis is None:
            yield from self._last(block if block.letter else _Block(block.box, block.members, "A"))
            return []
        groups = self._trimmed_together(block, axis)
        if len(groups) == 1:  # all of them end level short of the block: one long cut trims them, then it is parted
            axis = 1 - axis
            boxes = [self.boxes[member] for member in block.members]
            low, high = min(box[axis] for box in boxes), max(box[axis + 2] for box in boxes)
            groups = [(low, high, list(block.members))]
        places = self._places(block, axis, groups)
        yield from self._straight(block, axis, places)
        return list(self._parted(block, axis, places))

    def _trimmed_together(self, block: _Block, axis: int) -> list[_Group]:
        """The groups, neighbours in one that end level short of the block: one long cut will trim all of them."""
        together: list[_Group] = []
        ends_before: tuple[float, ...] = ()
        for low, high, members in self._groups(block, axis):
            ends = self._trims(block, 1 - axis, members)
            if ends and together and all(abs(a - b) <= _TOUCH_MM for a, b in zip(ends, ends_before, strict=True)):
                from_mm, _, before = together[-1]
                together[-1] = (from_mm, high, [*before, *members])
            else:
                together.append((low, high, members))
            ends_before = ends or (math.inf, math.inf)
        return together

    def _trims(self, block: _Block, axis: int, members: Sequence[int]) -> tuple[float, float] | None:
        """Where members end at that axis, if a straight edge lies at an end that is short of the block's."""
        low, high = min(self.boxes[m][axis] for m in members), max(self.boxes[m][axis + 2] for m in members)
        at_low = low - block.box[axis] > _TOUCH_MM and self._has_edge(members, axis, low)
        at_high = block.box[axis + 2] - high > _TOUCH_MM and self._has_edge(members, axis, high)
        return (low, high) if at_low or at_high else None

    def _last(self, block: _Block) -> Iterator[Cut]:
        """A block that no straight cut parts: trim its sides where edges lie along, then cut round each piece."""
        for axis in (0, 1) if self._length(block, 0) >= self._length(block, 1) else (1, 0):
            places = self._places(block, axis, self._groups(block, axis))
            yield from self._straight(block, axis, places)
            (block,) = self._parted(block, axis, places)
        yield from self._round(block)

    def _round(self, block: _Block) -> list[Cut]:
        """Cut round each piece of a block. What its neighbours leave no edge of comes with the last of them."""
        cuts: list[Cut] = []
        for member in block.members:
            left, runs = self.made.left_of(self.edges[member])
            if runs:
                at = self.boxes[member][:2]
                cuts.append(
                    Cut(
                        way=CutWay.ROUND,
                        start=at,
                        end=at,
                        length_mm=left,
                        block=block.letter,
                        placements=(member,),
                        runs=runs,
                    )
                )
            elif cuts and member not in self.freed:
                cuts[-1] = replace(cuts[-1], placements=(*cuts[-1].placements, member))
            self.made.add_edges(self.edges[member])
            self.freed.add(member)
        return cuts

    def _axis(self, block: _Block) -> int | None:
        """0 to part it by cuts across the cloth, 1 along; where both can be done, the way of the longer cuts."""
        can = [axis for axis in (0, 1) if len(self._groups(block, axis)) > 1]
        return max(can, key=lambda axis: (self._length(block, axis), -axis)) if can else None

    def _length(self, block: _Block, axis: int) -> float:
        return block.box[3 - axis] - block.box[1 - axis]

    def _groups(self, block: _Block, axis: int) -> list[_Group]:
        """Members that no cut at that axis can part."""
        groups: list[_Group] = []
        for member in sorted(block.members, key=lambda one: self.boxes[one][axis]):
            low, high = self.boxes[member][axis], self.boxes[member][axis + 2]
            if groups and low < groups[-1][1] - _TOUCH_MM:
                from_mm, to_mm, members = groups[-1]
                groups[-1] = (from_mm, max(to_mm, high), [*members, member])
            else:
                groups.append((low, high, [member]))
        return groups

    def _places(self, block: _Block, axis: int, groups: Sequence[_Group]) -> list[float]:
        """Where to cut: between groups, and along their sides where straight edges lie there."""
        places: list[float] = []
        before = block.box[axis]
        for number, (low, high, members) in enumerate(groups):
            last = number == len(groups) - 1
            after = block.box[axis + 2] if last else groups[number + 1][0]
            if low - before > _TOUCH_MM and self._has_edge(members, axis, low):
                places.append(low)
            elif number and not (places and before - _TOUCH_MM <= places[-1] <= low + _TOUCH_MM):
                places.append((before + low) / 2)
            if high < after - _TOUCH_MM and self._has_edge(members, axis, high):
                places.append(high)
            before = high
        return places

    def _has_edge(self, members: Sequence[int], axis: int, place: float) -> bool:
        return any(self.edges[member].lies_along(axis, place) for member in members)

    def _straight(self, block: _Block, axis: int, places: Sequence[float]) -> Iterator[Cut]:
        low, high = block.box[1 - axis], block.box[3 - axis]
        waiting = {member: None for member in block.members if member not in self.freed}
        for number, place in enumerate(places, start=1):
            self.made.add(axis, place, low, high)
            start, end = ((place, low), (place, high)) if axis == 0 else ((low, place), (high, place))
            way = CutWay.ACROSS if axis == 0 else CutWay.ALONG
            # A cut frees what has an edge on it; after the last one, what others have freed is not missed.
            near = waiting if number == len(places) else self._near(start, end, waiting)
            freed = tuple(m for m in near if m not in self.freed and self.made.frees(self.edges[m]))
            self.freed.update(freed)
            yield Cut(way=way, start=start, end=end, length_mm=high - low, block=block.letter, placements=freed)

    def _near(self, start: Point, end: Point, members: Container[int]) -> list[int]:
        """Those that may have an edge on a cut."""
        return [member for member in self.places.near(box_of((start, end), _NEXT_MM)) if member in members]

    def _parted(self, block: _Block, axis: int, places: Sequence[float]) -> Iterator[_Block]:
        """The blocks with pieces on them that the cuts leave."""
        ends = [block.box[axis], *places, block.box[axis + 2]]
        for low, high in itertools.pairwise(ends):
            inside = tuple(
                m for m in block.members if low <= (self.boxes[m][axis] + self.boxes[m][axis + 2]) / 2 <= high
            )
            if inside:
                box = list(block.box)
                box[axis], box[axis + 2] = low, high
                yield _Block((box[0], box[1], box[2], box[3]), inside, block.letter)


def _letter(number: int) -> str:
    letters = string.ascii_uppercase
    return letters[number] if number < len(letters) else f"{_letter(number // len(letters) - 1)}{letters[number % 26]}"
