"""One pattern piece as a figure: its lines, its name where it is read, grain, marks and dimensions."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.piece import Piece
from bagwright.output.drawing import Anchor, Figure, Fill, Ink, Item, Path, Text, Tone, bounds_of, line
from bagwright.output.labels import Label, Placed, place_label
from bagwright.output.lettering import Weight, shortened
from bagwright.output.piece_lines import Frame, cut_runs, cut_shape, notch_ticks, stitch_runs, told_count, told_role
from bagwright.output.piece_marks import STRAP_MM, area_of, fold_items, grain_arrow, grain_outside, mark_items
from bagwright.output.rulers import Measuring, dimension_across, dimension_up

_NAME_SIZES_MM = (4.0, 3.5, 3.1, 2.8)
_TEMPLATE_NAME_SIZES_MM = (7.0, 5.5, 4.5, 4.0, 3.5, 3.1, 2.8)
_LEAST_NAME_SIZES_MM = (2.5, 2.2)
_GRAIN_SHARES = (0.7, 0.5, 0.34)
_STRAP_GRAIN_SHARES = (0.3, 0.7)
_LEAST_GRAIN_SHARE = 0.22
_AROUND_GRAIN_MM = 0.9
_AROUND_MARKS_MM = 0.4


def piece_figure(piece: Piece, frame: Frame, measuring: Measuring) -> Figure:
    """One piece with its lines, name, grain and dimensions, on paper but not yet put anywhere."""
    ground = Path(frame.all_on_paper(cut_shape(piece, frame.tolerance_mm).outer_ring()), None, Fill.PAPER, closed=True)
    return Figure((ground, *_named_piece(piece, frame, _label(piece), _dimensions(piece, frame, measuring))))


def template_figure(piece: Piece, frame: Frame, measuring: Measuring) -> Figure:
    """The piece as a template at true scale: nothing stands outside its cut line if it has room within."""
    cut = cut_shape(piece, frame.tolerance_mm)
    label = _label(piece, measuring.told_size(cut.width_mm, cut.height_mm))
    return Figure(tuple(_named_piece(piece, frame, label, ())))


def _named_piece(piece: Piece, frame: Frame, label: Label, around: Sequence[Item]) -> list[Item]:
    """Lines, marks, what stands `around` the piece, grain and name."""
    inside = Region.from_ring(frame.all_on_paper(piece.net.ring(frame.tolerance_mm))).grown(-0.7)
    marks = [*fold_items(piece, frame), *mark_items(piece, frame, inside)]
    items: list[Item] = [*_outline_items(piece, frame), *marks]
    shape = bounds_of(items)
    items += around
    taken = [Region.union(area_of(mark, around_mm=_AROUND_MARKS_MM) for mark in marks)] if marks else []
    grain, placed = _grain_and_name(piece, frame, inside, label, taken)
    items += grain if grain or piece.is_bought else grain_outside(piece, frame, shape)
    return [*items, *(placed.items if placed else _caption(piece, shape, bounds_of(items)[3]))]


def _label(piece: Piece, size: str = "") -> Label:
    return Label(piece.name, tuple(note for note in (told_count(piece), told_role(piece), size) if note))


def _grain_and_name(
    piece: Piece, frame: Frame, inside: Region, label: Label, taken: Sequence[Region]
) -> tuple[Sequence[Item], Placed | None]:
    """A long grain arrow and a large name where both have room; else a smaller name, then a short arrow.

    Last of all name and count go on one line, beside the longest arrow there is room for.
    """
    longest: Sequence[Item] = ()
    usual = _TEMPLATE_NAME_SIZES_MM if frame.reduction == 1.0 else _NAME_SIZES_MM
    largest = sorted({*(frame.lettering * size for size in usual), *usual}, reverse=True)
    for sizes, share in _ways(inside, largest):
        arrow = () if piece.is_bought else grain_arrow(piece, frame, inside, taken, share=share)
        longest = longest or arrow
        placed = place_label(label, inside, _and_arrow(taken, arrow), sizes_mm=sizes)
        if placed and (arrow or piece.is_bought):
            return arrow, placed
    brief = Label(", ".join((label.name, *label.notes[:1])))
    sizes = (*_NAME_SIZES_MM, *_LEAST_NAME_SIZES_MM)
    return longest, place_label(brief, inside, _and_arrow(taken, longest), sizes_mm=sizes)


def _ways(inside: Region, largest_mm: Sequence[float]) -> Iterator[tuple[Sequence[float], float]]:
    """Sizes of name and shares of arrow to try together, best first."""
    is_strap = inside.is_empty or min(inside.width_mm, inside.height_mm) < STRAP_MM
    yield from itertools.product((largest_mm, _LEAST_NAME_SIZES_MM), _STRAP_GRAIN_SHARES if is_strap else _GRAIN_SHARES)
    yield (*largest_mm, *_LEAST_NAME_SIZES_MM), _LEAST_GRAIN_SHARE


def _and_arrow(taken: Sequence[Region], arrow: Sequence[Item]) -> list[Region]:
    return [*taken, *(area_of(item, around_mm=_AROUND_GRAIN_MM) for item in arrow)]


def _outline_items(piece: Piece, frame: Frame) -> Iterator[Item]:
    for run in stitch_runs(piece, frame.tolerance_mm):
        yield Path(frame.all_on_paper(run), Ink.STITCH)
    for run in cut_runs(piece, frame.tolerance_mm):
        is_ring = run[0] == run[-1]
        points = frame.all_on_paper(run[:-1] if is_ring else run)
        yield Path(points, Ink.OUTLINE if piece.is_bought else Ink.CUT, closed=is_ring)
    for outer, inner in notch_ticks(piece, least_mm=1.3 * frame.reduction):
        yield line(frame.on_paper(outer), frame.on_paper(inner), Ink.NOTCH)


def _dimensions(piece: Piece, frame: Frame, measuring: Measuring) -> list[Item]:
    """Overall width under the cut line and height at its left."""
    shape = cut_shape(piece, frame.tolerance_mm).moved(Affine(frame.turn_deg))
    low_x, low_y, high_x, high_y = (value / frame.reduction for value in shape.bounds)
    left, right, top, bottom = low_x, high_x, -high_y, -low_y
    return [
        *dimension_across(left, right, bottom + 2.6, measuring.told(shape.width_mm)),
        *dimension_up(top, bottom, left - 2.6, measuring.told(shape.height_mm)),
    ]


def _caption(piece: Piece, shape: tuple[float, float, float, float], below_mm: float) -> list[Item]:
    """Name and count under a piece that is too small to carry them."""
    x = (shape[0] + shape[2]) / 2
    name = shortened(piece.name, 44.0, 3.0, Weight.STRONG)
    words = ", ".join(filter(None, (told_count(piece), shortened(told_role(piece), 24.0, 2.6))))
    return [
        Text((x, below_mm + 3.4), name, 3.0, Anchor.MIDDLE, weight=Weight.STRONG),
        Text((x, below_mm + 6.8), words, 2.6, Anchor.MIDDLE, tone=Tone.SOFT),
    ]
