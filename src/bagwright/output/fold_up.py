"""The folded-up bag seen from any side, far off: what is nearer hides what is behind. One way for every bag."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import Point
from bagwright.geometry.facets import EdgeKind
from bagwright.geometry.sight import Sheet, SightTree, sight_tree
from bagwright.geometry.solids import reach_mm
from bagwright.geometry.space import Point3, dot
from bagwright.model.fold_up import GAP_TOLERANCE_MM, FoldedFacet, FoldUp
from bagwright.output.drawing import Drawing, Fill, Ink, Item, Path, Window, shifted
from bagwright.output.rulers import Measuring, ruler
from bagwright.units import UnitSystem

VIEW_WIDTH_MM = 84.0
VIEW_HEIGHT_MM = (60.0, 96.0)
"""A picture is as high as its bag needs, within these."""
USUAL_TURN_DEG, USUAL_TILT_DEG = 30.0, 20.0
STEEPEST_DEG = 90.0
_MARGIN_MM = 3.0
_RULER_MM = 8.0
_ROOMY_TILT_DEG = 60
"""Up to here a bag keeps clear of the edges of its picture; from straight above, a deep one may touch them."""
_HATCH_MM = 1.6
_OVERLAP_MM = 0.12
_SAME_MM = 2.0
_DIM_SHARE = 0.45
"""Faces that take less of the light than this are a tone darker."""
_LIGHT = (-0.35, 0.55, 0.75)
"""Where the light comes from: from the left, from above, from the eye (to the right, up, towards the eye)."""
_MOST_OVER_BODY = 2.4
_TONES = {
    "lining": (Fill.SHADE, Fill.SHADE),
    "pocket": (Fill.CLOTH, Fill.CLOTH),
    "strap": (Fill.PAPER, Fill.PAPER),
    **dict.fromkeys(("base", "tab", "zip_chain"), (Fill.CLOTH, Fill.SHADE)),
}
"""Of a role the tones in the light and out of it; everything else is light."""


@dataclass(frozen=True, slots=True)
class FoldedBag:
    """A folded-up bag made ready to be looked at: what hides what is worked out once for all views.

    `wide_mm` and `high_mm`: the room it takes at most, however it is turned about `middle`. `backed`: facets whose
    wrong side is covered by the like of them, an outer by its lining.
    """

    fold: FoldUp
    tree: SightTree | None
    backed: frozenset[int]
    middle: Point3
    wide_mm: float
    high_mm: float


def ready_to_see(fold: FoldUp) -> FoldedBag:
    """Work out what hides what, and the room for all views."""
    sheets = [
        Sheet(facet.points, facet.edges, facet.normal, number, facet.plane, facet.rank, facet.lines)
        for number, facet in enumerate(fold.facets)
    ]
    body = [facet for facet in fold.facets if facet.role != "strap"] or fold.facets
    # A long strap would make the bag tiny: it runs out of the picture instead.
    top = max(z for facet in body for *_, z in facet.points) * _MOST_OVER_BODY
    points = [point for facet in fold.facets for point in facet.points if point[2] <= top]
    middle = (0.0, 0.0, max(z for *_, z in points) / 2)
    # In all views a point keeps within its distance from the upright axis, and that from the middle's level.
    reach = [(math.hypot(x, y), abs(z - middle[2])) for x, y, z in points]
    tilts = [math.radians(tilt) for tilt in range(0, _ROOMY_TILT_DEG + 1, 10)]
    high = max(round_mm * math.sin(tilt) + up * math.cos(tilt) for round_mm, up in reach for tilt in tilts)
    wide = 2 * max(round_mm for round_mm, _ in reach)
    return FoldedBag(fold, sight_tree(sheets), _backed(fold.facets), middle, wide, 2 * high)


def _backed(facets: Sequence[FoldedFacet]) -> frozenset[int]:
    """Facets behind which one of the same shape lies back to back."""
    alike: defaultdict[tuple[int, tuple[int, ...]], list[int]] = defaultdict(list)
    for number, facet in enumerate(facets):
        low, high = reach_mm(facet.points)
        alike[facet.plane, tuple(round(at / _SAME_MM) for at in (*low, *high))].append(number)
    return frozenset(
        one
        for numbers in alike.values()
        for one in numbers
        if any(dot(facets[one].normal, facets[other].normal) < 0 for other in numbers)
    )


@dataclass(frozen=True, slots=True)
class _Eye:
    """Where the eye is: the bag's ways to the right, up and towards it; the scale, and a place kept on the paper."""

    right: Point3
    up: Point3
    towards: Point3
    scale: float
    place: Point

    @classmethod
    def at(cls, turn_deg: float, tilt_deg: float, scale: float, kept: tuple[Point, Point3]) -> _Eye:
        turn, tilt = math.radians(turn_deg), math.radians(tilt_deg)
        right = (math.cos(turn), math.sin(turn), 0.0)
        towards = (math.sin(turn) * math.cos(tilt), -math.cos(turn) * math.cos(tilt), math.sin(tilt))
        up = (-math.sin(turn) * math.sin(tilt), math.cos(turn) * math.sin(tilt), math.cos(tilt))
        (x, y), point = kept
        return cls(right, up, towards, scale, (x - scale * dot(point, right), y + scale * dot(point, up)))

    def sees(self, point: Point3) -> Point:
        """Place on the paper, y down."""
        return self.place[0] + self.scale * dot(point, self.right), self.place[1] - self.scale * dot(point, self.up)


