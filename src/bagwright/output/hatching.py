"""Our own hatches, one for each kind of material, and a letter for each. They must tell apart in black and white."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bagwright.geometry.curves import Point
from bagwright.model.material import MaterialKind
from bagwright.output.drawing import Drawing, Hatch, Item, Text, framed, rectangle
from bagwright.output.lettering import Weight

Stroke = tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Tile:
    """What repeats: strokes and dots on a field of `width_mm` x `height_mm`. Rings are open circles, dots full ones."""

    width_mm: float
    height_mm: float
    strokes: tuple[Stroke, ...] = ()
    dots: tuple[tuple[float, float, float], ...] = ()
    rings: tuple[tuple[float, float, float], ...] = ()


# Strokes that leave a tile come back in on the other side, so that neighbours join.
TILES: Mapping[MaterialKind, Tile] = {
    MaterialKind.PLAIN_CLOTH: Tile(
        4, 4, (((0.3, 1), (1.7, 1)), ((2.3, 3), (3.7, 3)), ((3, 0.3), (3, 1.7)), ((1, 2.3), (1, 3.7)))
    ),
    MaterialKind.BOTTOM_WEIGHT: Tile(
        1.8, 3.6, (((0, 3.6), (1.8, 0)),)
    ),
    MaterialKind.COATED: Tile(
        7, 3.2, (((0, 0.7), (7, 0.7)), ((0, 1.4), (7, 1.4)), ((2, 2.5), (5, 2.5)))
    ),
    MaterialKind.CORK: Tile(
        7, 6,
        (((0.6, 1.2), (1.9, 0.8)), ((3.4, 2.1), (4.0, 3.1)), ((5.4, 0.9), (6.3, 1.3)), ((1.3, 3.6), (1.7, 4.7)),
         ((5.2, 4.6), (6.4, 4.2)), ((2.9, 5.3), (3.6, 5.2))),
        ((2.8, 0.9, 0.22), (0.7, 2.6, 0.18), (6.2, 2.8, 0.22), (3.2, 4.2, 0.18), (4.7, 5.6, 0.2)),
    ),
    MaterialKind.LEATHER: Tile(
        6, 6,
        (((0, 1.6), (1.2, 2.2), (2.4, 1.4), (2.6, 0)), ((2.4, 1.4), (3.6, 2.1), (4.9, 1.5), (6, 1.6)),
         ((1.2, 2.2), (1.0, 3.6), (0, 4.4)), ((1.0, 3.6), (2.2, 4.5), (2.6, 6)), ((3.6, 2.1), (3.5, 3.6), (2.2, 4.5)),
         ((3.5, 3.6), (4.8, 4.6), (6, 4.4)), ((4.8, 4.6), (4.7, 6)), ((4.9, 1.5), (4.7, 0))),
    ),
    MaterialKind.WOVEN_INTERFACING: Tile(
        3.2, 3.2, (((0, 0.4), (3.2, 0.4)), ((0.4, 0), (0.4, 3.2))), ((2.0, 2.0, 0.28),)
    ),
    MaterialKind.NONWOVEN_INTERFACING: Tile(
        6, 5, (((0.5, 0.8), (2.2, 1.6)), ((3.4, 0.5), (3.9, 2.0)), ((4.6, 2.3), (5.6, 1.4)), ((0.8, 3.6), (2.0, 2.9)),
               ((2.9, 3.2), (4.3, 4.1)), ((5.0, 4.5), (5.5, 3.4)))
    ),
    MaterialKind.FLEECE: Tile(
        6, 3, (((0, 1.9), (0.8, 1.1), (1.5, 0.8), (2.2, 1.1), (3.8, 2.2), (4.5, 2.5), (5.2, 2.2), (6, 1.9)),)
    ),
    MaterialKind.FELT: Tile(3, 3, dots=((0.75, 0.75, 0.3), (2.25, 2.25, 0.3))),
    MaterialKind.FOAM: Tile(5, 5, rings=((1.2, 1.2, 0.85), (3.7, 3.6, 0.85), (3.8, 1.1, 0.4), (1.2, 3.7, 0.4))),
    MaterialKind.WEBBING: Tile(2.4, 3, (((0, 2.0), (1.2, 0.8), (2.4, 2.0)),)),
    MaterialKind.ZIP: Tile(
        2, 4, (((0.5, 0.4), (0.5, 2.2)), ((1.5, 1.4), (1.5, 3.2)), ((0, 1.8), (2, 1.8)))
    ),
    MaterialKind.HARDWARE: Tile(2.6, 2.6, (((0, 0), (2.6, 2.6)), ((0, 2.6), (2.6, 0)))),
    MaterialKind.THREAD: Tile(2.4, 2.4, (((0, 0), (2.4, 2.4)),)),
}  # fmt: skip

LETTERS: Mapping[MaterialKind, str] = {
    MaterialKind.PLAIN_CLOTH: "P",
    MaterialKind.BOTTOM_WEIGHT: "B",
    MaterialKind.COATED: "C",
    MaterialKind.CORK: "K",
    MaterialKind.LEATHER: "L",
    MaterialKind.WOVEN_INTERFACING: "I",
    MaterialKind.NONWOVEN_INTERFACING: "N",
    MaterialKind.FLEECE: "F",
    MaterialKind.FELT: "E",
    MaterialKind.FOAM: "O",
    MaterialKind.WEBBING: "W",
    MaterialKind.ZIP: "Z",
    MaterialKind.HARDWARE: "H",
    MaterialKind.THREAD: "T",
}


def tile_origins(tile: Tile, low: Point, high: Point) -> Iterator[Point]:
    """Where copies of the tile lie so that they fill the upright box, on a grid that starts at (0, 0)."""
    columns = range(int(low[0] // tile.width_mm), int(high[0] // tile.width_mm) + 1)
    rows = range(int(low[1] // tile.height_mm), int(high[1] // tile.height_mm) + 1)
    for column, row in itertools.product(columns, rows):
        yield column * tile.width_mm, row * tile.height_mm


def draw_swatch(kind: MaterialKind) -> Drawing:
    """A square of the kind's hatch with its letter, to stand for a material that has no picture."""
    side = 24.0
    items: list[Item] = [
        rectangle((0, 0), (side, side), None, Hatch(kind)),
        Text((side - 4.6, side - 2.0), LETTERS[kind], 5.0, weight=Weight.STRONG),
    ]
    return framed(items, margin_mm=0.0, title=f"Hatch of {kind}", description=f"Letter {LETTERS[kind]}")
