"""What is bought, as one asks for it at the counter: cloth by length, hides by area, parts by the piece or the pack."""

from __future__ import annotations

import math

from bagwright.model.cost import Purchase
from bagwright.units import MM_PER_YARD, UnitSystem, print_cloth_length, print_cloth_width, print_length

NO_HAIR = 1e-6
"""What a length may be over a step and still counts as that step."""
_M2_PER_SQ_FT = 0.09290304
_MM_PER_M = 1000.0
_WHOLE_FROM_M = 10


def bought_in_words(purchase: Purchase, units: UnitSystem) -> str:
    """What to ask for, by name."""
    amount, beside = _amount(purchase, units)
    if purchase.quantity_unit != "packs" or purchase.holds_m:
        return f"{amount} of {purchase.name}{beside}"
    packs = round(purchase.quantity)
    if purchase.pack_count == 1:
        return f"{packs} × {purchase.name}{beside}"
    return f"{_packs(packs)} of {purchase.name}, {purchase.pack_count} in a pack{beside}"


def amount_in_words(purchase: Purchase, units: UnitSystem) -> str:
    """What to ask for, where the name stands before it."""
    return "".join(_amount(purchase, units))


def needed_in_words(purchase: Purchase, units: UnitSystem) -> str:
    """What is needed of what is not cut off a bolt: parts by number, thread by length, not as a share of a pack."""
    if purchase.quantity_unit == "m2":
        return area_in_words(purchase.needed, units)
    if purchase.quantity_unit != "packs":
        return f"{purchase.needed:.2g} {'piece' if purchase.needed <= 1 else 'pieces'}"
    held = purchase.needed * purchase.pack_count
    if purchase.holds_m:
        return print_cloth_length(held * purchase.holds_m * _MM_PER_M, units).text
    return _counted(math.ceil(held - NO_HAIR))


def spools_in_words(count: int, held_m: float, units: UnitSystem, *, holder: str = "spool") -> str:
    """Spools or rolls and how much each holds: metres stand on every one; for inches yards before them.

    >>> spools_in_words(2, 914.4, UnitSystem.INCH)
    '2 spools of 1000 yd (914 m) each'
    >>> spools_in_words(1, 2.5, UnitSystem.METRIC, holder="roll")
    '1 roll of 2.5 m'
    """
    metres = f"{held_m:.0f} m" if held_m >= _WHOLE_FROM_M else f"{held_m:g} m"
    held = f"{held_m * _MM_PER_M / MM_PER_YARD:.0f} yd ({metres})" if units is UnitSystem.INCH else metres
    many, each = ("", "") if count == 1 else ("s", " each")
    return f"{count} {holder}{many} of {held}{each}"


def area_in_words(area_m2: float, units: UnitSystem) -> str:
    """Half square feet or hundredths of a square metre, up.

    >>> area_in_words(1.6722547, UnitSystem.INCH), area_in_words(1.6722547, UnitSystem.METRIC)
    ('18 sq ft', '1.68 m²')
    """
    if units is UnitSystem.METRIC:
        return f"{math.ceil(area_m2 * 100 - NO_HAIR) / 100:g} m²"
    return f"{math.ceil(area_m2 / _M2_PER_SQ_FT * 2 - NO_HAIR) / 2:g} sq ft"


def _amount(purchase: Purchase, units: UnitSystem) -> tuple[str, str]:
    """How much of it, and what is told beside that: how wide cloth is, how long each piece."""
    if purchase.quantity_unit == "mm":
        return print_cloth_length(purchase.quantity, units).text, _wide(purchase, units)
    if purchase.quantity_unit == "m2":
        return area_in_words(purchase.quantity, units), _each(purchase, units)
    count = round(purchase.quantity)
    if purchase.holds_m and purchase.quantity_unit == "packs":
        return _spools(purchase, units), ""
    many_in_each = purchase.quantity_unit == "packs" and purchase.pack_count != 1
    told = f"{_packs(count)} of {purchase.pack_count}" if many_in_each else _counted(count)
    return told, _each(purchase, units)


def _wide(purchase: Purchase, units: UnitSystem) -> str:
    return f", {print_cloth_width(purchase.width_mm, units)} wide" if purchase.width_mm else ""


def _each(purchase: Purchase, units: UnitSystem) -> str:
    return f", each {print_length(purchase.length_each_mm, units).text} long" if purchase.length_each_mm else ""


def _spools(purchase: Purchase, units: UnitSystem) -> str:
    count, holder = round(purchase.quantity) * purchase.pack_count, "spool" if purchase.goes_on else "roll"
    return spools_in_words(count, purchase.holds_m or 0.0, units, holder=holder)


def _counted(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def _packs(count: int) -> str:
    return "1 pack" if count == 1 else f"{count} packs"
