"""Where a print goes on from piece to piece: a mark and a letter on each side of a seam, and what the letters mean."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, Placement
from bagwright.model.prints import PrintPoint
from bagwright.output.cloth import Cloth
from bagwright.output.drawing import Anchor, Dot, Fill, Ink, Item, Path, Text, bounds_of, line, text_box
from bagwright.output.lettering import Weight

_TICK_MM = 3.0
_DOT_MM = 0.75
_LETTER_MM = 3.0
_BESIDE_MM = 2.2
_CLEAR_MM = 0.4
_ALPHABET = "abcdefghijklmnopqrstuvwxyz"


def print_marks(
    cloth: Cloth, pieces: Sequence[LayPiece], names: Mapping[str, str]
) -> tuple[list[Item], dict[str, str]]:
    """On every copy a tick along each seam across which its print goes on, with the seam's letter; and the letters."""
    letters = _letters(pieces)
    own = {piece.id: piece for piece in pieces}
    items: list[Item] = []
    for place in cloth.layout.placements:
        piece = own[place.id]
        for point in (one for one in piece.goes_on if one.mirrored is place.mirrored):
            items += _mark(cloth, piece, place, point, letters[point.seam])
    sides: dict[str, list[str]] = {}
    for piece in pieces:
        for point in piece.goes_on:
            sides.setdefault(letters[point.seam], []).append(names.get(piece.id, piece.id))
    return items, {letter: f"print meets: {' and '.join(dict.fromkeys(named))}" for letter, named in sides.items()}


def boxes_of(marks: Sequence[Item]) -> list[Region]:
    """The boxes around letters and ticks, which no name may touch."""
    boxes = [text_box(mark) for mark in marks if isinstance(mark, Text)]
    for low_x, low_y, high_x, high_y in (bounds_of([mark]) for mark in marks if isinstance(mark, Path)):
        boxes.append(((low_x, low_y), (high_x, high_y)))
    return [
        Region.rectangle((low[0] - _CLEAR_MM, low[1] - _CLEAR_MM), (high[0] + _CLEAR_MM, high[1] + _CLEAR_MM))
        for low, high in boxes
    ]


def print_in_words(key: Mapping[str, str]) -> str:
    """What the letters say, for those who can't see the drawing.

    >>> print_in_words({"a": "print meets: Front and Side"})
    ' The print goes on at a: Front and Side.'
    """
    met = "; ".join(f"{letter}: {named.removeprefix('print meets: ')}" for letter, named in key.items())
    return f" The print goes on at {met}." if met else ""


def _letters(pieces: Sequence[LayPiece]) -> dict[str, str]:
    """Of each seam: a to z, then a2 and so on."""
    seams = dict.fromkeys(point.seam for piece in pieces for point in piece.goes_on)
    size = len(_ALPHABET)
    return {
        seam: _ALPHABET[number % size] + (str(number // size + 1) if number >= size else "")
        for number, seam in enumerate(seams)
    }


def _mark(cloth: Cloth, piece: LayPiece, place: Placement, point: PrintPoint, letter: str) -> Iterator[Item]:
    """The letter stands on the side of the seam on which the piece lies."""
    radians = math.radians(point.along_deg)
    x, y = cloth.on_paper(place.move.apply(point.at))
    ahead = cloth.on_paper(place.move.apply((point.at[0] + math.cos(radians), point.at[1] + math.sin(radians))))
    run = math.dist((x, y), ahead)
    along = ((ahead[0] - x) / run, (ahead[1] - y) / run)
    yield line(_gone((x, y), along, -_TICK_MM), _gone((x, y), along, _TICK_MM), Ink.CUT)
    yield Dot((x, y), _DOT_MM, fill=Fill.SOLID)
    inside = _towards_middle(cloth, piece, place, (x, y), (-along[1], along[0]))
    at = _gone((x, y), inside, _BESIDE_MM)
    yield Text((at[0], at[1] + _LETTER_MM / 3), letter, _LETTER_MM, Anchor.MIDDLE, weight=Weight.STRONG, halo=True)


def _towards_middle(cloth: Cloth, piece: LayPiece, place: Placement, at: Point, across: Point) -> Point:
    low_x, low_y, high_x, high_y = piece.region.bounds
    middle = cloth.on_paper(place.move.apply(((low_x + high_x) / 2, (low_y + high_y) / 2)))
    is_ahead = (middle[0] - at[0]) * across[0] + (middle[1] - at[1]) * across[1] >= 0
    return across if is_ahead else (-across[0], -across[1])


def _gone(at: Point, way: Point, by_mm: float) -> Point:
    return at[0] + way[0] * by_mm, at[1] + way[1] * by_mm
