"""A layout as a drawing: the cloth with its selvedges, the pieces on it, what was bought, what is left."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece
from bagwright.model.material import MaterialKind
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
    rectangle,
)
from bagwright.output.hatching import LETTERS
from bagwright.output.labels import Label, place_label
from bagwright.output.lettering import Weight, one_line, shortened, text_width_mm
from bagwright.output.rulers import Measuring, dimension_across, dimension_up, ruler
from bagwright.units import UnitSystem, print_cloth_length

LAYOUT_WIDTH_MM = 190.0
_HIGHEST_MM = 130.0
_LEFT_MM = 8.0
_SELVEDGE_MM = 1.6
_PINHOLE_PITCH_MM = 3.0
_NAME_SIZES_MM = (3.6, 3.1, 2.7, 2.4)
_NUMBER_SIZES_MM = (3.0, 2.4, 2.0)
_LEAST_REMNANT_MM = 0.5
_WITH_SELVEDGE = frozenset(
    {MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT, MaterialKind.COATED, MaterialKind.WOVEN_INTERFACING}
)


def draw_layout(
    layout: Layout,
    pieces: Sequence[LayPiece],
    names: Mapping[str, str],
    *,
    kind: MaterialKind,
    bought_length_mm: float,
    units: UnitSystem,
    fraction: int = 16,
    width_mm: float = LAYOUT_WIDTH_MM,
) -> Drawing:
    """The cloth lying along the page, to scale; `names` says what each `LayPiece.id` is called.

    Cloth beyond the layout's own length is a remnant, hatched pale. Pieces too small for their name carry a number
    that is explained below.
    """
    longest = max(bought_length_mm, layout.length_mm)
    reduction = max(longest / (width_mm - _LEFT_MM), layout.width_mm / _HIGHEST_MM, 1.0)
    cloth = _Cloth(layout, kind, bought_length_mm, reduction)
    placed, key = _placed_pieces(cloth, {piece.id: piece.region for piece in pieces}, names)
    items = [*_ground(cloth), *placed, *_selvedges(cloth)]
    items += _remnant(cloth, Measuring(units, fraction))
    items += _measures(cloth, Measuring(units, fraction))
    items += _key(key, width_mm, top_mm=bounds_of(items)[3] + 2.0)
    items += ruler(max(cloth.bought_mm, 40.0), reduction, units, top_mm=bounds_of(items)[3] + 3.0)
    told = Measuring(units, fraction).told
    words = (
        f"{len(layout.placements)} pieces on {kind}, {told(layout.width_mm)} wide: {told(layout.length_mm)} of "
        f"{print_cloth_length(bought_length_mm, units).text} bought used; pieces fill {layout.share_used:.0%} of it."
    )
    return framed(items, margin_mm=1.5, title=f"Layout on {kind}", description=words)


@dataclass(frozen=True, slots=True)
class _Cloth:
    """What is drawn, and how small. Paper: x along the length from 0, y down from the far selvedge."""

    layout: Layout
    kind: MaterialKind
    bought_length_mm: float
    reduction: float

    @property
    def high_mm(self) -> float:
        """Width of the cloth on paper."""
        return self.layout.width_mm / self.reduction

    @property
    def used_mm(self) -> float:
        """Length in use, on paper."""
        return self.layout.length_mm / self.reduction

    @property
    def bought_mm(self) -> float:
        """Length bought, on paper."""
        return max(self.bought_length_mm, self.layout.length_mm) / self.reduction

    def on_paper(self, point: Point) -> Point:
        """Where a point of the cloth goes."""
        return point[0] / self.reduction, (self.layout.width_mm - point[1]) / self.reduction


def _ground(cloth: _Cloth) -> Iterator[Item]:
    yield rectangle((0, 0), (cloth.used_mm, cloth.high_mm), Ink.HAIRLINE, Fill.CLOTH)
    yield Text((0.0, -3.4), f"{LETTERS[cloth.kind]}", 3.6, weight=Weight.STRONG)
    yield Text((4.0, -3.4), str(cloth.kind), 3.2, tone=Tone.SOFT)


def _selvedges(cloth: _Cloth) -> Iterator[Item]:
    """The two finished sides, outside the usable width; a plain border for what has none."""
    yield rectangle((0, 0), (cloth.bought_mm, cloth.high_mm), Ink.OUTLINE)
    if cloth.kind not in _WITH_SELVEDGE:
        return
    for near, away in ((0.0, -_SELVEDGE_MM), (cloth.high_mm, cloth.high_mm + _SELVEDGE_MM)):
        yield line((0, away), (cloth.bought_mm, away), Ink.SELVEDGE)
        for count in range(int(cloth.bought_mm / _PINHOLE_PITCH_MM)):
            yield Dot(((count + 0.5) * _PINHOLE_PITCH_MM, (near + away) / 2), 0.25, fill=Fill.SOLID)
    yield Text((cloth.bought_mm, -_SELVEDGE_MM - 1.8), "selvedge", 2.6, Anchor.END, tone=Tone.SOFT)


def _placed_pieces(
    cloth: _Cloth, regions: Mapping[str, Region], names: Mapping[str, str]
) -> tuple[list[Item], dict[int, str]]:
    """Every copy with its name or number, and what the numbers mean."""
    numbers = {piece_id: number for number, piece_id in enumerate(regions, start=1)}
    items: list[Item] = []
    key: dict[int, str] = {}
    for place in cloth.layout.placements:
        ring = thinned([cloth.on_paper(point) for point in regions[place.id].moved(place.move).outer_ring()])
        items.append(Path(tuple(ring), Ink.OUTLINE, Hatch(cloth.kind), closed=True))
        inside = Region.from_ring(ring).grown(-0.8)
        name = one_line(names.get(place.id, place.id))
        label = Label(name, ("mirrored",) if place.mirrored else (), halo=True)
        found = place_label(label, inside, (), sizes_mm=_NAME_SIZES_MM)
        if not found:
            key[numbers[place.id]] = name
            number = Label(str(numbers[place.id]), halo=True)
            found = place_label(number, Region.from_ring(ring), (), sizes_mm=_NUMBER_SIZES_MM)
        items += found.items if found else ()
    return items, dict(sorted(key.items()))


def thinned(ring: Sequence[Point], *, least_mm: float = 0.06) -> list[Point]:
    """The ring without points so close to the one before that paper cannot show them.

    >>> thinned([(0, 0), (0.01, 0), (5, 0), (5, 5)])
    [(0, 0), (5, 0), (5, 5)]
    """
    kept: list[Point] = []
    for point in ring:
        if not kept or math.dist(point, kept[-1]) >= least_mm:
            kept.append(point)
    return kept if len(kept) > 2 else list(ring)


def _remnant(cloth: _Cloth, measuring: Measuring) -> list[Item]:
    """What is bought beyond the layout."""
    if cloth.bought_mm - cloth.used_mm < _LEAST_REMNANT_MM:
        return []
    area = rectangle((cloth.used_mm, 0), (cloth.bought_mm, cloth.high_mm), None, Hatch(cloth.kind, pale=True))
    cut = line((cloth.used_mm, -_SELVEDGE_MM), (cloth.used_mm, cloth.high_mm + _SELVEDGE_MM), Ink.FOLD)
    length, width = cloth.bought_length_mm - cloth.layout.length_mm, cloth.layout.width_mm
    label = Label("left over", (measuring.told_size(length, width),), halo=True)
    inside = Region.rectangle((cloth.used_mm + 0.6, 0.6), (cloth.bought_mm - 0.4, cloth.high_mm - 0.6))
    found = place_label(label, inside, (), sizes_mm=_NAME_SIZES_MM)
    return [area, cut, *(found.items if found else ())]


def _measures(cloth: _Cloth, measuring: Measuring) -> Iterator[Item]:
    low = cloth.high_mm + _SELVEDGE_MM
    width = f"{measuring.told(cloth.layout.width_mm)} usable"
    yield from dimension_up(0.0, cloth.high_mm, -2.6, width)
    yield from dimension_across(0.0, cloth.used_mm, low + 2.6, f"used {measuring.told(cloth.layout.length_mm)}")
    bought = f"bought {print_cloth_length(cloth.bought_length_mm, measuring.units).text}"
    yield from dimension_across(0.0, cloth.bought_mm, low + 8.6, bought)


def _key(key: Mapping[int, str], width_mm: float, *, top_mm: float) -> list[Item]:
    """What the numbers on small pieces mean, in as many lines as it takes."""
    items: list[Item] = []
    x, y = 0.0, top_mm + 3.2
    for number, name in key.items():
        words = shortened(name, width_mm / 2, 2.9)
        run = text_width_mm(f"{number}  ", 2.9, Weight.STRONG) + text_width_mm(words, 2.9)
        if x and x + run > width_mm - _LEFT_MM:
            x, y = 0.0, y + 4.2
        items.append(Text((x, y), str(number), 2.9, weight=Weight.STRONG))
        items.append(Text((x + text_width_mm(f"{number} ", 2.9, Weight.STRONG), y), words, 2.9, tone=Tone.SOFT))
        x += run + 5.0
    return items
