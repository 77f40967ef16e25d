"""A cover to work from: the template with its scraps numbered in order, what is cut off them, sizes and joins."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from bagwright.geometry.curves import Affine, Point, steps_length_mm
from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import border_off
from bagwright.model.cover import LEAST_CUT_MM, Cover, CoverRequest, ScrapPlacement
from bagwright.model.stash import PictureAt
from bagwright.output.drawing import (
    Anchor,
    Drawing,
    Figure,
    Fill,
    Ink,
    Item,
    Path,
    Photo,
    PictureFile,
    Text,
    bounds_of,
    framed,
)
from bagwright.output.labels import Label, place_label
from bagwright.output.layouts import thinned
from bagwright.output.lettering import one_line, text_width_mm
from bagwright.output.rulers import (
    Measuring,
    dimension_across,
    dimension_up,
    round_reduction,
    ruler,
    told_scale,
    told_share,
)
from bagwright.units import UnitSystem

COVER_SIZE_MM = (180.0, 150.0)
_NUMBER_SIZES_MM = (6.0, 4.5, 3.4, 2.6)
_LINE_SIZE_MM = 3.0
_LINE_PITCH_MM = 4.6
_OFF_MM = 0.1
_CUT_SIZE_MM = 2.6
_CUT_OFF_MM = 1.2
_SMOOTH_DEG = 20.0


@dataclass(frozen=True, slots=True)
class ScrapLook:
    """How a scrap is shown: what it is called, and its picture with where that lies in the frame of the scrap."""

    name: str
    picture: PictureFile | None = None
    at: PictureAt | None = None


Looks = Mapping[str, ScrapLook]


@dataclass(frozen=True, slots=True)
class _Frame:
    """From the template, y up, to paper, y down."""

    low: Point
    high: Point
    reduction: float

    def on_paper(self, point: Point) -> Point:
        return (point[0] - self.low[0]) / self.reduction, (self.high[1] - point[1]) / self.reduction

    def ring(self, ring: Sequence[Point]) -> tuple[Point, ...]:
        return tuple(thinned([self.on_paper(point) for point in ring]))


def true_scale_cover(request: CoverRequest, cover: Cover, turn_deg: float = 0.0) -> Figure:
    """The template at true scale with its scraps numbered, what is cut off left out; turned as a whole."""
    turn = Affine(turn_deg)
    asked = replace(
        request,
        need=request.need.moved(turn),
        keep_off=tuple(tuple(map(turn.apply, line)) for line in request.keep_off),
    )
    places = tuple(replace(one, kept=tuple(part.moved(turn) for part in one.kept)) for one in cover.placements)
    laid = replace(cover, placements=places)
    low_x, low_y, high_x, high_y = asked.need.bounds
    frame = _Frame((low_x, low_y), (high_x, high_y), 1.0)
    kept = [
        Path(frame.ring(part.outer_ring()), Ink.CUT, Fill.PAPER, closed=True) for one in places for part in one.kept
    ]
    return Figure(
        (
            *_bare(asked, laid, frame),
            *kept,
            *_template(asked, frame),
            *_numbers(places, frame, {one.id: ScrapLook("") for one in places}),
        )
    )


def draw_cover(
    request: CoverRequest,
    cover: Cover,
    *,
    units: UnitSystem,
    size_mm: tuple[float, float] = COVER_SIZE_MM,
    looks: Looks | None = None,
) -> Drawing:
    """The template to scale. Cuts are strong lines; what they take off is dashed; bare parts are shaded.

    `looks`: what to call the scraps instead of their ids, and their own pictures, shown on what stays of them.
    """
    called = {one.id: ScrapLook(one.id) for one in cover.placements} | dict(looks or {})
    outlines = _outlines(request, cover)
    everything = Region.union([request.need, *outlines])
    low_x, low_y, high_x, high_y = everything.bounds
    needed = max((high_x - low_x) / size_mm[0], (high_y - low_y) / size_mm[1], 1.0)
    frame = _Frame((low_x, low_y), (high_x, high_y), round_reduction(needed))
    items = [*_bare(request, cover, frame), *_scraps(cover.placements, outlines, (frame, called))]
    items += [*_trims(cover.placements, outlines, frame), *_template(request, frame)]
    items += _numbers(cover.placements, frame, called)
    items += _cut_lengths(cover.placements, outlines, frame, Measuring(units, 16))
    items += _sizes(request, frame, Measuring(units, 16))
    top = bounds_of(items)[3] + 3.0
    items += ruler(max((high_x - low_x) / frame.reduction, 30.0), frame.reduction, units, top_mm=top)
    lines = _lines(cover, outlines, Measuring(units, 16), called)
    items += _list(lines, top_mm=bounds_of(items)[3] + 7.0)
    words = (
        f"{len(cover.placements)} scraps cover {told_share(cover.measures.covered_share)} of the template, "
        f"cuts: {cover.measures.cuts}; drawn at {told_scale(frame.reduction)}."
    )
    return framed(items, margin_mm=2.0, title="Scraps under the template", description=words)


def _outlines(request: CoverRequest, cover: Cover) -> list[Region]:
    scraps = {scrap.id: scrap.region for scrap in request.scraps}
    return [scraps[one.id].moved(one.move) for one in cover.placements]


def _bare(request: CoverRequest, cover: Cover, frame: _Frame) -> Iterator[Item]:
    kept = [part for one in cover.placements for part in one.kept]
    for part in request.need.minus_all(kept).parts():
        if part.area_mm2 > 1:
            yield Path(frame.ring(part.outer_ring()), None, Fill.SHADE, closed=True)


def _scraps(
    placements: Sequence[ScrapPlacement], outlines: Sequence[Region], shown: tuple[_Frame, Looks]
) -> Iterator[Item]:
    """First what is cut off, then what stays on top of it."""
    frame, looks = shown
    for one, outline in zip(placements, outlines, strict=True):
        if outline.area_mm2 - one.kept_mm2 > 1:
            yield from (Path(frame.ring(part.outer_ring()), Ink.STITCH, closed=True) for part in outline.parts())
    for one in placements:
        rings = [frame.ring(part.outer_ring()) for part in one.kept]
        yield from (Path(ring, Ink.HAIRLINE, Fill.PAPER, closed=True) for ring in rings)
        if looks[one.id].picture:
            yield from _photo(one, frame, looks[one.id])
            yield from (Path(ring, Ink.HAIRLINE, closed=True) for ring in rings)


def _photo(place: ScrapPlacement, frame: _Frame, look: ScrapLook) -> Iterator[Item]:
    """The scrap's own picture, turned as it lies, on what stays of it."""
    if look.picture and look.at:
        left, right, below = (frame.on_paper(place.move.apply(corner)) for corner in look.at)
        yield Photo((left, right, below), look.picture, tuple(frame.ring(part.outer_ring()) for part in place.kept))


