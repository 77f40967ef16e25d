"""Pieces of the maker's own: one piece with every edge named and its direction shown; several as a small sketch."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Point
from bagwright.geometry.outline import Edge, Outline
from bagwright.geometry.region import Region
from bagwright.model.piece import Piece
from bagwright.output.drawing import Anchor, Dot, Drawing, Fill, Ink, Item, Path, Text, framed, text_box
from bagwright.output.lettering import Weight, shortened
from bagwright.output.piece_lines import Frame, cut_runs, notch_ticks, stitch_runs, told_count, told_key
from bagwright.output.piece_marks import area_of, fold_items, grain_arrow, mark_items
from bagwright.output.rulers import arrow_head, round_reduction, told_scale

WIDTH_MM, HIGHEST_MM = 104.0, 78.0
_NAME_MM = 4.2
_LONGEST_NAME_MM = 40.0
_AWAY_MM = (3.4, 5.0, 7.0, 9.5)
"""How far inside its edge a name is tried, nearest first."""
_SLIDES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
_SKETCH_MM = 44.0
_SKETCH_GAP_MM = 3.0
_MOST_SKETCHED = 4


def told_edge(name: str) -> str:
    """An edge as the page calls it: the number alone, as long as it has no name.

    >>> told_edge("edge_12"), told_edge("top_left")
    ('12', 'top left')
    """
    number = name.removeprefix("edge_")
    return number if number != name and number.isdigit() else told_key(name)


def edge_in_words(name: str) -> str:
    """An edge within a sentence.

    >>> edge_in_words("edge_12"), edge_in_words("top_left")
    ('edge 12', 'top left')
    """
    told = told_edge(name)
    return f"edge {told}" if told.isdigit() else told


def draw_named_edges(piece: Piece) -> Drawing:
    """The piece with cut line, stitch line and marks; each edge with its name and an arrow the way it is walked."""
    left, low, right, high = piece.net.region(0.5).bounds
    reduction = round_reduction(max((right - left) / WIDTH_MM, (high - low) / HIGHEST_MM, 0.5))
    frame = Frame(reduction)
    inside = Region.from_ring(frame.all_on_paper(piece.net.ring(frame.tolerance_mm))).grown(-0.6)
    marks = [*fold_items(piece, frame), *mark_items(piece, frame, inside)]
    lines = [*_lines(piece, frame), *marks]
    taken: list[Region] = [area_of(mark) for mark in marks]
    names: list[Item] = []
    for edge in piece.net.edges:
        arrow, name = _arrow(edge, frame), _name(edge, frame, inside, taken)
        names += [*arrow, name]
        taken.append(_box_of(name))
    ends = [Dot(frame.on_paper(edge.start), 0.8, None, Fill.SOLID) for edge in piece.net.edges]
    grain = grain_arrow(piece, frame, inside, taken, share=0.34)
    told = "; ".join(told_edge(edge.name) for edge in piece.net.edges)
    words = f"{piece.name}, {told_count(piece)}, {told_scale(reduction)}. Its edges, counter-clockwise: {told}."
    return framed([*lines, *grain, *ends, *names], margin_mm=2.0, title=piece.name, description=words)


def _lines(piece: Piece, frame: Frame) -> Iterator[Item]:
    for run in stitch_runs(piece, frame.tolerance_mm):
        yield Path(frame.all_on_paper(run), Ink.STITCH)
    for run in cut_runs(piece, frame.tolerance_mm):
        is_ring = run[0] == run[-1]
        yield Path(frame.all_on_paper(run[:-1] if is_ring else run), Ink.CUT, closed=is_ring)
    for outer, inner in notch_ticks(piece, least_mm=1.3 * frame.reduction):
        yield Path((frame.on_paper(outer), frame.on_paper(inner)), Ink.NOTCH)


def _arrow(edge: Edge, frame: Frame) -> list[Item]:
    """An arrow head in the middle of the edge, unless it is too short to carry one."""
    length = edge.length_mm
    if length / frame.reduction < 3.0:
        return []
    dx, dy = edge.direction_at(length / 2)
    return [arrow_head(frame.on_paper(edge.at(length / 2)), (dx, -dy), Ink.MEASURE, length_mm=2.2)]


def _name(edge: Edge, frame: Frame, inside: Region, taken: Sequence[Region]) -> Text:
    """The name near the middle of the edge, where it has room inside the piece; else outside."""
    words = shortened(told_edge(edge.name), _LONGEST_NAME_MM, _NAME_MM, Weight.STRONG)
    for share, away in itertools.product(_SLIDES, _AWAY_MM):
        text = _text_at(words, _beside(edge, share, away, frame))
        box = _box_of(text)
        if inside.holds(box) and not any(box.overlap_mm2(other) > 0 for other in taken):
            return text
    return _text_at(words, _beside(edge, 0.5, -_AWAY_MM[1], frame))


def _beside(edge: Edge, share: float, away_mm: float, frame: Frame) -> Point:
    """A point on paper beside the edge, inwards; farther where the name is wider than high."""
    at_mm = share * edge.length_mm
    (x, y), (dx, dy) = frame.on_paper(edge.at(at_mm)), edge.direction_at(at_mm)
    return x - dy * away_mm, y - dx * away_mm


def _text_at(words: str, middle: Point) -> Text:
    x, y = middle
    return Text((x, y + 0.34 * _NAME_MM), words, _NAME_MM, Anchor.MIDDLE, weight=Weight.STRONG, halo=True)


def _box_of(text: Text) -> Region:
    return Region.rectangle(*text_box(text))


def draw_own_sketch(pieces: Sequence[Piece]) -> Drawing:
    """The largest pieces side by side, to fit the small square in which other bags are sketched."""
    shown = sorted(pieces, key=lambda piece: -piece.net.area_mm2)[:_MOST_SKETCHED]
    boxes = [piece.net.region(0.5).bounds for piece in shown]
    room = _SKETCH_MM - _SKETCH_GAP_MM * (len(shown) + 1)
    scale = min(
        room / sum(right - left for left, _, right, _ in boxes),
        (_SKETCH_MM - 2 * _SKETCH_GAP_MM) / max(high - low for _, low, _, high in boxes),
    )
    wide = sum(scale * (right - left) + _SKETCH_GAP_MM for left, _, right, _ in boxes) - _SKETCH_GAP_MM
    x = (_SKETCH_MM - wide) / 2
    items: list[Item] = []
    for piece, (left, low, right, _) in zip(shown, boxes, strict=True):
        items.append(_sketched(piece.net, scale, (x - scale * left, _SKETCH_MM - _SKETCH_GAP_MM + scale * low)))
        x += scale * (right - left) + _SKETCH_GAP_MM
    told = "; ".join(f"{piece.name}: {told_count(piece)}" for piece in pieces)
    return Drawing(_SKETCH_MM, _SKETCH_MM, tuple(items), "Your own pieces", told)


def _sketched(net: Outline, scale: float, origin: Point) -> Path:
    ring = net.ring(0.05 / scale)
    points = tuple((origin[0] + scale * x, origin[1] - scale * y) for x, y in ring)
    return Path(points, Ink.OUTLINE, Fill.PAPER, closed=True)
