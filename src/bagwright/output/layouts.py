"""A layout as a drawing: the cloth with its selvedges, the pieces on it, what was bought, what is left."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.layout import Layout, LayPiece, Placement
from bagwright.model.material import MaterialKind
from bagwright.output.cloth import Cloth
from bagwright.output.drawing import (
    Anchor,
    Drawing,
    Hatch,
    Ink,
    Item,
    Path,
    Text,
    Tone,
    bounds_of,
    framed,
    rectangle,
    text_box,
)
from bagwright.output.labels import Label, place_label
from bagwright.output.lettering import Weight, one_line, shortened, text_width_mm
from bagwright.output.print_marks import boxes_of, print_in_words, print_marks
from bagwright.output.rulers import Measuring, ruler
from bagwright.units import UnitSystem, print_cloth_length

LAYOUT_WIDTH_MM = 112.0
"""About 420 px, so that letters keep their size in a column of a page."""
_NAME_SIZES_MM = (3.6, 3.1, 2.7, 2.4)
_NUMBER_SIZES_MM = (3.0, 2.4, 2.0)
_LEAST_REMNANT_MM = 0.5
_MIRRORED = "m"


def draw_layout(
    layout: Layout,
    pieces: Sequence[LayPiece],
    names: Mapping[str, str],
    *,
    kind: MaterialKind,
    bought_length_mm: float,
    washed_length_mm: float | None = None,
    bought_said: str = "",
    units: UnitSystem,
    fraction: int = 16,
    width_mm: float = LAYOUT_WIDTH_MM,
) -> Drawing:
    """The cloth to scale, its length across the page, or down it where that is shorter than the cloth is wide.

    `names` says what each `LayPiece.id` is called; `width_mm` is the most the cloth takes on paper. Cloth that the wash
    shortens is drawn as long as it is then, `washed_length_mm`. `bought_said`: what was bought if not a length of it.
    Cloth beyond the layout's own length is a remnant, hatched pale. Pieces too small for their name carry a number
    that is explained below.
    """
    is_shorter = washed_length_mm is not None and washed_length_mm < bought_length_mm
    drawn_mm = washed_length_mm if is_shorter and washed_length_mm is not None else bought_length_mm
    cloth, measuring = Cloth.fitted(layout, kind, drawn_mm, width_mm=width_mm), Measuring(units, fraction)
    bought = bought_said or print_cloth_length(bought_length_mm, units).text
    washed = f", washed {measuring.told(cloth.longest_mm)}" if is_shorter and not bought_said else ""
    all_of_it = f"bought {bought}{washed}"
    marks, letters = print_marks(cloth, pieces, names)
    placed, key = placed_pieces(cloth, {piece.id: piece.region for piece in pieces}, names, taken=boxes_of(marks))
    items = [*cloth.ground(), *placed, *cloth.borders(), *_remnant(cloth, measuring), *marks]
    items += cloth.measures(measuring, all_of_it=all_of_it)
    items += key_lines({**key, **letters}, width_mm, top_mm=bounds_of(items)[3] + 2.0)
    items += ruler(max(cloth.size[0], 30.0), cloth.reduction, units, top_mm=bounds_of(items)[3] + 3.0)
    words = (
        f"{len(layout.placements)} pieces on {kind}, {measuring.told(layout.width_mm)} wide: "
        f"{measuring.told(layout.length_mm)} are used, {all_of_it}; "
        f"pieces fill {layout.share_used:.0%} of that.{print_in_words(letters)}"
    )
    return framed(items, margin_mm=1.5, title=f"Layout on {kind}", description=words)


def placed_pieces(
    cloth: Cloth, regions: Mapping[str, Region], names: Mapping[str, str], *, taken: Sequence[Region] = ()
) -> tuple[list[Item], dict[str, str]]:
    """Every copy with its name or number, off what is `taken` on paper; and what numbers and the letter m mean."""
    rings = [
        (place, [cloth.on_paper(point) for point in regions[place.id].moved(place.move).outer_ring()])
        for place in cloth.layout.placements
    ]
    return drawn_pieces(rings, list(regions), names, kind=cloth.kind, taken=taken)


def drawn_pieces(
    rings: Sequence[tuple[Placement, Sequence[Point]]],
    ids: Sequence[str],
    names: Mapping[str, str],
    *,
    kind: MaterialKind,
    taken: Sequence[Region] = (),
) -> tuple[list[Item], dict[str, str]]:
    """Copies by their outlines on paper, each with its name or number; `ids` in the order of their numbers."""
    numbers = {piece_id: str(number) for number, piece_id in enumerate(ids, start=1)}
    items: list[Item] = []
    tiny: list[Text] = []
    key: dict[str, str] = {}
    for place, full_ring in rings:
        ring = thinned(full_ring)
        items.append(Path(tuple(ring), Ink.OUTLINE, Hatch(kind), closed=True))
        name = one_line(names.get(place.id, place.id))
        label = Label(name, ("mirrored",) if place.mirrored else (), halo=True)
        found = place_label(label, Region.from_ring(ring).grown(-0.8), taken, sizes_mm=_NAME_SIZES_MM)
        if found:
            items += found.items
            continue
        key |= {numbers[place.id]: name} | ({_MIRRORED: "mirrored"} if place.mirrored else {})
        number = numbers[place.id] + (_MIRRORED if place.mirrored else "")
        found = place_label(Label(number, halo=True), Region.from_ring(ring), taken, sizes_mm=_NUMBER_SIZES_MM)
        if found:
            items += found.items
        else:
            _add_tiny(tiny, number, ring)
    return [*items, *tiny], dict(
        sorted(key.items(), key=lambda entry: (not entry[0].isdigit(), len(entry[0]), entry[0]))
    )


def _add_tiny(tiny: list[Text], number: str, ring: Sequence[Point]) -> None:
    """A number over a piece that is smaller than it, unless it would lie on the number of a neighbour."""
    left, top, right, bottom = bounds_of([Path(tuple(ring))])
    size = _NUMBER_SIZES_MM[-1]
    text = Text(((left + right) / 2, (top + bottom) / 2 + size / 3), number, size, Anchor.MIDDLE, weight=Weight.STRONG)
    box = Region.rectangle(*text_box(text))
    if not any(box.overlap_mm2(Region.rectangle(*text_box(other))) > 0 for other in tiny):
        tiny.append(text)


def thinned(ring: Sequence[Point], *, least_mm: float = 0.12) -> list[Point]:
    """The ring without points so close to the one before that paper cannot show them.

    >>> thinned([(0, 0), (0.1, 0), (5, 0), (5, 5)])
    [(0, 0), (5, 0), (5, 5)]
    """
    kept: list[Point] = []
    for point in ring:
        if not kept or math.dist(point, kept[-1]) >= least_mm:
            kept.append(point)
    return kept if len(kept) > 2 else list(ring)


def _remnant(cloth: Cloth, measuring: Measuring) -> list[Item]:
    """What is bought beyond the layout."""
    length = cloth.longest_mm - cloth.layout.length_mm
    if length < _LEAST_REMNANT_MM * cloth.reduction:
        return []
    low, high = cloth.box(cloth.layout.length_mm, cloth.longest_mm)
    label = Label("left over", (measuring.told_size(length, cloth.layout.width_mm),), halo=True)
    inside = Region.rectangle(low, high).grown(-0.6)
    found = place_label(label, inside, (), sizes_mm=_NAME_SIZES_MM)
    area = rectangle(low, high, None, Hatch(cloth.kind, pale=True))
    return [area, cloth.cut_across(cloth.layout.length_mm), *(found.items if found else ())]


def key_lines(key: Mapping[str, str], width_mm: float, *, top_mm: float) -> list[Item]:
    """What the numbers on small pieces mean, in as many lines as it takes."""
    items: list[Item] = []
    x, y = 0.0, top_mm + 3.2
    for number, name in key.items():
        words = shortened(name, width_mm / 2, 2.9)
        run = text_width_mm(f"{number}  ", 2.9, Weight.STRONG) + text_width_mm(words, 2.9)
        if x and x + run > width_mm - 14.0:
            x, y = 0.0, y + 4.2
        items.append(Text((x, y), number, 2.9, weight=Weight.STRONG))
        items.append(Text((x + text_width_mm(f"{number} ", 2.9, Weight.STRONG), y), words, 2.9, tone=Tone.SOFT))
        x += run + 5.0
    return items
