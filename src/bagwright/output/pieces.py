"""Pattern pieces as drawings: one piece, or a sheet of all pieces of a pattern to one scale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.output.drawing import Anchor, Drawing, Figure, Ink, Item, Text, Tone, bounds_of, framed, line
from bagwright.output.lettering import Weight, text_width_mm
from bagwright.output.piece_figure import piece_figure
from bagwright.output.piece_lines import Frame, cut_shape, told_count
from bagwright.output.rulers import Measuring, double_arrow, round_reduction, ruler, told_scale
from bagwright.units import UnitSystem

SHEET_WIDTH_MM = 132.0
"""About 500 px, so that letters keep their size in a column of a page."""
_AROUND_MM = (9.0, 12.0)
"""Room that dimensions and captions take beside and under a piece."""
_GAP_MM = 6.0
_LINE_KEY = (
    (Ink.CUT, "cut"),
    (Ink.STITCH, "stitch"),
    (Ink.FOLD, "fold"),
    (Ink.MARK, "placement"),
    (Ink.GRAIN, "grain"),
)


def draw_piece(piece: Piece, *, units: UnitSystem, fraction: int = 16, reduction: float = 1.0) -> Drawing:
    """One piece by itself, at 1 : `reduction`."""
    figure = piece_figure(piece, Frame(reduction), Measuring(units, fraction))
    words = f"{piece.name}, {told_count(piece)}, {told_scale(reduction)}"
    return framed(figure.items, margin_mm=2.0, title=piece.name, description=words)


def draw_pieces(
    pattern: Pattern,
    *,
    units: UnitSystem,
    fraction: int = 16,
    width_mm: float = SHEET_WIDTH_MM,
    true_scale: bool = False,
) -> Drawing:
    """All pieces of a pattern to one scale, with a ruler; `width_mm` is the width on paper unless at true scale.

    At true scale the sheet is as wide as it needs to be.
    """
    if true_scale:
        frames, reduction = {piece.id: Frame() for piece in pattern.pieces}, 1.0
        boxes = [_size_mm(piece) for piece in pattern.pieces]
        width_mm = max(max(w for w, _ in boxes), 1.2 * math.sqrt(sum(w * h for w, h in boxes))) + _AROUND_MM[0]
    else:
        sizes = [_size_mm(piece) for piece in pattern.pieces]
        reduction = _sheet_reduction(sizes, width_mm)
        frames = {p.id: _frame(size, reduction, width_mm) for p, size in zip(pattern.pieces, sizes, strict=True)}
    measuring = Measuring(units, fraction)
    figures = [piece_figure(piece, frames[piece.id], measuring) for piece in pattern.pieces]
    items = in_rows(figures, width_mm)
    bottom = bounds_of(items)[3] if items else 0.0
    items += ruler(width_mm, reduction, units, top_mm=bottom + 7.0)
    items += line_key(width_mm, bottom + 16.0, told_scale(reduction))
    told = "; ".join(f"{piece.name}: {told_count(piece)}" for piece in pattern.pieces)
    return framed(items, margin_mm=2.0, title=f"Pieces, {told_scale(reduction)}", description=told)


def _size_mm(piece: Piece) -> tuple[float, float]:
    shape = cut_shape(piece, 0.5)
    return shape.width_mm, shape.height_mm


def _frame(size_mm: tuple[float, float], reduction: float, width_mm: float) -> Frame:
    """Upright, unless the piece is a strap or else too high for the sheet: then it is drawn lying."""
    width, height = size_mm[0] / reduction, size_mm[1] / reduction
    is_strap, is_high = height > max(4 * width, 20), height > max(1.5 * width, 0.28 * width_mm)
    return Frame(reduction, -90.0) if is_strap or is_high else Frame(reduction)


def _drawn_size(size_mm: tuple[float, float], frame: Frame) -> tuple[float, float]:
    across, up = size_mm if frame.turn_deg == 0 else reversed(size_mm)
    return across / frame.reduction, up / frame.reduction


def _sheet_reduction(sizes_mm: Sequence[tuple[float, float]], width_mm: float) -> float:
    """Smallest round reduction at which everything fits across, and the sheet is no higher than it is wide."""
    reduction = 1.0
    while True:
        sizes = [_drawn_size(size, _frame(size, reduction, width_mm)) for size in sizes_mm]
        boxes = [(w + _AROUND_MM[0] + _GAP_MM, h + _AROUND_MM[1] + _GAP_MM) for w, h in sizes]
        rows = _rows([w for w, _ in boxes], [h for _, h in boxes], width_mm)
        height = sum(max(boxes[i][1] for i in row) for row in rows)
        if all(w <= width_mm for w, _ in boxes) and height <= 0.95 * width_mm:
            return reduction
        reduction = round_reduction(reduction + 0.25)


def _rows(widths: Sequence[float], heights: Sequence[float], width_mm: float) -> list[list[int]]:
    """Which boxes go into which row: highest first, each into the first row that has room."""
    rows: list[list[int]] = []
    for index in sorted(range(len(widths)), key=lambda i: (-heights[i], i)):
        room = (row for row in rows if sum(widths[i] for i in row) + widths[index] <= width_mm)
        row = next(room, None)
        if row is None:
            rows.append([index])
        else:
            row.append(index)
    return rows


def in_rows(figures: Sequence[Figure], width_mm: float) -> list[Item]:
    """The figures side by side in rows of that width, highest first, from the origin down."""
    boxes = [figure.bounds for figure in figures]
    rows = _rows(
        [right - left + _GAP_MM for left, _, right, _ in boxes],
        [low - top for _, top, _, low in boxes],
        width_mm + _GAP_MM,
    )
    items: list[Item] = []
    y = 0.0
    for row in rows:
        x = 0.0
        height = max(boxes[i][3] - boxes[i][1] for i in row)
        for i in row:
            left, _, right, bottom = boxes[i]
            items += figures[i].shifted(x - left, y + height - bottom).items
            x += right - left + _GAP_MM
        y += height + _GAP_MM
    return items


def line_key(width_mm: float, y_mm: float, scale: str) -> list[Item]:
    """What each line means, under the ruler, in as many rows as it takes; the scale at the right."""
    items: list[Item] = [Text((width_mm, y_mm), scale, 2.8, Anchor.END, weight=Weight.STRONG)]
    room = width_mm - text_width_mm(scale, 2.8, Weight.STRONG) - 4.0
    x = 0.0
    for ink, words in _LINE_KEY:
        wide = 10.5 + text_width_mm(words, 2.8)
        if x and x + wide > room:
            x, y_mm, room = 0.0, y_mm + 4.4, width_mm
        start, end = (x, y_mm - 1), (x + 9, y_mm - 1)
        items += double_arrow(start, end) if ink is Ink.GRAIN else [line(start, end, ink)]
        items.append(Text((x + 10.5, y_mm), words, 2.8, tone=Tone.SOFT))
        x += wide + 4.0
    return items
