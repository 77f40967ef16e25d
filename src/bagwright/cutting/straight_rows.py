"""Layouts for chalk line and rotary blade: rows right across the cloth, columns in them, straight shared edges.

Each row is a band of cloth; in it lie columns along the cloth, and in a column pieces one behind the other. So three
rounds of straight cuts part all boxes (what packing papers call a three-stage guillotine pattern). Pieces go, in the
order given, where they waste least; the search is for a good order (annealing, as in `ordering.py`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from random import Random

from bagwright.cutting._budget import Budget
from bagwright.cutting.banded import lay_banded
from bagwright.cutting.best import Best
from bagwright.cutting.boxes import BoxKind, box_kinds, placements_of
from bagwright.cutting.filling import TOUCH_SHARE, Box, Spot
from bagwright.cutting.ordering import neighbour
from bagwright.cutting.requests import refuse_faults, request_hash
from bagwright.errors import BrokenPromise
from bagwright.model.layout import Layout, LayRequest, LaySettings

FOUND_BY = "straight rows"
ROWS_FIRST = LaySettings(iterations=250)
_CUT_COSTS_MM = 5.0
"""One straight cut fewer is worth this much cloth to the search."""
_HEAT_SHARE = 0.03
_TURN_CHANCE = 0.2


def rows_hash(request: LayRequest) -> str:
    """The name under which a layout in rows is kept, beside the free one for the same request."""
    return f"rows-{request_hash(request)}"


def can_be_in_rows(request: LayRequest) -> bool:
    """Whether rows are possible: not on cloth that is laid double, nor where a print has to be met."""
    return not request.is_doubled and request.repeat is None


def lay_in_rows(
    request: LayRequest,
    *,
    settings: LaySettings = ROWS_FIRST,
    should_stop: Callable[[], bool] | None = None,
    on_better: Callable[[Layout], object] | None = None,
) -> Layout:
    """The best layout in straight rows found within `settings`; its `request_hash` is `rows_hash(request)`.

    Raises `FaultyInput` for a faulty request, and if a piece does not fit the cloth in any turn it may take.

    >>> from bagwright.geometry.region import Region
    >>> from bagwright.model.layout import LayPiece
    >>> panel = LayPiece(id="panel", region=Region.rectangle((0, 0), (30, 20)), count=4)
    >>> lay_in_rows(LayRequest(width_mm=45, pieces=(panel,))).length_mm
    60.0
    """
    refuse_faults(request)
    if request.bands:

        def rest(asked: LayRequest, hears: Callable[[Layout], object]) -> Layout:
            return lay_in_rows(asked, settings=settings, should_stop=should_stop, on_better=hears)

        layout = lay_banded(request, rest, settings=settings, on_better=_in_rows(request, on_better))
        return replace(layout, request_hash=rows_hash(request))
    kinds, stop = box_kinds(request), should_stop or (lambda: False)
    budget, search, rng = Budget(settings), _RowSearch(kinds, request.width_mm + request.gap_mm), Random(settings.seed)
    found = search.best
    layout = _checked(found, kinds, request, settings)
    while budget.share_used() < 1 and not stop():
        budget.trials += 1
        search.advance(rng, 1 - min(1.0, budget.share_used()))
        if search.best is not found:
            found = search.best
            layout = _checked(found, kinds, request, settings)
            if on_better:
                on_better(layout)
    return layout


def _in_rows(request: LayRequest, on_better: Callable[[Layout], object] | None) -> Callable[[Layout], object] | None:
    """`on_better` for layouts that are kept as those in rows are."""
    name = rows_hash(request)
    return (lambda layout: on_better(replace(layout, request_hash=name))) if on_better else None


def _checked(rows: _Rows, kinds: Sequence[BoxKind], request: LayRequest, settings: LaySettings) -> Layout:
    """The rows as a layout that has passed the check."""
    best = Best(request, settings, None)
    best.offer(placements_of(rows.spots(), kinds, request.gap_mm), found_by=FOUND_BY)
    if best.layout is None:
        raise BrokenPromise("a layout in rows did not pass the check")
    return replace(best.layout, request_hash=rows_hash(request))


@dataclass(slots=True)
class _Column:
    """Boxes one behind the other, no wider than the first."""

    at_mm: float
    width_mm: float
    filled_mm: float
    boxes: list[tuple[int, int, float]]


@dataclass(slots=True)
class _Row:
    """A band of cloth."""

    at_mm: float
    depth_mm: float
    filled_mm: float
    columns: list[_Column]


@dataclass(slots=True)
class _Rows:
    """A filled cloth; `worth_mm` is its length and a little for every straight cut."""

    rows: list[_Row]
    length_mm: float
    worth_mm: float

    def spots(self) -> list[Spot]:
        """Where each box lies."""
        return [
            (kind, way, row.at_mm + at, column.at_mm)
            for row in self.rows
            for column in row.columns
            for kind, way, at in column.boxes
        ]


class _RowSearch:
    """One search for the order in which boxes fill rows best."""

    def __init__(self, kinds: Sequence[BoxKind], width_mm: float) -> None:
        self.boxes: list[list[Box]] = [[way.box for way in kind.ways] for kind in kinds]
        self.width_mm, self.touch_mm = width_mm, TOUCH_SHARE * width_mm
        each = [kind for kind, one in enumerate(kinds) for _ in range(one.count)]
        keys: list[Callable[[int], tuple[float, ...]]] = [
            lambda kind: (-self.boxes[kind][0][0], -self.boxes[kind][0][1]),
            lambda kind: (-max(self.boxes[kind][0]), kind),
            lambda kind: (-math.prod(self.boxes[kind][0]), kind),
        ]
        leans = [[0] * len(kinds), [len(ways) - 1 for ways in self.boxes], [_shortest(ways) for ways in self.boxes]]
        starts = [(sorted(each, key=key), lean) for key in keys for lean in leans]
        fills = [self.fill(order, lean) for order, lean in starts]
        at = min(range(len(starts)), key=lambda i: fills[i].worth_mm)
        (self.order, self.lean), self.now, self.best = starts[at], fills[at], fills[at]

    def advance(self, rng: Random, warmth: float) -> None:
        """Try another order, or another way for a kind to lie where it begins a row."""
        order, lean = self.order, self.lean
        kind = rng.randrange(len(self.boxes))
        if len(self.boxes[kind]) > 1 and rng.random() < _TURN_CHANCE:
            lean = [*lean[:kind], rng.randrange(len(self.boxes[kind])), *lean[kind + 1 :]]
        else:
            order = neighbour(order, len(self.boxes), rng)
        rows = self.fill(order, lean)
        heat = max(_HEAT_SHARE * self.best.length_mm * warmth * warmth, 1e-9)
        if rows.worth_mm <= self.now.worth_mm or rng.random() < math.exp((self.now.worth_mm - rows.worth_mm) / heat):
            self.order, self.lean, self.now = order, lean, rows
        if rows.worth_mm < self.best.worth_mm - 1e-6:
            self.best = rows

    def fill(self, order: Sequence[int], lean: Sequence[int]) -> _Rows:
        """Each box where it wastes least: behind others in a column, beside them in a row, or in a row of its own.

        `lean`: for each kind the way in which it begins a row.
        """
        rows: list[_Row] = []
        for kind in order:
            if not self._into_rows(rows, kind):
                rows.append(self._new_row(kind, lean[kind]))
        length = 0.0
        for row in rows:
            row.at_mm = length
            length += row.depth_mm
        return _Rows(rows, length, length + _CUT_COSTS_MM * sum(map(self._cuts_in, rows)))

    def _cuts_in(self, row: _Row) -> int:
        """Straight cuts that a row takes: its own, between its columns, and in them."""
        columns = sum(len(column.boxes) - (column.filled_mm >= row.depth_mm - self.touch_mm) for column in row.columns)
        return 1 + len(row.columns) - (row.filled_mm >= self.width_mm - self.touch_mm) + columns

    def _into_rows(self, rows: Sequence[_Row], kind: int) -> bool:
        """Put the box where it leaves least beside it; False if no row has room."""
        best: tuple[_Row, _Column | None, int] | None = None
        least = math.inf
        for way, (long, wide) in enumerate(self.boxes[kind]):
            for row in rows:
                if long > row.depth_mm + self.touch_mm:
                    continue
                for column in row.columns:
                    if (
                        wide <= column.width_mm + self.touch_mm
                        and long <= row.depth_mm - column.filled_mm + self.touch_mm
                    ):
                        waste = (column.width_mm - wide) * long
                        if waste < least:
                            best, least = (row, column, way), waste
                if wide <= self.width_mm - row.filled_mm + self.touch_mm:
                    waste = (row.depth_mm - long) * wide + self.touch_mm
                    if waste < least:
                        best, least = (row, None, way), waste
        if best is None:
            return False
        row, found, way = best
        long, wide = self.boxes[kind][way]
        if found is None:
            row.columns.append(_Column(row.filled_mm, wide, long, [(kind, way, 0.0)]))
            row.filled_mm += wide
        else:
            found.boxes.append((kind, way, found.filled_mm))
            found.filled_mm += long
        return True

    def _new_row(self, kind: int, way: int) -> _Row:
        long, wide = self.boxes[kind][way]
        return _Row(0.0, long, wide, [_Column(0.0, wide, long, [(kind, way, 0.0)])])


def _shortest(ways: Sequence[Box]) -> int:
    """The way that takes least length of cloth."""
    return min(range(len(ways)), key=lambda way: ways[way][0])