def draw_fold_up(
    bag: FoldedBag,
    *,
    units: UnitSystem,
    turn_deg: float = USUAL_TURN_DEG,
    tilt_deg: float = USUAL_TILT_DEG,
) -> Drawing:
    """The bag turned by `turn_deg` (0: its front; 90: its right side) and seen from `tilt_deg` above (below if < 0).

    Its scale does not depend on the view. Wrong sides are hatched; they only show where a seam is wrong, or cloth has
    no lining.
    """
    room_x = VIEW_WIDTH_MM - 2 * _MARGIN_MM
    least, most = (height - 2 * _MARGIN_MM - _RULER_MM for height in VIEW_HEIGHT_MM)
    room_y = max(least, min(most, room_x * bag.high_mm / bag.wide_mm))
    size = (VIEW_WIDTH_MM, room_y + 2 * _MARGIN_MM + _RULER_MM)
    scale = min(room_x / bag.wide_mm, room_y / bag.high_mm)
    middle = (size[0] / 2, _MARGIN_MM + room_y / 2)
    eye = _Eye.at(turn_deg, max(-STEEPEST_DEG, min(STEEPEST_DEG, tilt_deg)), scale, (middle, bag.middle))
    marks = (*_items(bag, eye), *_threads(bag.fold, eye))
    seen = Window((0.0, 0.0), (size[0], size[1] - _RULER_MM), marks)
    bar = (shifted(item, 0.0, size[1]) for item in _scale_bar(bag.wide_mm, scale, units))
    return Drawing(*size, (seen, *bar), "The bag folded up", _in_words(bag.fold, turn_deg, tilt_deg, units))


def _items(bag: FoldedBag, eye: _Eye) -> Iterator[Path]:
    for sheet in bag.tree.back_to_front(eye.towards) if bag.tree else ():
        facet = bag.fold.facets[sheet.key]
        looks_here = dot(sheet.normal, eye.towards) >= 0
        if not looks_here and sheet.key in bag.backed:
            continue
        points = tuple(eye.sees(point) for point in sheet.points)
        shows_right = looks_here or facet.is_double
        yield Path(_overlapping(points, sheet), None, _tone(facet, eye) if shows_right else Fill.PAPER, closed=True)
        if shows_right:
            yield from (Path((eye.sees(start), eye.sees(end)), Ink.MARK) for start, end in sheet.lines)
        else:
            yield from _hatched(points)
        yield from _lines(sheet, points, eye)


def _threads(fold: FoldUp, eye: _Eye) -> Iterator[Path]:
    """From side to side of every seam that gapes, through everything."""
    for gap in fold.gaps:
        for one, other in gap.threads:
            if math.dist(one, other) > GAP_TOLERANCE_MM:
                yield Path((eye.sees(one), eye.sees(other)), Ink.ATTENTION)


