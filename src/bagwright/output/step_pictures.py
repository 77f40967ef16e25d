"""What one step of sewing joins: its pieces side by side, the stretches that are sewn drawn bold, dots laid on dots."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import Point, steps_length_mm
from bagwright.geometry.splitting import split_curves
from bagwright.model.pattern import Pattern, Seam, SeamSide
from bagwright.model.piece import Mirror, Piece
from bagwright.output.drawing import (
    Anchor,
    Dot,
    Drawing,
    Figure,
    Fill,
    Ink,
    Item,
    Path,
    Text,
    Tone,
    bounds_of,
    framed,
    text_box,
)
from bagwright.output.lettering import LINE_PITCH, Weight, set_block
from bagwright.output.piece_lines import Frame, cut_shape
from bagwright.output.rulers import round_reduction

_MOST_IN_A_ROW = 5
_MANY_LINES = 6
"""Where more lines of stitching are numbered, the pieces are drawn larger, fewer in a row, with room beside them."""
_MANY_NEED_MM = 55.0
_BESIDE_MM = 9.5
_HIGH_MM = 25.0
_GAP_MM = 7.0
_LEAST_NAME_MM = 18.0
_NAME_MM = 2.8
_NAME_LINES = 2
_DOT_MM = 0.9
_NUMBER_MM = 3.0
_NUMBER_OFF_MM = 3.2
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
"""Where along a run its number is tried."""
_SIDES_MM = (_NUMBER_OFF_MM, -_NUMBER_OFF_MM, 1.8 * _NUMBER_OFF_MM, -1.8 * _NUMBER_OFF_MM)
"""How far from it, to the middle of the piece or, below zero, away from it."""
_STEP_MM = 0.5
_LYING_FROM = 2.0
_TOLERANCE_MM = 0.05
_MEETS_MM = 0.01


@dataclass(frozen=True, slots=True)
class _Copy:
    """One copy of a piece, and the runs of stretches of it that the step sews, each with its number."""

    piece: Piece
    copy: int
    runs: tuple[tuple[int, tuple[SeamSide, ...]], ...]

    def on_paper(self, points: Sequence[Point], frame: Frame) -> tuple[Point, ...]:
        """Even copies of a pair are mirrored."""
        is_turned = self.piece.mirror is Mirror.PAIRS and self.copy % 2 == 0
        return frame.all_on_paper([(-x, y) if is_turned else (x, y) for x, y in points])


def draw_step(pattern: Pattern, seams: Sequence[Seam], *, width_mm: float) -> Drawing | None:
    """The pieces that `seams` join, in rows no wider than `width_mm` and to one scale; None where nothing is joined.

    Seams that do the same to other copies are drawn once. Where a step joins several, they are numbered.
    """
    copies = _copies(pattern, _unlike(seams))
    if not copies:
        return None
    numbers = max(number for copy in copies for number, _ in copy.runs)
    many = numbers > _MANY_LINES
    count = math.ceil(len(copies) / (max(1, int(width_mm / _MANY_NEED_MM)) if many else _MOST_IN_A_ROW))
    longest = math.ceil(len(copies) / count)
    rows = [copies[at : at + longest] for at in range(0, len(copies), longest)]
    reduction = 1.0
    while not all(
        figures := [_fitting(row, reduction, width_mm, beside_mm=_BESIDE_MM if many else 0.0) for row in rows]
    ):
        reduction = round_reduction(reduction + 0.25)
    items: list[Item] = []
    for row in figures:
        items += _in_a_row(row, bounds_of(items)[3] + _GAP_MM if items else 0.0)
    told = "; ".join(dict.fromkeys(copy.piece.name for copy in copies))
    return framed(items, margin_mm=1.0, title=seams[0].name, description=f"Sewn together: {told}")


def _in_a_row(figures: Sequence[Figure], top_mm: float) -> Iterator[Item]:
    """The figures side by side from the left edge, their tops at `top_mm`."""
    x = 0.0
    for figure in figures:
        left, top, right, _ = figure.bounds
        yield from figure.shifted(x - left, top_mm - top).items
        x += right - left + _GAP_MM


def _unlike(seams: Sequence[Seam]) -> list[Seam]:
    """Of seams that join the same stretches of other copies, the first."""
    kept: dict[tuple[tuple[str, str, float, float], ...], Seam] = {}
    for seam in seams:
        kept.setdefault(tuple((s.piece_id, s.edge, s.from_mm, s.to_mm) for s in seam.sides), seam)
    return list(kept.values())


def _copies(pattern: Pattern, seams: Sequence[Seam]) -> list[_Copy]:
    lines = _lines(seams)
    sewn: dict[tuple[str, int], list[tuple[int, tuple[SeamSide, ...]]]] = {}
    for number, line in enumerate(lines, start=1 if len(lines) > 1 else 0):
        on_edges: dict[tuple[str, int, str, bool], list[SeamSide]] = {}
        for side in dict.fromkeys(side for seam in line for side in seam.sides):
            # A piece may be sewn to itself along one edge, once from either end.
            runs_back = side.to_mm < side.from_mm
            on_edges.setdefault((side.piece_id, side.copy, side.edge, runs_back), []).append(side)
        for (piece_id, copy, _, _), sides in on_edges.items():
            sewn.setdefault((piece_id, copy), []).append((number, tuple(sides)))
    return [_Copy(pattern.piece(piece_id), copy, tuple(runs)) for (piece_id, copy), runs in sewn.items()]


def _lines(seams: Sequence[Seam]) -> list[list[Seam]]:
    """Seams in lines of stitching: one that begins where the last one ended, on the same edge, goes on with it."""
    lines: list[list[Seam]] = []
    for seam in seams:
        before = lines[-1][-1].sides[0] if lines else None
        first = seam.sides[0]
        goes_on = before and (before.piece_id, before.copy, before.edge) == (first.piece_id, first.copy, first.edge)
        if before and goes_on and abs(before.to_mm - first.from_mm) < _MEETS_MM:
            lines[-1].append(seam)
        else:
            lines.append([seam])
    return lines


def _fitting(copies: Sequence[_Copy], reduction: float, width_mm: float, *, beside_mm: float) -> list[Figure]:
    """The figures at that scale with so much room beside each, or none if they are too high or too wide."""
    shapes = [cut_shape(one.piece, 1.0) for one in copies]
    frames = [Frame(reduction, -90.0 if s.height_mm > _LYING_FROM * s.width_mm else 0.0) for s in shapes]
    sizes = [
        (s.width_mm, s.height_mm) if frame.turn_deg == 0 else (s.height_mm, s.width_mm)
        for s, frame in zip(shapes, frames, strict=True)
    ]
    room = width_mm - (_GAP_MM + beside_mm) * len(copies) + _GAP_MM - 4.0
    if max(high for _, high in sizes) / reduction > _HIGH_MM:
        return []
    name_mm = min(_LEAST_NAME_MM, room / len(copies))
    if sum(max(wide / reduction, name_mm) for wide, _ in sizes) > room + 1e-9:
        return []
    return [Figure(tuple(_figure(one, frame, name_mm, beside_mm))) for one, frame in zip(copies, frames, strict=True)]


def _figure(one: _Copy, frame: Frame, name_mm: float, beside_mm: float) -> Iterator[Item]:
    ground = one.on_paper(cut_shape(one.piece, _TOLERANCE_MM * frame.reduction).outer_ring(), frame)
    net = one.on_paper(one.piece.net.ring(_TOLERANCE_MM * frame.reduction), frame)
    left, top, right, bottom = bounds_of([Path(ground)])
    middle = ((left + right) / 2, (top + bottom) / 2)
    items: list[Item] = [Path(ground, Ink.HAIRLINE, Fill.CLOTH, closed=True), Path(net, Ink.MARK, closed=True)]
    sewn = [(number, [one.on_paper(_stretch(one.piece, side), frame) for side in sides]) for number, sides in one.runs]
    for _, runs in sewn:
        items += [*(Path(run, Ink.SEWN) for run in runs), Dot(runs[0][0], _DOT_MM, None, Fill.SOLID)]
    lines = [point for _, runs in sewn for run in runs for point in _stepped(run)]
    numbers: list[Text] = []
    room_mm = max(right - left, name_mm)
    for number, runs in sewn:
        if number:
            longest = max(runs, key=lambda run: math.dist(run[0], run[-1]))
            tried = [_beside(str(number), longest, share, middle, off_mm=off) for off in _SIDES_MM for share in _SHARES]
            narrow = [
                text for text in tried if 2 * max(abs(x - middle[0]) for x, _ in text_box(text)) <= room_mm + beside_mm
            ]
            numbers.append(_clearest(narrow or tried, lines, numbers))
    items += numbers
    yield from items
    below = bounds_of(items)[3] + 1.6 + _NAME_MM
    for line, words in enumerate(set_block(one.piece.name, room_mm, _NAME_LINES, _NAME_MM).lines):
        at = (middle[0], below + line * _NAME_MM * LINE_PITCH)
        yield Text(at, words, _NAME_MM, Anchor.MIDDLE, tone=Tone.SOFT)


def _clearest(tried: Sequence[Text], lines: Sequence[Point], others: Sequence[Text]) -> Text:
    """The first that keeps off the other numbers and off the lines; else off the numbers; else the first."""
    boxes = [text_box(other) for other in others]
    clear = [text for text in tried if not any(_overlap(text_box(text), box) for box in boxes)]
    free = (text for text in clear if not any(_holds(text_box(text), point) for point in lines))
    return next(free, (clear or tried)[0])


def _beside(words: str, run: Sequence[Point], share: float, middle: Point, *, off_mm: float) -> Text:
    """Beside the run at that share of its length, so far to the middle of the piece or, below zero, away from it."""
    (ax, ay), (bx, by) = _step_at(run, share * steps_length_mm(run))
    x, y, length = (ax + bx) / 2, (ay + by) / 2, math.dist((ax, ay), (bx, by)) or 1.0
    across = ((ay - by) / length, (bx - ax) / length)
    off = off_mm * math.copysign(1.0, (middle[0] - x) * across[0] + (middle[1] - y) * across[1])
    at = (x + off * across[0], y + off * across[1] + 0.36 * _NUMBER_MM)
    return Text(at, words, _NUMBER_MM, Anchor.MIDDLE, weight=Weight.STRONG, halo=True)


def _step_at(run: Sequence[Point], at_mm: float) -> tuple[Point, Point]:
    """A short step along the run, its middle so far from the start."""
    gone = 0.0
    for (ax, ay), (bx, by) in itertools.pairwise(run):
        length = math.dist((ax, ay), (bx, by))
        if length and gone + length >= at_mm - 1e-9:
            ways = [(at_mm - gone + half) / length for half in (-_STEP_MM / 2, _STEP_MM / 2)]
            first, last = ((ax + way * (bx - ax), ay + way * (by - ay)) for way in ways)
            return first, last
        gone += length
    return run[0], run[-1]


def _stepped(run: Sequence[Point]) -> Iterator[Point]:
    """Points along the run, close enough that no number slips between two of them."""
    for (ax, ay), (bx, by) in itertools.pairwise(run):
        count = math.ceil(math.dist((ax, ay), (bx, by)) / _STEP_MM)
        yield from ((ax + (bx - ax) * n / count, ay + (by - ay) * n / count) for n in range(count + 1) if count)


def _overlap(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = *one, *other
    return ax < dx and cx < bx and ay < dy and cy < by


def _holds(box: tuple[Point, Point], point: Point) -> bool:
    (ax, ay), (bx, by) = box
    return ax <= point[0] <= bx and ay <= point[1] <= by


def _stretch(piece: Piece, side: SeamSide) -> list[Point]:
    """Points along the stretch, from where it starts."""
    low, high = sorted((side.from_mm, side.to_mm))
    _, rest = split_curves(piece.edge(side.edge).curves, low)
    stretch, _ = split_curves(rest, high - low)
    points = [point for curve in stretch for point in curve.points(0.2)]
    return points[::-1] if side.to_mm < side.from_mm else points
