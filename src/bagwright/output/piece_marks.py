"""What is drawn within a piece: fold bracket, placement lines, drill marks, grain arrow."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.piece import DrillMark, Piece, PlacementLine
from bagwright.output.drawing import Anchor, Dot, Ink, Item, Path, Text, Tone, bounds_of, line, text_box
from bagwright.output.lettering import ELLIPSIS, shortened
from bagwright.output.piece_lines import Frame, cut_shape, fold_run, told_key
from bagwright.output.rulers import arrow_head, double_arrow

_LEAST_NAMED_RUN_MM = 8.0
_LONGEST_OUTSIDE_MM = 12.0
_WHOLE_NAME = 24
_SAME_POINT_MM = 0.01
_LEAST_APART_MM = 0.7
_ASIDES = sorted((i / 20 - 0.5 for i in range(1, 20)), key=lambda aside: abs(abs(aside) - 0.36))
STRAP_MM = 16.0
"""Pieces narrower than this on paper carry their name beside the grain arrow rather than under it."""
_STRAP_SLIDES = (-0.3, 0.3, -0.36, 0.36)
_SLIDES = (0.0, 0.12, -0.12, 0.24, -0.24, 0.36, -0.36)


def area_of(item: Item, *, around_mm: float = 0.0) -> Region:
    """The area an item takes, with a little air around it, and so much more."""
    if isinstance(item, Path) and not item.closed:
        strips = [_strip(a, b, 0.4 + around_mm) for a, b in itertools.pairwise(item.points) if a != b]
        return Region.from_ring(strips[0]) if len(strips) == 1 else Region.union(map(Region.from_ring, strips))
    left, top, right, bottom = bounds_of([item])
    air = 0.3 + around_mm
    return Region.rectangle((left - air, top - air), (right + air, bottom + air))


def _strip(a: Point, b: Point, half_mm: float) -> list[Point]:
    run = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / run * half_mm, (b[1] - a[1]) / run * half_mm
    a, b = (a[0] - ux, a[1] - uy), (b[0] + ux, b[1] + uy)
    return [(a[0] - uy, a[1] + ux), (a[0] + uy, a[1] - ux), (b[0] + uy, b[1] - ux), (b[0] - uy, b[1] + ux)]


def fold_items(piece: Piece, frame: Frame) -> list[Item]:
    """The fold line, and inside it a bracket whose arrows point at it."""
    ends = fold_run(piece, frame.tolerance_mm)
    if ends is None:
        return []
    a, b = frame.all_on_paper(ends)
    run = math.dist(a, b)
    along = ((b[0] - a[0]) / run, (b[1] - a[1]) / run)
    side = _towards((-along[1], along[0]), a, frame.on_paper(_middle(piece)))
    depth = min(3.4, run / 5)

    def at(distance: float, inwards: float) -> Point:
        return (a[0] + along[0] * distance + side[0] * inwards, a[1] + along[1] * distance + side[1] * inwards)

    start, stop = run * 0.14, run * 0.86
    tips = [at(start, 0.5), at(stop, 0.5)]
    bracket = Path((tips[0], at(start, depth), at(stop, depth), tips[1]), Ink.GRAIN)
    heads = [arrow_head(tip, (-side[0], -side[1]), Ink.GRAIN, length_mm=min(1.8, depth / 2)) for tip in tips]
    words = _along("fold", (at(run / 2, depth), along), side, frame.mark_size_mm) if run > _LEAST_NAMED_RUN_MM else []
    return [line(a, b, Ink.FOLD), bracket, *heads, *words]


def _towards(side: Point, start: Point, aim: Point) -> Point:
    """`side` or its opposite, whichever points from `start` to the side of `aim`."""
    is_away = (aim[0] - start[0]) * side[0] + (aim[1] - start[1]) * side[1] < 0
    return (-side[0], -side[1]) if is_away else side


def _middle(piece: Piece) -> Point:
    left, low, right, high = cut_shape(piece, 0.5).bounds
    return (left + right) / 2, (low + high) / 2


def _along(words: str, line_at: Sequence[Point], side: Point, size_mm: float) -> list[Text]:
    """Small text along a level or upright line (its middle and direction), on the side given, turned to be read."""
    at, along = line_at
    if min(abs(along[0]), abs(along[1])) > 0.2:
        return []
    is_level = abs(along[0]) >= abs(along[1])
    ahead = side[1] if is_level else side[0]
    away = 0.9 + 0.76 * size_mm if ahead > 0 else -0.9
    spot = (at[0], at[1] + away) if is_level else (at[0] + away, at[1])
    return [Text(spot, words, size_mm, Anchor.MIDDLE, 0.0 if is_level else 90.0, tone=Tone.SOFT)]


def mark_items(piece: Piece, frame: Frame, inside: Region) -> list[Item]:
    """Placement lines and drill marks, with their names where these have room."""
    items: list[Item] = []
    taken: list[Region] = []
    lines = _lines_apart(piece.lines, frame)
    for mark in lines:
        a, b = frame.on_paper(mark.start), frame.on_paper(mark.end)
        items.append(line(a, b, Ink.MARK))
        taken.append(area_of(items[-1]))
    for drill in piece.drill_marks:
        x, y = frame.on_paper(drill.at)
        cross = [line((x - 1.5, y), (x + 1.5, y), Ink.MEASURE), line((x, y - 1.5), (x, y + 1.5), Ink.MEASURE)]
        items += [Dot((x, y), 0.9, Ink.OUTLINE), *cross]
        taken.append(Region.rectangle((x - 1.6, y - 1.6), (x + 1.6, y + 1.6)))
    for choices in _name_choices(lines, piece.drill_marks, frame):
        for text in choices:
            (left, top), (right, bottom) = text_box(text)
            box = Region.rectangle((left, top), (right, bottom))
            if inside.holds(box) and not any(box.overlap_mm2(area) > 0 for area in taken):
                items.append(text)
                taken.append(box)
                break
    return items


def _lines_apart(lines: Sequence[PlacementLine], frame: Frame) -> list[PlacementLine]:
    """Those that can be told apart on paper: of two that run along one another closer than that, the first."""
    kept: list[PlacementLine] = []
    apart_mm = _LEAST_APART_MM * frame.reduction
    for mark in lines:
        ends = [((k.start, k.end), (k.end, k.start)) for k in kept]
        near = (max(math.dist(mark.start, a), math.dist(mark.end, b)) for ways in ends for a, b in ways)
        if not any(far < apart_mm for far in near):
            kept.append(mark)
    return kept


def _name_choices(
    lines: Sequence[PlacementLine], drill_marks: Sequence[DrillMark], frame: Frame
) -> Iterator[list[Text]]:
    """For each mark, the ways to write its name, best first."""
    size = frame.mark_size_mm
    for name, mark in _named_lines(lines):
        a, b = frame.on_paper(mark.start), frame.on_paper(mark.end)
        run = math.dist(a, b)
        words = shortened(name, run - 1.0, size) if run > _LEAST_NAMED_RUN_MM else ""
        if not words or (words.endswith(ELLIPSIS) and len(name) <= _WHOLE_NAME):
            continue
        middle, along = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), ((b[0] - a[0]) / run, (b[1] - a[1]) / run)
        before = (0.0, -1.0) if abs(along[0]) >= abs(along[1]) else (-1.0, 0.0)
        after = (-before[0], -before[1])
        yield [text for side in (before, after) for text in _along(words, (middle, along), side, size)]
    for drill in drill_marks:
        x, y = frame.on_paper(drill.at)
        words = shortened(told_key(drill.name), 40.0, size)
        yield [
            Text((x + 2.3, y + 0.33 * size), words, size, tone=Tone.SOFT),
            Text((x - 2.3, y + 0.33 * size), words, size, Anchor.END, tone=Tone.SOFT),
            Text((x, y + 2.0 + 0.8 * size), words, size, Anchor.MIDDLE, tone=Tone.SOFT),
            Text((x, y - 2.2), words, size, Anchor.MIDDLE, tone=Tone.SOFT),
        ]


def _named_lines(lines: Sequence[PlacementLine]) -> Iterator[tuple[str, PlacementLine]]:
    """Each line to be named, with its name; lines that meet and share a first word are named once, by that word."""
    told = {mark: told_key(mark.name) for mark in lines}
    done: set[PlacementLine] = set()
    for mark in lines:
        word = told[mark].partition(" ")[0]
        chain = [other for other in lines if told[other].partition(" ")[0] == word and _is_joined(other, lines, word)]
        if mark in done:
            continue
        if mark in chain:
            done.update(chain)
            yield word, max(chain, key=lambda other: (_is_level(other), math.dist(other.start, other.end)))
        else:
            yield told[mark], mark


def _is_joined(mark: PlacementLine, lines: Sequence[PlacementLine], word: str) -> bool:
    """Whether another line of the same first word starts or ends where this one does."""
    ends = (mark.start, mark.end)
    return any(
        math.dist(end, end_of_other) < _SAME_POINT_MM
        for other in lines
        if other is not mark and told_key(other.name).partition(" ")[0] == word
        for end in ends
        for end_of_other in (other.start, other.end)
    )


def _is_level(mark: PlacementLine) -> bool:
    return abs(mark.end[1] - mark.start[1]) < abs(mark.end[0] - mark.start[0])


def _grain_direction(piece: Piece, frame: Frame) -> Point:
    turned = math.radians(piece.grain_deg + frame.turn_deg)
    return math.cos(turned), -math.sin(turned)


def grain_arrow(piece: Piece, frame: Frame, inside: Region, taken: Sequence[Region], *, share: float) -> list[Item]:
    """A grain arrow of that share of the piece, off everything `taken` and aside from the middle, if it has room."""
    free = inside.minus_all(taken)
    if free.is_empty:
        return []
    ux, uy = _grain_direction(piece, frame)
    left, top, right, bottom = inside.bounds
    x, y, wide, high = (left + right) / 2, (top + bottom) / 2, right - left, bottom - top
    reach_along, reach_across = abs(ux) * wide + abs(uy) * high, abs(uy) * wide + abs(ux) * high
    half = share * reach_along / 2
    if half < 2.0:
        return []
    # On a strap the arrow lies at one end, so that the name can stand in the middle.
    slides = _STRAP_SLIDES if reach_across < STRAP_MM and share < 0.5 else _SLIDES
    for asides in (_ASIDES[:1], _ASIDES[1:]):
        arrows = []
        for aside, slide in itertools.product(asides, slides):
            cx = x - uy * aside * reach_across + ux * slide * reach_along
            cy = y + ux * aside * reach_across + uy * slide * reach_along
            arrows.append(((cx - ux * half, cy - uy * half), (cx + ux * half, cy + uy * half)))
        held = free.holds_rings([_strip(*ends, 1.6) for ends in arrows])
        if any(held):
            return double_arrow(*arrows[held.index(True)])
    return []


def grain_outside(piece: Piece, frame: Frame, shape: tuple[float, float, float, float]) -> list[Item]:
    """The grain arrow beside a piece that is too small to hold it."""
    ux, uy = _grain_direction(piece, frame)
    left, top, right, bottom = shape
    half = min(max(abs(ux) * (right - left) + abs(uy) * (bottom - top), 5.0), _LONGEST_OUTSIDE_MM) / 2
    x, y = right + 2.0 + abs(ux) * half, (top + bottom) / 2
    return double_arrow((x - ux * half, y - uy * half), (x + ux * half, y + uy * half))