def _overlapping(points: Sequence[Point], sheet: Sheet) -> tuple[Point, ...]:
    """The area a hair larger where it goes on without a line, so that no light shows between areas side by side."""
    moved = [list(point) for point in points]
    following = (*points[1:], points[0])
    way = _OVERLAP_MM * (
        1 if sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, following, strict=True)) > 0 else -1
    )
    for number, ((ax, ay), (bx, by), edge) in enumerate(zip(points, following, sheet.edges, strict=True)):
        run = math.hypot(bx - ax, by - ay)
        if edge.kind in (EdgeKind.SMOOTH, EdgeKind.CUT) and run > 0:
            for corner in (number, (number + 1) % len(points)):
                moved[corner][0] += way * (by - ay) / run
                moved[corner][1] -= way * (bx - ax) / run
    return tuple((x, y) for x, y in moved)


def _tone(facet: FoldedFacet, eye: _Eye) -> Fill:
    """By the light, which comes over the left shoulder; linings and what is set off are darker."""
    facing = 1.0 if dot(facet.normal, eye.towards) >= 0 else -1.0
    ways = (eye.right, eye.up, eye.towards)
    lit = facing * sum(share * dot(facet.normal, way) for share, way in zip(_LIGHT, ways, strict=True))
    bright, dim = _TONES.get(facet.role, (Fill.PAPER, Fill.CLOTH))
    return dim if lit < _DIM_SHARE else bright


def _lines(sheet: Sheet, points: Sequence[Point], eye: _Eye) -> Iterator[Path]:
    """Rims and creases, heavy where nothing goes on beyond; and where a smooth bend turns out of sight."""
    for number, edge in enumerate(sheet.edges):
        turns = edge.beyond is not None and dot(edge.beyond, eye.towards) * dot(sheet.normal, eye.towards) < 0
        if edge.kind is EdgeKind.RIM or turns:
            ink = Ink.OUTLINE
        elif edge.kind is EdgeKind.CREASE:
            ink = Ink.BEND
        else:
            continue
        yield Path((points[number], points[(number + 1) % len(points)]), ink)


def _hatched(points: Sequence[Point]) -> Iterator[Path]:
    """Slanting lines across an area, at the same places for areas side by side."""
    slants = [x + y for x, y in points]
    step = _HATCH_MM * math.sqrt(2)
    for count in range(math.ceil(min(slants) / step), math.floor(max(slants) / step) + 1):
        level = count * step
        crossings = []
        for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True):
            a, b = ax + ay - level, bx + by - level
            if (a < 0) != (b < 0):
                share = a / (a - b)
                crossings.append((ax + share * (bx - ax), ay + share * (by - ay)))
        crossings.sort()
        for start, end in zip(crossings[::2], crossings[1::2], strict=False):
            yield Path((start, end), Ink.HAIRLINE)


def _scale_bar(wide_mm: float, scale: float, units: UnitSystem) -> list[Item]:
    """A ruler under the bag, as long as the bag is wide at most; the foot of the picture is at 0."""
    unit_mm = 25.4 if units is UnitSystem.INCH else 10.0
    lengths = [
        count * unit_mm for count in (1, 2, 3, 4, 6, 8, 10, 12, 20, 24, 30, 40) if count * unit_mm < 0.6 * wide_mm
    ]
    length = scale * (lengths[-1] if lengths else unit_mm)
    return [shifted(item, _MARGIN_MM, 2.0 - _RULER_MM) for item in ruler(length, 1 / scale, units, top_mm=0.0)]


def _in_words(fold: FoldUp, turn_deg: float, tilt_deg: float, units: UnitSystem) -> str:
    told = Measuring(units, 8).told
    width, depth, height = map(told, fold.assembled_size_mm)
    return f"{_side_seen(turn_deg, tilt_deg)} It stands {width} wide, {depth} deep and {height} high."


def _side_seen(turn_deg: float, tilt_deg: float) -> str:
    sides = ("front", "right side", "back", "left side")
    turn = turn_deg % 360
    nearest, beside = sides[round(turn / 90) % 4], sides[(math.floor(turn / 90) + (1 if turn % 90 < 45 else 0)) % 4]
    said = f"Its {nearest}" if turn % 90 in (0, 90) else f"Its {nearest} and its {beside}"
    above = "from above" if tilt_deg > 0 else "from below" if tilt_deg < 0 else "straight on"
    return f"{said}, seen {above}."