def _trims(placements: Sequence[ScrapPlacement], outlines: Sequence[Region], frame: _Frame) -> Iterator[Item]:
    for one, outline in zip(placements, outlines, strict=True):
        for run in cut_lines(one, outline):
            yield Path(tuple(map(frame.on_paper, run)), Ink.CUT)


def cut_lines(place: ScrapPlacement, outline: Region) -> list[tuple[Point, ...]]:
    """Where a scrap is cut, in the frame of the template; `outline`: that of the whole scrap as it lies."""
    return [
        tuple(run) for run in border_off(Region.union(place.kept), outline, within_mm=_OFF_MM, least_mm=LEAST_CUT_MM)
    ]


def single_cuts(place: ScrapPlacement, outline: Region) -> list[tuple[Point, ...]]:
    """`cut_lines` from corner to corner, each one cut of the blade: what follows smoothly is cut in one go."""
    return [cut for run in cut_lines(place, outline) for cut in _corner_to_corner(run)]


def _corner_to_corner(run: Sequence[Point]) -> Iterator[tuple[Point, ...]]:
    start = 0
    for corner in range(1, len(run) - 1):
        if _turn_deg(run[corner - 1], run[corner], run[corner + 1]) > _SMOOTH_DEG:
            yield tuple(run[start : corner + 1])
            start = corner
    yield tuple(run[start:])


def _turn_deg(a: Point, b: Point, c: Point) -> float:
    first, then = math.atan2(b[1] - a[1], b[0] - a[0]), math.atan2(c[1] - b[1], c[0] - b[0])
    return abs(math.degrees(math.remainder(then - first, math.tau)))


