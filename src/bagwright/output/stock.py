"""Pieces on a hide, a remnant or a scrap: its outline, flaws, lesser parts, what is laid on it, what is left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, Placement
from bagwright.model.material import MaterialKind
from bagwright.model.stock import StockPiece
from bagwright.output.cut_plan import remnant_letter
from bagwright.output.drawing import Drawing, Fill, Hatch, Ink, Item, Path, bounds_of, framed
from bagwright.output.labels import Label, place_label
from bagwright.output.layouts import drawn_pieces, key_lines, thinned
from bagwright.output.rulers import Measuring, dimension_across, dimension_up, ruler
from bagwright.output.stash import flaw_items, lesser_items
from bagwright.units import UnitSystem

STOCK_WIDTH_MM = 112.0
_BESIDE_MM = 8.0
_HIGHEST_SHARE = 0.85
_SIZES_MM = (3.4, 2.9, 2.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockDrawn:
    """What is drawn: placements of `pieces` in the frame of `stock`, and what will be left in the same frame."""

    stock: StockPiece
    kind: MaterialKind
    pieces: Sequence[LayPiece] = ()
    placements: Sequence[Placement] = ()
    left: Sequence[Region] = ()


def draw_on_stock(
    drawn: StockDrawn,
    names: Mapping[str, str],
    *,
    units: UnitSystem,
    fraction: int = 16,
    width_mm: float = STOCK_WIDTH_MM,
) -> Drawing:
    """The stock to scale, its grain across the page where it has one. Flaws are crossed, lesser parts named."""
    turn = Affine(-(drawn.stock.grain_deg or 0.0))
    whole = drawn.stock.region.moved(turn)
    low_x, low_y, high_x, high_y = whole.bounds
    reduction = max((high_x - low_x) / (width_mm - _BESIDE_MM), (high_y - low_y) / (_HIGHEST_SHARE * width_mm), 1.0)

    def ring_of(region: Region) -> list[Point]:
        ring = region.moved(turn).outer_ring()
        return [((x - low_x) / reduction, (high_y - y) / reduction) for x, y in ring]

    regions = {piece.id: piece.region for piece in drawn.pieces}
    rings = [(place, ring_of(regions[place.id].moved(place.move))) for place in drawn.placements]
    placed, key = drawn_pieces(rings, list(regions), names, kind=drawn.kind)
    items: list[Item] = [Path(tuple(thinned(ring_of(drawn.stock.region))), Ink.OUTLINE, Fill.CLOTH, closed=True)]
    items += _left(drawn, [ring_of(region) for region in drawn.left])
    for region in drawn.stock.lesser:
        for part in region.shared_with(drawn.stock.region).parts():
            items += lesser_items(ring_of(part))
    items += placed
    for region in drawn.stock.flaws:
        for part in region.shared_with(drawn.stock.region).parts():
            items += flaw_items(ring_of(part))
    size, measuring = ((high_x - low_x) / reduction, (high_y - low_y) / reduction), Measuring(units, fraction)
    items += dimension_up(0.0, size[1], -2.6, measuring.told(high_y - low_y))
    items += dimension_across(0.0, size[0], size[1] + 2.6, measuring.told(high_x - low_x))
    items += key_lines(key, width_mm, top_mm=bounds_of(items)[3] + 1.0)
    items += ruler(max(size[0], 30.0), reduction, units, top_mm=bounds_of(items)[3] + 3.0)
    told = f"{len(drawn.placements)} pieces on it, {len(drawn.stock.flaws)} flaws, drawn {reduction:.3g} times smaller."
    return framed(items, margin_mm=1.5, title=f"A piece of {drawn.kind} from the stash", description=told)


def _left(drawn: StockDrawn, rings: Sequence[Sequence[Point]]) -> list[Item]:
    items: list[Item] = []
    for number, ring in enumerate(rings):
        items.append(Path(tuple(thinned(ring)), Ink.HAIRLINE, Hatch(drawn.kind, pale=True), closed=True))
        label, room = Label(remnant_letter(number), halo=True), Region.from_ring(ring).grown(-0.6)
        found = place_label(label, room, (), sizes_mm=_SIZES_MM)
        items += found.items if found else ()
    return items
