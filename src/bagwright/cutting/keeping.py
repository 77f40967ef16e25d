"""Keep what is left only as far as it stays out of the way: no straight cut is given up for a remnant."""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.cutting.cut_order import order_cuts
from bagwright.cutting.remnants import find_remnants
from bagwright.geometry.region import Region
from bagwright.model.cuts import Cut, CutWay
from bagwright.model.remnant import Remnant, RemnantSettings

_BLADE_MM = 0.002


def keep_and_cut(
    laid: Sequence[Region], *, length_mm: float, width_mm: float, settings: RemnantSettings | None = None
) -> tuple[tuple[Remnant, ...], tuple[Cut, ...]]:
    """Remnants of a cloth of that size, and the order of cuts that frees the pieces `laid` and them.

    The smallest remnants go first if keeping them whole would make more edges to be cut round the pieces; what the
    straight cuts then leave is looked through once more.

    >>> panel, strap = Region.rectangle((0, 0), (500, 400)), Region.rectangle((500, 0), (600, 1000))
    >>> remnants, cuts = keep_and_cut([panel, strap], length_mm=600, width_mm=1000)
    >>> [(one.length_mm, one.width_mm) for one in remnants], [cut.way.value for cut in cuts]
    ([(500.0, 600.0)], ['across', 'along'])
    """
    cloth = Region.rectangle((0.0, 0.0), (length_mm, width_mm))
    found = find_remnants(cloth, laid, settings=settings)
    fewest = _edges_round_pieces(order_cuts(laid, length_mm=length_mm, width_mm=width_mm))
    kept = found
    while True:
        cuts = order_cuts(laid, length_mm=length_mm, width_mm=width_mm, remnants=[one.region for one in kept])
        if not kept or _edges_round_pieces(cuts) <= fewest:
            break
        kept = kept[:-1]
    if len(kept) == len(found):
        return kept, cuts
    taken = [*laid, *(one.region for one in kept), *map(_blade, filter(_is_straight, cuts))]
    more = (*kept, *find_remnants(cloth, taken, settings=settings))
    more = tuple(sorted(more, key=lambda one: -one.region.area_mm2))
    again = order_cuts(laid, length_mm=length_mm, width_mm=width_mm, remnants=[one.region for one in more])
    return (more, again) if _edges_round_pieces(again) <= fewest else (kept, cuts)


def _is_straight(cut: Cut) -> bool:
    return cut.way is not CutWay.ROUND


def _edges_round_pieces(cuts: Sequence[Cut]) -> int:
    return sum(cut.runs for cut in cuts if cut.placements and not _is_straight(cut))


def _blade(cut: Cut) -> Region:
    """The cloth right under a straight cut."""
    half = _BLADE_MM / 2
    (low_x, low_y), (high_x, high_y) = cut.start, cut.end
    return Region.rectangle((low_x - half, low_y - half), (high_x + half, high_y + half))
