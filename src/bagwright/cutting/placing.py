"""Lay outlines from one end of the cloth, each as far back as it goes; then look for a better order.

For cloth that the packing library does not know: laid double with pieces on the fold, printed with a repeat.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from bagwright.cutting._budget import Budget
from bagwright.cutting.board import Board
from bagwright.cutting.ordering import neighbour
from bagwright.cutting.shapes import NoFits, Shape
from bagwright.cutting.steps import Steps
from bagwright.geometry.curves import Point
from bagwright.geometry.no_fit import inner_fit
from bagwright.geometry.region import Region
from bagwright.model.layout import Placement

StepsOf = Callable[[Shape, "Motifs"], tuple[Steps | None, Steps | None]]
Motifs = dict[str, Point]
"""Where the print of each group of pieces in step begins, once the first of them lies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """`count` copies of one piece, in any of `ways` (places in the list of shapes). `steps`: where they may lie."""

    count: int
    ways: tuple[int, ...]
    area_mm2: float
    group: str = ""
    steps: StepsOf | None = None


@dataclass(frozen=True, slots=True)
class Laying:
    """Length taken, the sum of how far along each piece lies (less is better packed), and where each shape lies."""

    length_mm: float
    sum_mm: float
    spots: tuple[tuple[int, Point], ...]


class Strip:
    """A cloth of one width on which kinds of pieces are laid in some order."""

    def __init__(self, width_mm: float, shapes: Sequence[Shape], kinds: Sequence[Kind], *, most_mm: float) -> None:
        self.width_mm, self.shapes, self.kinds = width_mm, shapes, kinds
        self._no_fits = NoFits(shapes)
        self._cloth = Region.rectangle((0, 0), (most_mm, width_mm))
        self._rooms: dict[int, Region] = {}

    def _room(self, shape: int) -> Region:
        if shape not in self._rooms:
            self._rooms[shape] = inner_fit(self._cloth, self.shapes[shape].parts)
        return self._rooms[shape]

    def start_order(self) -> list[int]:
        """Large ones first; those that are tied to the fold or a print before those that go anywhere."""
        each = [i for i, kind in enumerate(self.kinds) for _ in range(kind.count)]
        return sorted(each, key=lambda i: (self.kinds[i].steps is None, -self.kinds[i].area_mm2, i))

    def lay(self, order: Sequence[int], *, within_mm: float, should_stop: Callable[[], bool]) -> Laying | None:
        """All pieces in this order; None if they take more than `within_mm`, or if it is stopped on the way."""
        board, motifs = Board(self._no_fits, self._room), Motifs()
        length = total = 0.0
        for number in order:
            kind = self.kinds[number]
            found = self._furthest_back(board, kind, motifs)
            if found is None or found[0] > within_mm or should_stop():
                return None
            end, at, way = found
            board.lay(way, at)
            anchor = self.shapes[way].anchor
            if kind.group and anchor:
                motifs.setdefault(kind.group, (at[0] + anchor[0], at[1] + anchor[1]))
            length, total = max(length, end), total + end
        return Laying(length, total, tuple(board.laid))

    def _furthest_back(self, board: Board, kind: Kind, motifs: Motifs) -> tuple[float, Point, int] | None:
        spots = []
        for way in kind.ways:
            shape = self.shapes[way]
            along, across = kind.steps(shape, motifs) if kind.steps else (None, None)
            at = board.first_step(way, along, across)
            if at is not None:
                spots.append((at[0] + shape.size[0], at, way))
        return min(spots, default=None)


def tidied(spots: Sequence[Placement]) -> Iterator[Sequence[Placement]]:
    """The same without the hair by which shapes were made smaller: rounded more, less, and at last as it is."""
    for digits in (4, 5):
        yield [
            replace(spot, x_mm=round(spot.x_mm, digits) + 0.0, y_mm=round(spot.y_mm, digits) + 0.0) for spot in spots
        ]
    yield spots


class PlacingSearch:
    """Better and better orders of one strip. `advance` makes one trial; `best` is the shortest so far."""

    def __init__(self, strip: Strip, first: Laying, order: Sequence[int]) -> None:
        self.strip, self.best = strip, first
        self._order, self._at = list(order), first

    def advance(self, rng: Random, should_stop: Callable[[], bool]) -> bool:
        """Try a neighbouring order; True if a shorter laying was found."""
        order = neighbour(self._order, len(self.strip.kinds), rng)
        if order == self._order:
            return False
        laying = self.strip.lay(order, within_mm=self.best.length_mm + 1e-6, should_stop=should_stop)
        if laying is None or (laying.length_mm, laying.sum_mm) > (self._at.length_mm, self._at.sum_mm):
            return False
        self._order, self._at = order, laying
        if laying.length_mm < self.best.length_mm - 1e-6:
            self.best = laying
            return True
        return False


AT_ONCE_COPIES = 40
"""So many outlines are placed within a tenth of a second or two: that belongs to the first answer."""
PLACED_AT_MOST = 400
"""Beyond so many, placing outlines one by one takes longer than anyone looks on."""


def search_orders(
    strip: Strip, budget: Budget, *, seed: int, stop: Callable[[], bool], offer: Callable[[Laying], object]
) -> None:
    """Lay the strip in one order after the other until the budget is used up; `offer` hears of each better laying.

    Few outlines are laid once even if there is no budget.
    """

    def over() -> bool:
        return stop() or budget.share_used() >= 1

    order = strip.start_order()
    first = strip.lay(order, within_mm=float("inf"), should_stop=stop if len(order) <= AT_ONCE_COPIES else over)
    if first is None:
        return
    offer(first)
    search, rng = PlacingSearch(strip, first, order), Random(seed)
    while not over():
        if search.advance(rng, over):
            offer(search.best)
        budget.trials += 1
