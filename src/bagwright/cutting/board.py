"""One cloth, hide or remnant being filled with outlines: where each shape still fits, exactly."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from bagwright.cutting.shapes import NoFits
from bagwright.cutting.steps import Steps
from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.no_fit import areas_of, corner_points, stretches
from bagwright.geometry.region import Region

_LINES_AT_ONCE = 24
_HAIR_MM = 1e-5


class Board:
    """A container and the shapes laid on it so far. Shapes are named as in its `NoFits`."""

    def __init__(self, no_fits: NoFits, room_of: Callable[[int], Region]) -> None:
        """`room_of`: shifts at which a shape lies inside the empty container."""
        self._no_fits, self._room_of = no_fits, room_of
        self.laid: list[tuple[int, Point]] = []
        self._free: dict[int, tuple[Region, int]] = {}

    def free(self, shape: int) -> Region:
        """Where the box of the shape may lie: inside the container, beside all that is laid."""
        free, seen = self._free[shape] if shape in self._free else (self._room_of(shape), 0)
        if seen < len(self.laid) and not free.is_empty:
            blocked = [self._no_fits.of(still, shape).shifted(*at) for still, at in self.laid[seen:]]
            free = areas_of(free.minus_all(blocked))
        self._free[shape] = (free, len(self.laid))
        return free

    def lay(self, shape: int, at: Point) -> None:
        """Put the shape's box with its lowest corner there."""
        self.laid.append((shape, at))

    def best_corner(self, shape: int, worth: Callable[[Point], tuple[float, ...]]) -> Point | None:
        """The corner of the free room where `worth` is least; None if there is no room."""
        return min(corner_points(self.free(shape)), key=worth, default=None)

    def best_step(
        self, shape: int, worth: Callable[[Point], tuple[float, ...]], grid: tuple[Steps | None, Steps | None, float]
    ) -> Point | None:
        """The best place for the box of the shape that steps along and across a grain allow; None if there is none.

        `grid`: the steps along and across, told in a frame turned back by the third, the direction of the grain.
        """
        along, across, grain_deg = grid
        free = self.free(shape)
        if free.is_empty:
            return None
        upright = free.moved(Affine(-grain_deg))
        back = Affine(grain_deg)
        return min((back.apply(at) for at in _on_steps(upright, along, across)), key=worth, default=None)

    def first_step(self, shape: int, along: Steps | None, across: Steps | None) -> Point | None:
        """The place furthest back, then lowest, that the steps allow; None if there is no room."""
        free = self.free(shape)
        if free.is_empty:
            return None
        if across is not None:
            return _first_on_rows(free, along, across)
        if along is not None:
            return _first_on_columns(free, along)
        return min(corner_points(free), default=None)


def _on_steps(free: Region, along: Steps | None, across: Steps | None) -> Iterator[Point]:
    """The ends of every run of places on the steps: on a run all lies between them."""
    low_x, low_y, high_x, high_y = free.bounds
    if across is None and along is None:
        yield from corner_points(free)
    elif across is None and along is not None:
        columns = _stepped(along, low_x, high_x)
        for (_, x), runs in zip(columns, stretches(free, [x for _, x in columns], across=True), strict=True):
            yield from ((x, y) for run in runs for y in run)
    elif across is not None:
        rows = _stepped(across, low_y, high_y)
        for (row, y), runs in zip(rows, stretches(free, [y for _, y in rows], across=False), strict=True):
            for low, high in runs:
                first = max(along.first_from(low - _HAIR_MM, row=row), low) if along else low
                last = min(along.last_to(high + _HAIR_MM, row=row), high) if along else high
                if first <= high:
                    yield first, y
                    yield last, y


def _stepped(steps: Steps, low: float, high: float) -> list[tuple[int, float]]:
    """The steps from `low` to `high`, those a hair beside drawn in: shapes are smaller by hairs of different width."""
    return [(row, min(max(at, low), high)) for row, at in steps.within(low - _HAIR_MM, high + _HAIR_MM)]


def _first_on_rows(free: Region, along: Steps | None, across: Steps) -> Point | None:
    _, low_y, _, high_y = free.bounds
    rows = list(across.within(low_y, high_y))
    spots: list[Point] = []
    for (row, y), runs in zip(rows, stretches(free, [y for _, y in rows], across=False), strict=True):
        for low, high in runs:
            x = along.first_from(low, row=row) if along else low
            if x <= high:
                spots.append((x, y))
                break
    return min(spots, default=None)


def _first_on_columns(free: Region, along: Steps) -> Point | None:
    low_x, _, high_x, _ = free.bounds
    columns = along.within(low_x, high_x)
    while chunk := [x for _, x in _some(columns)]:
        for x, runs in zip(chunk, stretches(free, chunk, across=True), strict=True):
            if runs:
                return x, runs[0][0]
    return None


def _some(columns: Iterator[tuple[int, float]]) -> Sequence[tuple[int, float]]:
    return [column for column, _ in zip(columns, range(_LINES_AT_ONCE), strict=False)]
