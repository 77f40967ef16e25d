"""How much of a thing a supply list asks for: cloth by length and width, thread by the spool, parts by number."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from bagwright.costing.offers import USED_SHARE_OF_HIDE
from bagwright.model.material import MaterialKind
from bagwright.model.pattern import NotionNeed
from bagwright.model.run_buying import RunNeed
from bagwright.model.sewn_zip import ReadyMadeFit
from bagwright.units import MM_PER_INCH, MM_PER_YARD, UnitSystem, print_cloth_length, print_length
from bagwright.workflows.purchase_words import NO_HAIR, area_in_words, spools_in_words

_MM_PER_M = 1000.0


def group_words(
    need: RunNeed, kind: MaterialKind, *, width_mm: float | None = None, spools_m: Iterable[float] = ()
) -> str:
    """What the run takes, in both systems of units, whatever shop it comes from.

    `width_mm`: of the cloth that is planned with, if pieces are laid on it. `spools_m`: how much spools of it hold, the
    one that is planned with first.
    """
    wanted = need.need
    if wanted.count is not None:
        which = f"; {zip_fit_words(wanted.each)}" if wanted.each else ""
        return f"{wanted.count} × {wanted.name}{which}"
    if wanted.length_mm is not None and need.goes_on:
        return _thread(wanted.length_mm, wanted.name, spools_m)
    if wanted.length_mm is not None:
        return f"{_both_cloth(wanted.length_mm)} of {wanted.name}"
    lengths = dict(wanted.lengths_mm_by_width)
    if kind.is_hide or not lengths:
        hides_m2 = wanted.area_mm2 / 1e6 / float(USED_SHARE_OF_HIDE if kind.is_hide else 1)
        inch, metric = (area_in_words(hides_m2, units) for units in (UnitSystem.INCH, UnitSystem.METRIC))
        return f"{inch} ({metric}) of {wanted.name}"
    width = width_mm if width_mm in lengths and width_mm is not None else max(lengths)
    return f"{_both_cloth(lengths[width])} of {wanted.name}, {_wide(width)} wide or wider"


def _thread(length_mm: float, name: str, spools_m: Iterable[float]) -> str:
    """By the spool if it is known how much one holds: nobody sells it by the yard."""
    held_m = next(iter(spools_m), None)
    if not held_m:
        return f"{_thread_length(length_mm)} of {name}"
    count = math.ceil(length_mm / (held_m * _MM_PER_M) - NO_HAIR)
    return (
        f"{spools_in_words(count, held_m, UnitSystem.INCH)} of {name}; {_thread_length(length_mm)} of it will be sewn"
    )


def _thread_length(length_mm: float) -> str:
    """Whole yards and metres, up.

    >>> _thread_length(86_890)
    '96 yd (87 m)'
    """
    metres, yards = (math.ceil(length_mm / one - NO_HAIR) for one in (_MM_PER_M, MM_PER_YARD))
    return f"{yards} yd ({metres} m)"


def _wide(width_mm: float) -> str:
    """A width of cloth that is wide enough in either system: eighths of an inch and whole centimetres, up.

    >>> _wide(1473.2), _wide(1500)
    ('58 in (148 cm)', '59 1/8 in (150 cm)')
    """
    eighths = math.ceil(width_mm / MM_PER_INCH * 8 - NO_HAIR)
    inches = print_length(eighths * MM_PER_INCH / 8, UnitSystem.INCH, fraction=8).text
    return f"{inches} ({math.ceil(width_mm / 10 - NO_HAIR)} cm)"


def zips_instead(bag_name: str, notions: Iterable[NotionNeed]) -> Iterator[str]:
    """Of the zips that a bag has cut from a roll, which ready-made ones do instead."""
    fits: dict[ReadyMadeFit, list[str]] = {}
    for notion in notions:
        if notion.ready_made:
            fits.setdefault(notion.ready_made, []).append(notion.name.lower())
    for fit, names in fits.items():
        which = f" ({', '.join(names)})" if len(fits) > 1 else ""
        yield f"{bag_name}: a ready-made zip will do in place of chain and slider{which}: {zip_fit_words(fit)}."


def zip_fit_words(fit: ReadyMadeFit) -> str:
    """Which ready-made zips do, by their length from stop to stop.

    >>> zip_fit_words(ReadyMadeFit(233.4, 203.2))
    'one of 8 in (20.3 cm) from stop to stop goes in as it is, one of 9 1/4 in (23.4 cm) or longer is cut down'
    """
    longer = f"one of {at_least(fit.least_mm)} or longer is cut down"
    if fit.as_it_is_mm is None:
        return longer
    inch = print_length(fit.as_it_is_mm, UnitSystem.INCH, fraction=16).text
    metric = print_length(fit.as_it_is_mm, UnitSystem.METRIC).text
    return f"one of {inch} ({metric}) from stop to stop goes in as it is, {longer}"


def at_least(length_mm: float) -> str:
    """A length that is enough in either system: eighths of an inch and whole millimetres, up.

    >>> at_least(231.8)
    '9 1/4 in (23.2 cm)'
    """
    inches = math.ceil(length_mm / MM_PER_INCH * 8 - NO_HAIR) * MM_PER_INCH / 8
    metric = print_length(math.ceil(length_mm - NO_HAIR), UnitSystem.METRIC).text
    return f"{print_length(inches, UnitSystem.INCH, fraction=8).text} ({metric})"


def _both_cloth(length_mm: float) -> str:
    """Rounded up in each system by itself, so that either is enough."""
    inch, metric = (print_cloth_length(length_mm, units).text for units in (UnitSystem.INCH, UnitSystem.METRIC))
    return f"{inch} ({metric})"
