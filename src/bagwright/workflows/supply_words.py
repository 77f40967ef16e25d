"""How much of a thing a supply list asks for: cloth by length and width, thread by the spool, parts by number."""

from __future__ import annotations

import math
from collections.abc import Iterable

from bagwright.costing.offers import USED_SHARE_OF_HIDE
from bagwright.model.cost import Purchase
from bagwright.model.material import MaterialKind, Offer, OfferByCount
from bagwright.model.run_buying import RunNeed
from bagwright.units import MM_PER_INCH, MM_PER_YARD, UnitSystem, print_cloth_length, print_length
from bagwright.workflows.tell_buy import bought_in_words

_MM_PER_M = 1000.0
_WHOLE_FROM_M = 10
_M2_PER_SQ_FT = 0.09290304
_NO_HAIR = 1e-6
"""What a length may be over a step and still counts as that step."""


def counter_words(purchase: Purchase, offer: Offer | None, kind: MaterialKind, units: UnitSystem) -> str:
    """What to ask for at the counter of one shop, by what its offer holds."""
    if purchase.quantity_unit == "m2":
        return f"{_area(purchase.quantity, units)} of {purchase.name}"
    if not isinstance(offer, OfferByCount) or (offer.length_each_m and purchase.length_each_mm):
        return bought_in_words(purchase, units)
    packs = round(purchase.quantity)
    if offer.length_each_m and kind is MaterialKind.THREAD:
        return f"{_spools(packs * offer.pack_count, offer.length_each_m, units)} of {purchase.name}"
    if offer.pack_count == 1:
        return f"{packs} × {purchase.name}"
    return f"{packs} {purchase.unit_said} of {purchase.name}, {offer.pack_count} in a pack"


def group_words(
    need: RunNeed, kind: MaterialKind, *, width_mm: float | None = None, spools_m: Iterable[float] = ()
) -> str:
    """What the run takes, in both systems of units, whatever shop it comes from.

    `width_mm`: of the cloth that is planned with, if pieces are laid on it. `spools_m`: how much spools of it hold, the
    one that is planned with first.
    """
    wanted = need.need
    if wanted.count is not None:
        each = f", each {_both(wanted.each.least_mm)} or longer" if wanted.each else ""
        return f"{wanted.count} × {wanted.name}{each}"
    if wanted.length_mm is not None and need.goes_on:
        return _thread(wanted.length_mm, wanted.name, spools_m)
    if wanted.length_mm is not None:
        return f"{_both_cloth(wanted.length_mm)} of {wanted.name}"
    lengths = dict(wanted.lengths_mm_by_width)
    if kind.is_hide or not lengths:
        hides_m2 = wanted.area_mm2 / 1e6 / float(USED_SHARE_OF_HIDE if kind.is_hide else 1)
        return f"{_area(hides_m2, UnitSystem.INCH)} ({_area(hides_m2, UnitSystem.METRIC)}) of {wanted.name}"
    width = width_mm if width_mm in lengths and width_mm is not None else max(lengths)
    return f"{_both_cloth(lengths[width])} of {wanted.name}, {_wide(width)} wide or wider"


def _thread(length_mm: float, name: str, spools_m: Iterable[float]) -> str:
    """By the spool if it is known how much one holds: nobody sells it by the yard."""
    held_m = next(iter(spools_m), None)
    if not held_m:
        return f"{_thread_length(length_mm)} of {name}"
    count = math.ceil(length_mm / (held_m * _MM_PER_M) - _NO_HAIR)
    return f"{_spools(count, held_m)} of {name}; {_thread_length(length_mm)} of it will be sewn"


def _spools(count: int, held_m: float, units: UnitSystem = UnitSystem.INCH) -> str:
    """Metres stand on every spool; for inches yards beside them."""
    yards = f" ({held_m * _MM_PER_M / MM_PER_YARD:.0f} yd)" if units is UnitSystem.INCH else ""
    metres = f"{held_m:.0f}" if held_m >= _WHOLE_FROM_M else f"{held_m:g}"
    return f"1 spool of {metres} m{yards}" if count == 1 else f"{count} spools of {metres} m{yards} each"


def _area(area_m2: float, units: UnitSystem) -> str:
    """Half square feet or hundredths of a square metre, up.

    >>> _area(1.6722547, UnitSystem.INCH), _area(1.6722547, UnitSystem.METRIC)
    ('18 sq ft', '1.68 m²')
    """
    if units is UnitSystem.METRIC:
        return f"{math.ceil(area_m2 * 100 - _NO_HAIR) / 100:g} m²"
    return f"{math.ceil(area_m2 / _M2_PER_SQ_FT * 2 - _NO_HAIR) / 2:g} sq ft"


def _thread_length(length_mm: float) -> str:
    """Whole metres and yards, up.

    >>> _thread_length(86_890)
    '87 m (96 yd)'
    """
    metres, yards = (math.ceil(length_mm / one - _NO_HAIR) for one in (_MM_PER_M, MM_PER_YARD))
    return f"{metres} m ({yards} yd)"


def _wide(width_mm: float) -> str:
    """A width of cloth that is wide enough in either system: eighths of an inch and whole centimetres, up.

    >>> _wide(1473.2), _wide(1500)
    ('58 in (148 cm)', '59 1/8 in (150 cm)')
    """
    eighths = math.ceil(width_mm / MM_PER_INCH * 8 - _NO_HAIR)
    inches = print_length(eighths * MM_PER_INCH / 8, UnitSystem.INCH, fraction=8).text
    return f"{inches} ({math.ceil(width_mm / 10 - _NO_HAIR)} cm)"


def _both(length_mm: float) -> str:
    metric = print_length(length_mm, UnitSystem.METRIC).text
    return f"{print_length(length_mm, UnitSystem.INCH, fraction=8).text} ({metric})"


def _both_cloth(length_mm: float) -> str:
    """Rounded up in each system by itself, so that either is enough."""
    inch, metric = (print_cloth_length(length_mm, units).text for units in (UnitSystem.INCH, UnitSystem.METRIC))
    return f"{inch} ({metric})"
