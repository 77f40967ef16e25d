"""Things on one cloth found by where they lie, so that thousands of them need not all be looked at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Generic, TypeVar

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Bounds

_CELLS = 50
Thing = TypeVar("Thing")


class Cells(Generic[Thing]):
    """The cloth in 50 by 50 cells; what reaches into a cell is in its list.

    >>> cells = Cells[str](100.0, 50.0)
    >>> cells.add("strap", (0.0, 0.0, 3.0, 50.0))
    >>> list(cells.near((2.0, 10.0, 2.0, 10.0))), list(cells.near((60.0, 10.0, 60.0, 10.0)))
    (['strap'], [])
    """

    def __init__(self, length_mm: float, width_mm: float) -> None:
        self._sizes = length_mm / _CELLS or 1.0, width_mm / _CELLS or 1.0
        self._things: dict[tuple[int, int], list[tuple[int, Thing]]] = {}
        self._count = 0

    def add(self, thing: Thing, box: Bounds) -> None:
        """Put a thing into every cell that its box meets."""
        for cell in self._cells(box):
            self._things.setdefault(cell, []).append((self._count, thing))
        self._count += 1

    def near(self, box: Bounds) -> Iterator[Thing]:
        """All things with a cell in common with the box, and some beside it, each once, in the order they came."""
        found = {number: thing for cell in self._cells(box) for number, thing in self._things.get(cell, ())}
        yield from (found[number] for number in sorted(found))

    def _cells(self, box: Bounds) -> Iterator[tuple[int, int]]:
        across = range(self._cell(box[1], 1), self._cell(box[3], 1) + 1)
        for column in range(self._cell(box[0], 0), self._cell(box[2], 0) + 1):
            yield from ((column, row) for row in across)

    def _cell(self, place: float, axis: int) -> int:
        """Of what lies off the cloth, the cell at its edge."""
        return int(min(max(place / self._sizes[axis], 0.0), _CELLS - 1))


def box_of(points: Iterable[Point], around_mm: float = 0.0) -> Bounds:
    """The box round points, grown by `around_mm`."""
    xs, ys = zip(*points, strict=True)
    return min(xs) - around_mm, min(ys) - around_mm, max(xs) + around_mm, max(ys) + around_mm