def _cut_lengths(
    placements: Sequence[ScrapPlacement], outlines: Sequence[Region], frame: _Frame, measuring: Measuring
) -> Iterator[Item]:
    """How long each cut is, along it, on the part that stays; none where there is no room for it."""
    for one, outline in zip(placements, outlines, strict=True):
        kept = Region.union(one.kept)
        for cut in single_cuts(one, outline):
            told = measuring.told(steps_length_mm(cut))
            start, end = max(pairwise(cut), key=lambda pair: math.dist(*pair))
            if math.dist(start, end) / frame.reduction > text_width_mm(told, _CUT_SIZE_MM) + 2.0:
                yield _along(start, end, (kept, frame), told)


def _along(start: Point, end: Point, shown: tuple[Region, _Frame], told: str) -> Text:
    kept, frame = shown
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    length = math.dist(start, end)
    side = ((start[1] - end[1]) / length, (end[0] - start[0]) / length)
    beside = (x + side[0], y + side[1])
    if not kept.holds(Region.rectangle(beside, (beside[0] + _OFF_MM, beside[1] + _OFF_MM))):
        side = (-side[0], -side[1])
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    turn -= 180 * math.ceil((turn - 90.001) / 180)
    is_above = side[1] * math.cos(math.radians(turn)) - side[0] * math.sin(math.radians(turn)) > 0
    off = _CUT_OFF_MM if is_above else _CUT_OFF_MM + 0.72 * _CUT_SIZE_MM
    at = frame.on_paper((x, y))
    place = (at[0] + off * side[0], at[1] - off * side[1])
    return Text(place, told, _CUT_SIZE_MM, Anchor.MIDDLE, turn, halo=True, is_measure=True)


def _template(request: CoverRequest, frame: _Frame) -> Iterator[Item]:
    for part in request.need.parts():
        yield Path(frame.ring(part.outer_ring()), Ink.OUTLINE, closed=True)
    for hole in request.need.hole_rings():
        yield Path(frame.ring(hole), Ink.OUTLINE, closed=True)
    for line in request.keep_off:
        yield Path(tuple(map(frame.on_paper, line)), Ink.FOLD)


def _numbers(placements: Sequence[ScrapPlacement], frame: _Frame, looks: Looks) -> Iterator[Item]:
    for number, one in enumerate(placements, 1):
        largest = max(one.kept, key=lambda part: part.area_mm2)
        room = Region.from_ring([frame.on_paper(point) for point in largest.outer_ring()])
        for label in (
            Label(f"{number}", tuple(filter(None, (looks[one.id].name,))), halo=True),
            Label(f"{number}", halo=True),
        ):
            placed = place_label(label, room, (), sizes_mm=_NUMBER_SIZES_MM)
            if placed:
                yield from placed.items
                break


def _sizes(request: CoverRequest, frame: _Frame, measuring: Measuring) -> Iterator[Item]:
    low_x, low_y, high_x, high_y = request.need.bounds
    left, bottom = frame.on_paper((low_x, low_y))
    right, top = frame.on_paper((high_x, high_y))
    lowest = (frame.high[1] - frame.low[1]) / frame.reduction
    yield from dimension_across(left, right, lowest + 5.0, measuring.told(high_x - low_x))
    yield from dimension_up(top, bottom, -5.0, measuring.told(high_y - low_y))


def _lines(cover: Cover, outlines: Sequence[Region], measuring: Measuring, looks: Looks) -> Iterator[str]:
    """What to do, scrap by scrap, and what it comes to."""
    for number, (one, outline) in enumerate(zip(cover.placements, outlines, strict=True), 1):
        told = [measuring.told(steps_length_mm(cut)) for cut in single_cuts(one, outline)]
        cuts = f", cut {', '.join(told)}" if told else ", as it is"
        yield f"{number}  {looks[one.id].name}{cuts}"
    measures = cover.measures
    said = [f"joins {measuring.told(measures.join_mm)}"] if len(cover.placements) > 1 else []
    said += [f"cuts {measures.cuts}", f"covered {told_share(measures.covered_share)}"]
    said.append(f"widest gap {measuring.told(measures.widest_gap_mm)}" if measures.widest_gap_mm else "no gap")
    words = ", ".join(said)
    yield f"{words[0].upper()}{words[1:]}."


def _list(lines: Iterable[str], *, top_mm: float) -> Iterator[Item]:
    for number, words in enumerate(lines):
        yield Text((0.0, top_mm + number * _LINE_PITCH_MM), one_line(words), _LINE_SIZE_MM)
