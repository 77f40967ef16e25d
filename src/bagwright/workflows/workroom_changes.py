"""Changing the settings of the workroom."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Any

from bagwright.body.needle import needle_said
from bagwright.drafting.measurements import length_said
from bagwright.drafting.usual_allowances import ALLOWANCES
from bagwright.errors import FaultyInput, Problem, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.money import Money
from bagwright.store.connection import Connection
from bagwright.store.materials import load_offers
from bagwright.store.runs import load_seller_terms
from bagwright.store.stash import load_stash
from bagwright.store.transaction import transaction
from bagwright.store.workroom import (
    can_redo_workroom,
    can_undo_workroom,
    load_workroom,
    redo_workroom,
    save_workroom,
    undo_workroom,
)
from bagwright.units import UnitSystem, print_length, read_length_mm, read_number
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk
from bagwright.workflows.shelf_words import money_from

Texts = Mapping[str, str]
FRACTIONS = (4, 8, 16, 32)
NEEDLES_NM: Mapping[int, str] = {
    0: "not known",
    **{metric: needle_said(metric) for metric in (80, 90, 100, 110, 120, 130, 140, 160, 180)},
}
"""Thickest needles to choose from, by metric number, and how they are told."""
_LENGTHS_MM = {
    "stitch_length_mm": (0.5, 10.0),
    "takes_mm": (0.5, 50.0),
    "seam_allowance_mm": (4.0, 20.0),
    "top_allowance_mm": (6.0, 40.0),
    "zip_allowance_mm": (4.0, 12.0),
    "strap_turn_mm": (15.0, 60.0),
}
_IN_MM = frozenset({"stitch_length_mm", "takes_mm", "layout_gap_mm"})
"""Small lengths that a metric maker reads in mm, not cm."""
_BARE = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_NO_GAP = re.compile(r"""0+(?:[.,]0*)?\s*(?:mm|cm|m|in|inch|inches|")?""")
_PERCENT = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,4})?\s*%?")


def the_workroom(desk: Desk) -> Workroom:
    """The settings as they are kept."""
    with desk.store() as store:
        return load_workroom(store)


def change_workroom(desk: Desk, version: int, texts: Texts) -> Workroom:
    """Take over typed settings. Raises `FaultyInput` with every fault (nothing is saved then), `StaleSave`.

    Another currency is taken as long as no price is kept in the old one: nobody's rate of exchange is known here.
    """
    with desk.store() as store:
        kept = load_workroom(store)
        changed = read_workroom(kept, texts)
        _refuse_currency(store, kept, changed, texts.get("currency", ""))
        return save_workroom(store, replace(changed, version=version))


def workroom_steps(desk: Desk) -> tuple[bool, bool]:
    """Whether a change of the settings can be undone, and whether one can be redone."""
    with desk.store() as store:
        return can_undo_workroom(store), can_redo_workroom(store)


def undo_workroom_change(desk: Desk, version: int) -> Workroom:
    """The settings before their last change; without one they stay. Raises `StaleSave`, `FaultyInput` as a change."""
    return _stepped(desk, version, (can_undo_workroom, undo_workroom))


def redo_workroom_change(desk: Desk, version: int) -> Workroom:
    """What the last undo took back; with nothing to redo they stay. Raises `StaleSave`, `FaultyInput` as a change."""
    return _stepped(desk, version, (can_redo_workroom, redo_workroom))


def _stepped(
    desk: Desk, version: int, step: tuple[Callable[[Connection], bool], Callable[[Connection], Workroom]]
) -> Workroom:
    can, go = step
    with desk.store() as store, transaction(store):
        kept = load_workroom(store)
        if kept.version != version:
            raise StaleSave("workroom", expected_version=version, kept_version=kept.version)
        gone = go(store) if can(store) else kept
        _refuse_currency(store, kept, gone, gone.currency)
        return gone


def _refuse_currency(store: Connection, kept: Workroom, changed: Workroom, typed: str) -> None:
    """Raises `FaultyInput` for another currency once prices are kept."""
    if changed.currency != kept.currency and _has_prices(store):
        allowed = f"{kept.currency}, in which prices are kept"
        raise FaultyInput([_problem(typed, "currency", "is not what your prices are in", allowed)])


def read_workroom(kept: Workroom, texts: Texts) -> Workroom:
    """The settings with what was typed; a field that is missing stays as it is. Raises `FaultyInput`."""
    read: dict[str, Any] = {}
    faults = Faults()
    for name, reader in _READERS.items():
        if name in texts and texts[name].strip() != shown(kept, name):
            with faults:
                read[name] = reader(texts[name], name, kept)
    faults.raise_if_any()
    changed = replace(kept, **read)
    return changed if changed.currency == kept.currency else _in_currency(changed, changed.currency)


def _in_currency(value: Any, currency: str) -> Any:
    """The same amounts, told in that currency, however deep they lie."""
    if isinstance(value, Money):
        return Money(value.amount, currency)
    if isinstance(value, tuple):
        return tuple(_in_currency(one, currency) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{one.name: _in_currency(getattr(value, one.name), currency) for one in fields(value)})
    return value


def _has_prices(store: Connection) -> bool:
    """Whether any price, fee or worth is kept, put away or not."""
    if load_offers(store, with_retired=True) or load_seller_terms(store):
        return True
    return any(piece.value.value is not None for piece in load_stash(store, with_retired=True))


