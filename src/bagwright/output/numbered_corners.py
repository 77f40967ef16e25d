"""A piece of the stash with the corners of one of its lines numbered, as large as a column of a page."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bagwright.geometry.curves import Point
from bagwright.model.material import MaterialKind
from bagwright.model.stash import Ring, StashPiece
from bagwright.output.drawing import Anchor, Dot, Drawing, Fill, Hatch, Ink, Item, Path, Text, framed
from bagwright.output.lettering import Weight

_WIDTH_MM = 108.0
_HIGHEST_MM = 90.0
_DOT_MM = 0.9
_NUMBER_MM = 3.2
_BESIDE_MM = 3.0
_CLEAR_MM = 3.4
"""Numbers nearer to one another than this would run together."""


def draw_numbered_corners(piece: StashPiece, ring: Ring, kind: MaterialKind, *, name: str) -> Drawing:
    """The piece pale, and on it `ring` with its corners numbered from 1, as far as numbers have room."""
    others = [one for one in (piece.outer, *piece.holes, *piece.flaws, *piece.lesser) if one != ring]
    xs, ys = zip(*(point for one in (piece.outer, ring) for point in one), strict=True)
    scale = max((max(xs) - min(xs)) / _WIDTH_MM, (max(ys) - min(ys)) / _HIGHEST_MM, 1e-3)

    def on_paper(point: Point) -> Point:
        return (point[0] - min(xs)) / scale, (max(ys) - point[1]) / scale

    ground = Path(tuple(map(on_paper, piece.outer)), Ink.HAIRLINE, Hatch(kind, pale=True), closed=True)
    items: list[Item] = [ground]
    items += [Path(tuple(map(on_paper, one)), Ink.HAIRLINE, closed=True) for one in others]
    drawn = [on_paper(point) for point in ring]
    items.append(Path(tuple(drawn), Ink.CUT, closed=True))
    items += _numbers(drawn)
    return framed(items, margin_mm=1.5, title=name, description=f"{name}: {len(ring)} corners, numbered in order.")


def _numbers(drawn: Sequence[Point]) -> list[Item]:
    items: list[Item] = []
    taken: list[Point] = []
    for number, at in enumerate(drawn):
        items.append(Dot(at, _DOT_MM, fill=Fill.SOLID))
        spot = _outside(drawn, number)
        if all(math.dist(spot, other) >= _CLEAR_MM for other in taken):
            taken.append(spot)
            words = str(number + 1)
            at_line = (spot[0], spot[1] + _NUMBER_MM / 3)
            items.append(Text(at_line, words, _NUMBER_MM, Anchor.MIDDLE, weight=Weight.STRONG, halo=True))
    return items


def _outside(drawn: Sequence[Point], at: int) -> Point:
    """Beside a corner, away from its neighbours."""
    x, y = drawn[at]
    away_x = away_y = 0.0
    for other in (drawn[at - 1], drawn[(at + 1) % len(drawn)]):
        run = math.dist((x, y), other) or 1.0
        away_x, away_y = away_x + (x - other[0]) / run, away_y + (y - other[1]) / run
    reach = math.hypot(away_x, away_y)
    if reach < 1e-6:
        return x, y - _BESIDE_MM
    return x + away_x / reach * _BESIDE_MM, y + away_y / reach * _BESIDE_MM
