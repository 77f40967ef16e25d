"""A layout for the cutting table: straight cuts numbered in their order, what is left marked by letter, one page."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.cuts import Cut, CutWay
from bagwright.model.layout import Layout, LayPiece
from bagwright.model.material import MaterialKind
from bagwright.model.remnant import Remnant
from bagwright.output.cloth import Cloth
from bagwright.output.cut_columns import SMALLEST_LINES, SheetWords, set_lines, set_words
from bagwright.output.drawing import (
    Anchor,
    Dot,
    Drawing,
    Fill,
    Hatch,
    Ink,
    Item,
    Path,
    Text,
    Tone,
    bounds_of,
    framed,
    line,
    shifted,
    text_box,
)
from bagwright.output.labels import Label, place_label
from bagwright.output.layouts import key_lines, placed_pieces, thinned
from bagwright.output.lettering import Weight, one_line
from bagwright.output.print_marks import boxes_of, print_in_words, print_marks
from bagwright.output.rulers import Measuring, double_arrow, ruler
from bagwright.output.tiling import PAPER_MM, Paper, Sheet, page_heading
from bagwright.units import UnitSystem

PLAN_WIDTH_MM = 200.0
_BADGE_MM = 2.3
_SMALL_BADGE_MM = 1.5
_BADGE_GAP_MM = 0.4
_RINGS_APART_MM = 3 * _SMALL_BADGE_MM
_SHORT_CUT_MM = 18.0
"""Cuts shorter than this on paper lie among small pieces: their numbers are smaller."""
_REMNANT_SIZES_MM = (3.4, 2.9, 2.4)
_PLAN_SHARE = 0.5
_GRAIN_MM = 26.0
_OPENED = "Drawn opened: cuts are numbered on one side of the fold, and the other side is cut with it."


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """What is drawn. `cuts`: in their order; where all is cut double those of the lower half, up to the fold."""

    layout: Layout
    pieces: Sequence[LayPiece]
    names: Mapping[str, str]
    kind: MaterialKind
    table_length_mm: float
    cuts: Sequence[Cut] = ()
    remnants: Sequence[Remnant] = ()
    is_doubled: bool = False


def remnant_letter(number: int) -> str:
    """Name of a remnant on the drawing and in words: R1 is the largest."""
    return f"R{number + 1}"


def draw_cut_plan(plan: CutPlan, *, units: UnitSystem, fraction: int = 16, width_mm: float = PLAN_WIDTH_MM) -> Drawing:
    """The cloth to scale with numbered cuts and lettered remnants."""
    items, reduction = _plan_items(plan, Measuring(units, fraction), width_mm)
    met = print_in_words(print_marks(_cloth(plan, width_mm), plan.pieces, plan.names)[1])
    straight = sum(cut.way is not CutWay.ROUND for cut in plan.cuts)
    words = (
        f"{len(plan.layout.placements)} pieces, {straight} straight cuts in their order, {len(plan.remnants)} shapes "
        f"left over; drawn {reduction:.3g} times smaller.{met}"
    )
    return framed(items, margin_mm=1.5, title=f"Order of cuts on {plan.kind}", description=words)


def _cloth(plan: CutPlan, width_mm: float) -> Cloth:
    """A fold is drawn only if it is there when the cloth is cut."""
    layout = plan.layout if plan.is_doubled else replace(plan.layout, doubled_to_mm=0.0)
    return Cloth.fitted(layout, plan.kind, plan.table_length_mm, width_mm=width_mm)


def _plan_items(plan: CutPlan, measuring: Measuring, width_mm: float) -> tuple[list[Item], float]:
    cloth = _cloth(plan, width_mm)
    marks, letters = print_marks(cloth, plan.pieces, plan.names)
    regions = {piece.id: piece.region for piece in plan.pieces}
    placed, key = placed_pieces(cloth, regions, plan.names, taken=boxes_of(marks))
    items = [*cloth.ground(edge=None), *_left_over(cloth, plan.remnants, measuring), *placed, *cloth.borders()]
    items += [
        *_cut_lines(
            cloth, plan.cuts, _Taken(_corners(cloth, plan), [text_box(one) for one in placed if isinstance(one, Text)])
        ),
        *_corner(cloth),
        *marks,
        *cloth.measures(measuring, all_of_it=f"on the table {measuring.told(plan.table_length_mm)}"),
    ]
    items += _grain(cloth, is_doubled=plan.is_doubled, top_mm=bounds_of(items)[3] + 4.0)
    items += key_lines({**key, **letters}, width_mm, top_mm=bounds_of(items)[3] + 1.0)
    items += ruler(max(cloth.size[0], 30.0), cloth.reduction, measuring.units, top_mm=bounds_of(items)[3] + 3.0)
    return items, cloth.reduction


def _left_over(cloth: Cloth, remnants: Sequence[Remnant], measuring: Measuring) -> Iterator[Item]:
    fold = cloth.fold_room()
    for number, remnant in enumerate(remnants):
        ring = thinned([cloth.on_paper(point) for point in remnant.region.outer_ring()])
        yield Path(tuple(ring), Ink.HAIRLINE, Hatch(cloth.kind, pale=True), closed=True)
        size = measuring.told_size(remnant.length_mm, remnant.width_mm)
        label = Label(remnant_letter(number), (size,), halo=True)
        room = Region.from_ring(ring).grown(-0.6)
        found = place_label(label, room, fold, sizes_mm=_REMNANT_SIZES_MM) or place_label(
            Label(remnant_letter(number), halo=True), room, fold, sizes_mm=_REMNANT_SIZES_MM
        )
        yield from found.items if found else ()


def _corners(cloth: Cloth, plan: CutPlan) -> list[Point]:
    """Corners of all pieces on paper."""
    regions = {piece.id: piece.region for piece in plan.pieces}
    laid = [regions[place.id].moved(place.move) for place in plan.layout.placements]
    return [point for region in laid for point in thinned([cloth.on_paper(at) for at in region.outer_ring()])]


@dataclass(frozen=True, slots=True)
class _Taken:
    """What numbers of cuts should not hide: corners of pieces, and boxes of their names."""

    corners: Sequence[Point]
    boxes: Sequence[tuple[Point, Point]]

    def is_clear(self, at: Point, radius_mm: float) -> bool:
        """Whether a ring there hides none of it."""
        return all(math.dist(at, corner) > radius_mm + _BADGE_GAP_MM for corner in self.corners) and not any(
            low[0] - radius_mm < at[0] < high[0] + radius_mm and low[1] - radius_mm < at[1] < high[1] + radius_mm
            for low, high in self.boxes
        )


def _cut_lines(cloth: Cloth, cuts: Sequence[Cut], taken: _Taken) -> list[Item]:
    """Each straight cut as a strong line, its number in a ring near its start, clear of other numbers and `taken`.

    Of cuts side by side that are too close for a ring each, only the first and the last are numbered.
    """
    lines: list[Item] = []
    badges: list[Dot] = []
    numbers: list[Text] = []
    between = set(_too_close(cloth, cuts))
    for number, cut in enumerate(cuts, start=1):
        if cut.way is CutWay.ROUND:
            continue
        start, end = cloth.on_paper(cut.start), cloth.on_paper(cut.end)
        lines.append(line(start, end, Ink.CUT))
        if number in between:
            continue
        badges.append(_badge(start, end, badges, taken))
        size = (1.3 if number < 100 else 1.0) * badges[-1].radius_mm
        (x, y), said = badges[-1].centre, str(number)
        numbers.append(Text((x, y + size / 3), said, size, Anchor.MIDDLE, weight=Weight.STRONG))
    return [*lines, *(item for pair in zip(badges, numbers, strict=True) for item in pair)]


def _too_close(cloth: Cloth, cuts: Sequence[Cut]) -> Iterator[int]:
    """Numbers of the short cuts between the first and the last told together, if they lie too close for rings."""
    for _, group in groupby(enumerate(cuts, start=1), key=lambda one: one[1].alike):
        alike = [(number, cut) for number, cut in group if cut.length_mm < _SHORT_CUT_MM * cloth.reduction]
        apart = [abs(cut.at_mm - before.at_mm) / cloth.reduction for (_, before), (_, cut) in pairwise(alike)]
        if apart and min(apart) < _RINGS_APART_MM:
            yield from (number for number, _ in alike[1:-1])


def _badge(start: Point, end: Point, badges: Sequence[Dot], taken: _Taken) -> Dot:
    """A ring on the line, as near its start as it hides nothing: smaller if need be, at last over what is `taken`."""
    radii = (_BADGE_MM, _SMALL_BADGE_MM) if math.dist(start, end) > _SHORT_CUT_MM else (_SMALL_BADGE_MM,)
    shares = [step / 20 for step in range(2, 19)]
    places = [(start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])) for share in shares]
    last = places[len(places) // 2]
    for radius in radii:
        free = [
            at
            for at in places
            if all(math.dist(at, one.centre) > radius + one.radius_mm + _BADGE_GAP_MM for one in badges)
        ]
        for at in free:
            if taken.is_clear(at, radius):
                return Dot(at, radius, Ink.OUTLINE, Fill.PAPER)
        last = next(iter(free), last)
    return Dot(last, radii[-1], Ink.OUTLINE, Fill.PAPER)


def _corner(cloth: Cloth) -> list[Item]:
    """The corner from which everything is measured."""
    x, y = cloth.on_paper((0.0, 0.0))
    return [Dot((x, y), 1.5, fill=Fill.SOLID)]


def _grain(cloth: Cloth, *, is_doubled: bool, top_mm: float) -> list[Item]:
    """Which way the grain runs, and what the dot means."""
    if cloth.hangs:
        arrow = double_arrow((3.0, top_mm), (3.0, top_mm + 9.0))
        at = (8.0, top_mm + 5.5)
    else:
        arrow = double_arrow((0.0, top_mm + 1.5), (_GRAIN_MM, top_mm + 1.5))
        at = (_GRAIN_MM + 4.0, top_mm + 2.6)
    told = "lengthwise grain, along the selvedges" if cloth.kind.has_grain else "length of the cloth"
    end = "at the top" if cloth.hangs else "on the left"
    edge = "selvedge" if cloth.has_selvedges else "edge"
    lines = [told, f"The cut end is {end}. Measure from it and from the {edge} at the dot, unless told otherwise."]
    lines += [_OPENED] if is_doubled else []
    return [*arrow, *(Text((at[0], at[1] + 4.4 * row), said, 3.2, tone=Tone.SOFT) for row, said in enumerate(lines))]


def draw_cut_sheet(
    plan: CutPlan, words: SheetWords, *, paper: str, units: UnitSystem, fraction: int = 16
) -> list[Drawing]:
    """A whole page for the cutting table; what finds no room on it in letters of 2.4 mm goes on on further pages."""
    sheet = Sheet(Paper.called(paper))
    (left, top), (right, bottom) = sheet.low, sheet.high
    measuring = Measuring(units, fraction)
    plan_items, reduction = _plan_items(plan, measuring, right - left)
    low_x, low_y, high_x, high_y = bounds_of(plan_items)
    smaller = min((right - left) / (high_x - low_x), max(_PLAN_SHARE * (bottom - top) / (high_y - low_y), 0.4))
    if smaller < 1:
        plan_items, reduction = _plan_items(plan, measuring, (right - left) * smaller)
    low_x, low_y, _, high_y = bounds_of(plan_items)
    under = f"{one_line(words.under_title)} Drawn about 1 : {reduction:.3g}."
    items: list[Item] = [
        *_heading(sheet),
        Text((left, top + 7.0), one_line(words.title), 6.5, weight=Weight.STRONG),
        Text((left, top + 13.0), under, 3.3, tone=Tone.SOFT, is_measure=True),
        *(shifted(item, left - low_x, top + 17.0 - low_y) for item in plan_items),
    ]
    texts, rest = set_words(words, (left, top + 17.0 + high_y - low_y + 4.0), (right, bottom))
    pages = [[*items, *texts]]
    while rest:
        texts, rest = set_lines(rest, sheet.low, sheet.high, SMALLEST_LINES)
        pages.append([*_heading(sheet), *texts])
    size = PAPER_MM[Paper.called(paper)]
    return [Drawing(*size, tuple(page), one_line(words.title), one_line(words.under_title)) for page in pages]


def _heading(sheet: Sheet) -> list[Item]:
    return page_heading(sheet, "For the cutting table", "Made smaller: go by the measures, not by a rule on this page")