def shown(workroom: Workroom, name: str) -> str:
    """A setting as it stands in its field."""
    value = getattr(workroom, name)
    if value is None:
        return ""
    if isinstance(value, Money):
        return str(value.for_display())
    if name in _IN_MM and workroom.units is UnitSystem.METRIC:
        return f"{value:.6g} mm"
    if name.endswith("_mm"):
        return print_length(value, workroom.units, fraction=64).text
    if name.endswith("_share"):
        return f"{(Decimal(str(value)) * 100).normalize():f}"
    return f"{value:g}" if isinstance(value, float) else str(value)


def hidden_by_rounding(workroom: Workroom, name: str) -> str:
    """What the rounding of a length in its field hides, if anything."""
    value = getattr(workroom, name)
    is_length = name.endswith("_mm") and value is not None
    if name in _IN_MM and workroom.units is UnitSystem.METRIC:
        return ""
    hidden = print_length(value, workroom.units, fraction=64).rounded if is_length else ""
    return f"rounded from {value:.4g} mm" if hidden and name in _IN_MM else hidden


def _amount(text: str, place: str, kept: Workroom) -> Money:
    return money_from(text, kept.currency, place=place)


def _length(text: str, place: str, kept: Workroom) -> float:
    low, high = _LENGTHS_MM[place]
    length_mm = read_length_mm(_with_mm(text, place, kept), place=place, units=kept.units)
    return _within(length_mm, text, place, (low, high, f"{length_said(low)} to {length_said(high)}"))


def _allowance(text: str, place: str, kept: Workroom) -> float | None:
    """An empty field leaves it to the form."""
    return _length(text, place, kept) if text.strip() else None


def _gap(text: str, place: str, kept: Workroom) -> float:
    if _NO_GAP.fullmatch(text.strip()):
        return 0.0
    gap_mm = read_length_mm(_with_mm(text, place, kept), place=place, units=kept.units)
    return _within(gap_mm, text, place, (0.0, 100.0, "0 to 100 mm"))


def _with_mm(text: str, place: str, kept: Workroom) -> str:
    """A bare number is in the unit that its field shows."""
    is_bare = place in _IN_MM and kept.units is UnitSystem.METRIC and _BARE.fullmatch(text.strip())
    return f"{text} mm" if is_bare else text


def _speed(text: str, place: str, kept: Workroom) -> float:
    speed = read_number(text, place=place, what="stitches a minute")
    return _within(speed, text, place, (10.0, 6000.0, "10 to 6000 stitches a minute"))


def read_percent(text: str, place: str, *, high: float = 100) -> Decimal:
    """A percentage from 0 to `high` as a share. Raises `FaultyInput`.

    >>> read_percent("12.5 %", "tax"), read_percent("8", "tax")
    (Decimal('0.125'), Decimal('0.08'))
    """
    allowed = f"0 to {high:g} %"
    if not _PERCENT.fullmatch(text.strip()):
        raise _refused(text, place, "is not a percentage", allowed)
    percent = Decimal(text.replace("%", "").strip().replace(",", "."))
    _within(float(percent), text, place, (0.0, high, allowed))
    return percent / 100


def _fee(text: str, place: str, kept: Workroom) -> Decimal:
    return read_percent(text, place, high=95)


def _waste(text: str, place: str, kept: Workroom) -> float:
    return float(read_percent(text, place))


def _units(text: str, place: str, kept: Workroom) -> UnitSystem:
    return UnitSystem(_one_of(text, place, [*UnitSystem]))


def _currency(text: str, place: str, kept: Workroom) -> str:
    code = text.strip().upper()
    if not re.fullmatch("[A-Z]{3}", code):
        raise _refused(text, place, "is no currency", "its three letters, such as USD, EUR or GBP")
    return code


def _fraction(text: str, place: str, kept: Workroom) -> int:
    return int(_one_of(text, place, [str(n) for n in FRACTIONS]))


def _needle(text: str, place: str, kept: Workroom) -> int:
    return int(_one_of(text, place, [str(n) for n in NEEDLES_NM]))


def _one_of(text: str, place: str, allowed: list[str]) -> str:
    if text not in allowed:
        raise _refused(text, place, "is not one of the choices", ", ".join(allowed))
    return text


def _within(value: float, text: str, place: str, limits: tuple[float, float, str]) -> float:
    low, high, allowed = limits
    if not low <= value <= high:
        raise _refused(text, place, "is out of range", allowed)
    return value


def _refused(text: str, place: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([_problem(text, place, what, allowed)])


def _problem(text: str, place: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy="Type it again.")


_READERS: Mapping[str, Callable[[str, str, Workroom], object]] = {
    "units": _units,
    "fraction": _fraction,
    "currency": _currency,
    "hourly_pay": _amount,
    "overhead_per_hour": _amount,
    "selling_fee_share": _fee,
    "selling_fee_fixed": _amount,
    "stitch_length_mm": _length,
    "sewing_speed_spm": _speed,
    "thread_waste_share": _waste,
    "layout_gap_mm": _gap,
    "takes_mm": _length,
    "thickest_needle_nm": _needle,
    **dict.fromkeys(ALLOWANCES, _allowance),
}
