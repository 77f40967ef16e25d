"""What follows from a layout at the table: the order of cuts and what is left, on cloth lying single or double."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bagwright.cutting.cut_order import order_cuts
from bagwright.cutting.keeping import keep_and_cut
from bagwright.cutting.remnants import find_doubled_remnants, laid_regions
from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.cuts import Cut
from bagwright.model.layout import Layout, LayRequest
from bagwright.model.remnant import Remnant
from bagwright.output.cut_plan import remnant_letter

_ALMOST_ALL_MM = 1.0
_HAIR_MM = 1e-5
_POINT_PLACES = 3


def is_cut_double(request: LayRequest, layout: Layout) -> bool:
    """Whether all of the layout lies on cloth that is doubled."""
    return request.is_doubled and layout.doubled_to_mm >= layout.length_mm - _ALMOST_ALL_MM


def keep_and_cut_layout(
    request: LayRequest, layout: Layout, table_mm: float
) -> tuple[tuple[Remnant, ...], tuple[Cut, ...]]:
    """What is left of `table_mm` of cloth, told on the opened cloth, and the order of cuts.

    Cloth cut double is cut in the layer below the fold; the other comes along.
    """
    laid = laid_regions(request, layout.placements)
    if not is_cut_double(request, layout):
        return keep_and_cut(laid, length_mm=table_mm, width_mm=layout.width_mm)
    fold = layout.width_mm / 2
    cloth = Region.rectangle((0.0, 0.0), (table_mm, layout.width_mm))
    remnants = find_doubled_remnants(cloth, laid, fold_mm=fold)
    return remnants, _cuts_of_a_layer(laid, [one.region for one in remnants], (table_mm, fold))


def cuts_of(request: LayRequest, layout: Layout) -> tuple[Cut, ...]:
    """The order of cuts if nothing is kept whole, of the length that the layout takes up."""
    laid = laid_regions(request, layout.placements)
    if is_cut_double(request, layout):
        return _cuts_of_a_layer(laid, [], (layout.length_mm, layout.width_mm / 2))
    return order_cuts(laid, length_mm=layout.length_mm, width_mm=layout.width_mm)


def _cuts_of_a_layer(laid: Sequence[Region], left: Sequence[Region], size_mm: tuple[float, float]) -> tuple[Cut, ...]:
    """Cuts of the layer below the fold; pieces and remnants told by their places among all."""
    length_mm, fold_mm = size_mm
    layer = Region.rectangle((0.0, 0.0), (length_mm, fold_mm))
    pieces, remnants = (
        [i for i, region in enumerate(regions) if region.bounds[1] < fold_mm - _ALMOST_ALL_MM]
        for regions in (laid, left)
    )
    cuts = order_cuts(
        [laid[i].shared_with(layer) for i in pieces],
        length_mm=length_mm,
        width_mm=fold_mm,
        remnants=[left[i].shared_with(layer) for i in remnants],
    )
    return tuple(
        replace(
            cut,
            placements=tuple(pieces[i] for i in cut.placements),
            remnants=tuple(remnants[i] for i in cut.remnants),
        )
        for cut in cuts
    )


def without_hair(length_mm: float) -> float:
    """The length, or 0 for less than a hundred-thousandth of a millimetre: a search leaves such hairs at edges.

    >>> without_hair(-2e-06), without_hair(0.25)
    (0.0, 0.25)
    """
    return 0.0 if abs(length_mm) < _HAIR_MM else length_mm


def _rounded(point: Point) -> list[float]:
    """A point of a cut to a thousandth of a millimetre."""
    return [round(value, _POINT_PLACES) + 0.0 for value in point]  # turns -0.0 into 0.0


def leftovers_as_json(request: LayRequest, layout: Layout) -> dict[str, object]:
    """`remnants` and `cuts` as `bagwright lay` tells them, of the length that the layout takes up.

    None for both if they fail their check: the layout has passed its own and is told all the same.
    """
    try:
        remnants, cuts = keep_and_cut_layout(request, layout, layout.length_mm)
    except BrokenPromise:
        return {"remnants": None, "cuts": None}
    return {
        "remnants": [
            {
                "name": remnant_letter(number),
                "outline": [list(map(without_hair, point)) for point in one.region.outer_ring()],
                "holes": [[list(map(without_hair, point)) for point in hole] for hole in one.region.hole_rings()],
                "is_rectangle": one.is_rectangle,
                "length_mm": one.length_mm,
                "width_mm": one.width_mm,
                "area_mm2": one.region.area_mm2,
                "share_of_cloth": one.share_of_cloth,
            }
            for number, one in enumerate(remnants)
        ],
        "cuts": [
            {
                "way": cut.way.value,
                "from": _rounded(cut.start),
                "to": _rounded(cut.end),
                "length_mm": cut.length_mm,
                "block": cut.block,
                "runs": cut.runs,
                "frees": [layout.placements[place].id for place in cut.placements],
                "frees_remnants": [remnant_letter(number) for number in cut.remnants],
            }
            for cut in cuts
        ],
    }
