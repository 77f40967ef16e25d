"""Pieces of the stash, those of one list to one scale, so that they can be compared by eye."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import Region
from bagwright.model.material import MaterialKind
from bagwright.model.stash import StashPiece
from bagwright.output.drawing import (
    Dot,
    Drawing,
    Fill,
    Hatch,
    Ink,
    Item,
    Path,
    Photo,
    PictureFile,
    Text,
    Tone,
    framed,
    line,
)
from bagwright.output.labels import Label, place_label
from bagwright.output.layouts import thinned
from bagwright.output.rulers import double_arrow

STASH_REDUCTION = 16.0
"""A piece 36 in long then takes about 215 px."""
_LEAST_REDUCTION = 3.0
_SHOWN_MM = 57.0
"""As long as that, about 215 px, is the longest of pieces that are drawn to one scale, if they are small."""
_LONGEST_MM = 112.0
"""Longer pieces (70 in and more) are made smaller still."""
_LEAST_ARROW_MM = 3.0
_NAME_SIZES_MM = (3.4, 2.9, 2.4)
_CROSS_PITCH_MM = 2.2
_MOTIF_MM = 1.5


def reduction_of(pieces: Iterable[StashPiece]) -> float:
    """The scale to which pieces are drawn together, so that a scrap of a hand's breadth can be told by its picture."""
    sides = (max(high_x - low_x, high_y - low_y) for low_x, low_y, high_x, high_y in (p.region.bounds for p in pieces))
    return min(STASH_REDUCTION, max(_LEAST_REDUCTION, max(sides, default=0.0) / _SHOWN_MM))


def draw_stash_piece(
    piece: StashPiece,
    kind: MaterialKind,
    *,
    name: str,
    picture: PictureFile | None = None,
    reduction: float = STASH_REDUCTION,
) -> Drawing:
    """One piece as it lies, smaller by `reduction` (more only if it would not fit), grain as an arrow.

    Flaws are crossed out, lesser parts marked. y runs up in the outline and down on paper. `picture`: its own, which
    is shown within its outline instead of the hatch.
    """
    region, grain_deg = piece.region, piece.grain_deg
    low_x, low_y, high_x, high_y = region.bounds
    reduction = max(reduction, (high_x - low_x) / _LONGEST_MM, (high_y - low_y) / _LONGEST_MM)

    def on_paper(point: tuple[float, float]) -> tuple[float, float]:
        return (point[0] - low_x) / reduction, (high_y - point[1]) / reduction

    rings = [region.outer_ring(), *region.hole_rings()]
    drawn = [tuple(thinned([on_paper(point) for point in ring])) for ring in rings]
    items: list[Item] = [Path(drawn[0], Ink.OUTLINE, Hatch(kind), closed=True)]
    items += [Path(ring, Ink.OUTLINE, Fill.PAPER, closed=True) for ring in drawn[1:]]
    if picture:
        left, right, below = map(on_paper, piece.pictured_at)
        outlines = (Path(ring, Ink.OUTLINE, closed=True) for ring in drawn)
        items = [Photo((left, right, below), picture, tuple(drawn)), *outlines]
    items += _marked(piece, region, on_paper)
    items += _motif(piece, region, on_paper)
    middle = ((high_x - low_x) / 2 / reduction, (high_y - low_y) / 2 / reduction)
    run = min(8.0, 0.6 * min(high_x - low_x, high_y - low_y) / reduction)
    if grain_deg is not None and run >= _LEAST_ARROW_MM:
        items += _grain(middle, run, grain_deg, on_plate=picture is not None)
    size = f"{high_x - low_x:.0f} x {high_y - low_y:.0f} mm over all"
    return framed(items, margin_mm=0.6, title=name, description=f"{name}: {size}")


def _marked(piece: StashPiece, region: Region, on_paper: Callable[[Point], Point]) -> Iterator[Item]:
    """Lesser parts, then flaws over them, as far as they lie on the piece."""
    for rings, drawn in ((piece.lesser, lesser_items), (piece.flaws, flaw_items)):
        for ring in rings:
            for part in Region.from_ring(ring).shared_with(region).parts():
                yield from drawn([on_paper(point) for point in part.outer_ring()])


def _motif(piece: StashPiece, region: Region, on_paper: Callable[[Point], Point]) -> Iterator[Item]:
    """A small cross in a ring where a motif lies, if that is on the piece."""
    if piece.motif is None:
        return
    (near_x, near_y), reach = piece.motif, 0.5
    if not region.overlap_mm2(Region.rectangle((near_x - reach, near_y - reach), (near_x + reach, near_y + reach))):
        return
    x, y = on_paper(piece.motif)
    yield Dot((x, y), _MOTIF_MM, Ink.OUTLINE, Fill.PAPER)
    yield line((x - _MOTIF_MM, y), (x + _MOTIF_MM, y), Ink.OUTLINE)
    yield line((x, y - _MOTIF_MM), (x, y + _MOTIF_MM), Ink.OUTLINE)


def lesser_items(ring: Sequence[Point]) -> list[Item]:
    """A part of lesser grade: a dashed line around it, and its name where it has room."""
    found = place_label(Label("good", halo=True), Region.from_ring(ring).grown(-0.6), (), sizes_mm=_NAME_SIZES_MM)
    return [Path(tuple(thinned(ring)), Ink.STITCH, closed=True), *(found.items if found else ())]


def flaw_items(ring: Sequence[Point]) -> list[Item]:
    """A flaw: its outline crossed through, and named where it has room."""
    region = Region.from_ring(ring)
    low_x, low_y, high_x, high_y = region.bounds
    items: list[Item] = [Path(tuple(thinned(ring)), Ink.OUTLINE, Fill.PAPER, closed=True)]
    reach, at = high_y - low_y, low_x - (high_y - low_y)
    while at < high_x:
        stretch = region.stretch_inside((at, high_y), (at + reach, low_y))
        if stretch:
            items.append(line(*stretch, Ink.OUTLINE))
        at += _CROSS_PITCH_MM
    if high_x - low_x > 14.0:
        items.append(Text((low_x, low_y - 1.0), "flaw", 2.6, tone=Tone.SOFT, halo=True))
    return items


def _grain(middle: Point, run_mm: float, grain_deg: float, *, on_plate: bool) -> list[Item]:
    """An arrow along the grain; on a picture it stands on a plate, so that it is seen on any print."""
    along = Affine(-grain_deg)
    start, end = ((middle[0] + x, middle[1] + y) for x, y in map(along.apply, ((-run_mm / 2, 0.0), (run_mm / 2, 0.0))))
    plate = [(x, y) for x in (-0.5, 0.5) for y in ((-1.4, 1.4) if x < 0 else (1.4, -1.4))]
    ring = (along.apply((x * (run_mm + 2.0), y)) for x, y in plate)
    corners = tuple((middle[0] + x, middle[1] + y) for x, y in ring)
    ground: list[Item] = [Path(corners, None, Fill.PAPER, closed=True)] if on_plate else []
    return [*ground, *double_arrow(start, end)]
