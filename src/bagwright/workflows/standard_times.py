"""The standard times of the workroom and its learning curve, as she reads and types them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from bagwright.costing.learning import LEAST_RATE
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.timing import LearningModel
from bagwright.store.workroom import load_workroom, save_workroom
from bagwright.units import UnitSystem, print_length, read_length_mm
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import Desk
from bagwright.workflows.workroom_changes import read_percent

_NUMBER = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,4})?")
_MM2 = {UnitSystem.INCH: 645.16, UnitSystem.METRIC: 100.0}


@dataclass(frozen=True, slots=True)
class TimeField:
    """One standard time: its name, what it is, and least and most of it; `unit` as it is typed."""

    name: str
    label: str
    unit: str
    low: float
    high: float


def _minutes(name: str, label: str) -> TimeField:
    return TimeField(name, label, "min", 0, 1000)


TIME_FIELDS = {
    "Set up and cut": (
        _minutes("setup_minutes", "Set up the machine, once for a run"),
        TimeField("cutting_mm_per_minute", "Cut line cut in a minute", "length", 1, 1e6),
        _minutes("piece_handling_minutes", "Place, mark and stack a piece"),
    ),
    "Fuse and press": (
        TimeField("iron_face_mm2", "What one press of the iron covers", "area", 100, 1e6),
        TimeField("press_hold_seconds", "Hold one press", "s", 0, 600),
        TimeField("press_move_seconds", "Move the iron to the next", "s", 0, 600),
        TimeField("pressing_mm_per_minute", "Seam pressed in a minute", "length", 1, 1e6),
    ),
    "Pin, place and clip threads, for every seam": (
        _minutes("lockstitch_minutes", "A plain seam"),
        _minutes("zip_minutes", "A zip seam"),
        _minutes("topstitch_minutes", "A topstitched line"),
        _minutes("baste_minutes", "A basted line"),
        _minutes("hem_minutes", "A hem"),
        _minutes("quilt_minutes", "A quilted line"),
    ),
    "Baste and quilt inner layers": (
        TimeField("basting_mm_per_minute", "Edge basted in a minute", "length", 1, 1e6),
        TimeField("quilt_spacing_mm", "Between lines of quilting, where a bag draws none", "length", 5, 1000),
    ),
    "Parts, handwork, pieced layers, the end": (
        _minutes("notion_minutes", "Fit a bought part"),
        _minutes("handwork_minutes", "A step by hand"),
        _minutes("join_minutes", "Trim and butt a join of scraps"),
        TimeField("join_mm_per_minute", "Join held down in a minute", "length", 1, 1e6),
        _minutes("finishing_minutes", "Turn, trim, look it over"),
    ),
    "Rest, and how your own times count": (
        TimeField("allowance_share", "Rest and small things, added to all", "%", 0, 1),
        TimeField("doubt_share", "How far a standard time may be off (one standard deviation)", "%", 0, 1),
        TimeField("standard_weight", "How many of your times a standard time counts as", "", 0.1, 100),
    ),
}
"""Every standard time, by what it is for."""


def shown_time(workroom: Workroom, field: TimeField) -> str:
    """A standard time as it stands in its field."""
    value = getattr(workroom.standards, field.name)
    if field.unit == "length":
        return print_length(value, workroom.units).text
    if field.unit == "area":
        return f"{value / _MM2[workroom.units]:.4g}"
    return f"{100 * value:.4g}" if field.unit == "%" else f"{value:g}"


def unit_said(workroom: Workroom, field: TimeField) -> str:
    """The unit of what is typed there, if it has to be said."""
    if field.unit == "area":
        return "in²" if workroom.units is UnitSystem.INCH else "cm²"
    return "" if field.unit == "length" else field.unit


def shown_learning(workroom: Workroom) -> str:
    """The learning rate as it stands in its field."""
    return f"{100 * workroom.learning_rate:.4g}"


def change_standard_times(desk: Desk, version: int, texts: Mapping[str, str]) -> Workroom:
    """Take over typed standard times and learning. Raises `FaultyInput` with every fault, `StaleSave`."""
    with desk.store() as store:
        changed = read_standard_times(load_workroom(store), texts)
        return save_workroom(store, replace(changed, version=version))


def read_standard_times(kept: Workroom, texts: Mapping[str, str]) -> Workroom:
    """The settings with what was typed; a field that is missing or unchanged stays as it is. Raises `FaultyInput`."""
    read: dict[str, float] = {}
    rate, model, faults = kept.learning_rate, kept.learning_model, Faults()
    for field in (field for fields in TIME_FIELDS.values() for field in fields):
        if field.name in texts and texts[field.name].strip() != shown_time(kept, field):
            with faults:
                read[field.name] = _typed(texts[field.name], field, kept)
    if texts.get("learning_rate", shown_learning(kept)).strip() != shown_learning(kept):
        with faults:
            rate = _within(float(read_percent(texts["learning_rate"], "learning_rate")), texts, "learning_rate")
    with faults:
        model = _model(texts.get("learning_model", kept.learning_model))
    faults.raise_if_any()
    return replace(kept, standards=replace(kept.standards, **read), learning_rate=rate, learning_model=model)


def _typed(text: str, field: TimeField, kept: Workroom) -> float:
    if field.unit == "length":
        value = read_length_mm(text, place=field.name, units=kept.units)
    elif field.unit == "%":
        return float(read_percent(text, field.name))
    else:
        bare = text.strip().removesuffix(unit_said(kept, field)).strip()
        if not _NUMBER.fullmatch(bare):
            raise _refused(text, field.name, "is not a number", "a number, such as 2 or 2.5")
        value = float(bare.replace(",", ".")) * (_MM2[kept.units] if field.unit == "area" else 1.0)
    if not field.low <= value <= field.high:
        raise _refused(text, field.name, "is out of range", _allowed(field, kept))
    return value


def _allowed(field: TimeField, kept: Workroom) -> str:
    if field.unit == "length":
        return " to ".join(print_length(mm, kept.units).text for mm in (field.low, field.high))
    share = _MM2[kept.units] if field.unit == "area" else 1.0
    return f"{field.low / share:g} to {field.high / share:g} {unit_said(kept, field)}".strip()


def _within(rate: float, texts: Mapping[str, str], place: str) -> float:
    if not LEAST_RATE <= rate <= 1:
        raise _refused(texts[place], place, "is out of range", "70 to 100 %; 100 is no learning")
    return rate


def _model(text: str) -> LearningModel:
    if text not in set(LearningModel):
        raise _refused(text, "learning_model", "is not one of the choices", ", ".join(LearningModel))
    return LearningModel(text)


def _refused(text: str, place: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=text[:40], what=what, allowed=allowed, remedy="Type it again.")])
