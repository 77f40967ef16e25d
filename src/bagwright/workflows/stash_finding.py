"""What the stash holds: sizes of its pieces, and which of them a wanted size can be cut from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress, islice

from bagwright.geometry.curves import Affine
from bagwright.geometry.holding_rectangles import Lying, which_hold
from bagwright.geometry.largest_rectangle import largest_rectangle
from bagwright.geometry.many_regions import moved_each, ring_areas_mm2, simple_regions
from bagwright.geometry.region import Region
from bagwright.model.stash import StashPiece
from bagwright.workflows.desk import Remembered

_MOST_EDGES = 4
_NEARLY_ALL = 0.9
"""A piece with less than this of the rectangle's area cannot hold it, less 0.01 mm all round."""


@dataclass(frozen=True, slots=True)
class StashSize:
    """The largest rectangle in a piece: its lower corner, length along its grain (along x without one), and width.

    `x_mm`, `y_mm` and `turn_deg` say where: the piece turned by `turn_deg` about the origin holds it upright there.
    """

    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    turn_deg: float


def size_of(piece: StashPiece) -> StashSize:
    """The largest rectangle along and across the grain that lies in the piece off its flaws; sizes 0 if none does."""
    turn = -(piece.grain_deg or 0.0)
    key = piece.outer, piece.holes, piece.flaws, turn
    return _sizes.once(key, lambda: _size_of(piece.sound, turn))


_sizes: Remembered[tuple[object, ...], StashSize] = Remembered(10_000)


def _size_of(region: Region, turn_deg: float) -> StashSize:
    found = largest_rectangle(region.moved(Affine(turn_deg))) or (0.0, 0.0, 0.0, 0.0)
    return StashSize(found[0], found[1], found[2] - found[0], found[3] - found[1], turn_deg)


def areas_mm2(pieces: Sequence[StashPiece]) -> list[float]:
    """The area of each, as its region has it; of thousands at once."""
    holes = [(number, hole) for number, piece in enumerate(pieces) for hole in piece.holes]
    areas = ring_areas_mm2([piece.outer for piece in pieces])
    for (number, _), area_mm2 in zip(holes, ring_areas_mm2([hole for _, hole in holes]), strict=True):
        areas[number] -= area_mm2
    return areas


def can_cut(piece: StashPiece, one_mm: float, other_mm: float) -> bool:
    """Whether a rectangle of that size can be cut from the piece: `which_can_be_cut` for one.

    >>> strip = StashPiece(id="s", material_id="felt", outer=((0, 0), (400, 0), (400, 90), (0, 90)))
    >>> can_cut(strip, 80, 300), can_cut(strip, 100, 300)
    (True, False)
    """
    return which_can_be_cut([piece], one_mm, other_mm)[0]


def which_can_be_cut(
    pieces: Sequence[StashPiece], one_mm: float, other_mm: float, *, along: bool = False
) -> list[bool]:
    """For each piece whether a rectangle of that size, less 0.01 mm, can be cut from it off its flaws.

    Either side lies along the grain; `along`: `one_mm` does, and pieces whose grain is not known are out. Without a
    grain a rectangle is tried upright and along the longest edges.
    """
    asked = [(piece, one_mm, other_mm, along) for piece in pieces]
    known = [_fits.get(one) for one in asked]
    unknown = [one for one, fits in zip(asked, known, strict=True) if fits is None]
    found = _which_fit([piece for piece, *_ in unknown], one_mm, other_mm, along=along)
    new = {one: _fits.put(one, fits) for one, fits in zip(unknown, found, strict=True)}
    return [new[one] if fits is None else fits for one, fits in zip(asked, known, strict=True)]


_fits: Remembered[tuple[StashPiece, float, float, bool], bool] = Remembered(20_000)


def _which_fit(pieces: Sequence[StashPiece], one_mm: float, other_mm: float, *, along: bool) -> list[bool]:
    least = one_mm * other_mm * _NEARLY_ALL
    asked = [
        area >= least and not (along and piece.grain_deg is None)
        for piece, area in zip(pieces, areas_mm2(pieces), strict=True)
    ]
    ways = iter(_ways(list(compress(pieces, asked))))
    shapes = (next(ways) if is_asked else () for is_asked in asked)
    large = [lying if lying and lying[0].region.area_mm2 >= least else () for lying in shapes]
    return which_hold(large, one_mm, other_mm, along=along)


def _ways(pieces: Sequence[StashPiece]) -> list[tuple[Lying, ...]]:
    """The sound part of each in every way in which an upright rectangle is tried; none if nothing of it is sound."""
    known = [_lying.get(piece) for piece in pieces]
    unknown = [piece for piece, ways in zip(pieces, known, strict=True) if ways is None]
    new = {piece: _lying.put(piece, ways) for piece, ways in zip(unknown, _turned(unknown), strict=True)}
    return [new[piece] if ways is None else ways for piece, ways in zip(pieces, known, strict=True)]


def _turned(pieces: Sequence[StashPiece]) -> list[tuple[Lying, ...]]:
    sound = _sound(pieces)
    turns = [() if region.is_empty else _turns(piece) for piece, region in zip(pieces, sound, strict=True)]
    regions = [region for region, own in zip(sound, turns, strict=True) for _ in own]
    lying = iter(Lying.of_each(moved_each(regions, [Affine(turn) for own in turns for turn in own])))
    return [tuple(islice(lying, len(own))) for own in turns]


def _sound(pieces: Sequence[StashPiece]) -> list[Region]:
    """What can be cut from each; of whole ones at once."""
    whole = [not piece.holes and not piece.flaws for piece in pieces]
    simple = iter(simple_regions([piece.outer for piece in compress(pieces, whole)]))
    regions = (next(simple) if is_whole else None for is_whole in whole)
    return [piece.sound if region is None else region for piece, region in zip(pieces, regions, strict=True)]


_lying: Remembered[StashPiece, tuple[Lying, ...]] = Remembered(4_000)


def _turns(piece: StashPiece) -> Sequence[float]:
    if piece.grain_deg is not None:
        return (-piece.grain_deg,)
    edges = sorted(
        zip(piece.outer, (*piece.outer[1:], piece.outer[0]), strict=True), key=lambda edge: -math.dist(*edge)
    )[:_MOST_EDGES]
    turns = (-math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 90 for a, b in edges)
    return tuple(dict.fromkeys((0.0, *(round(turn, 6) % 90 for turn in turns))))
