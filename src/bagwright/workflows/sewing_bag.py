"""Sewing one bag of hers: what to sew with, where it gets thick, and what its straps bear."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bagwright.body.needle import within_machine
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.bulk import SeamBulk
from bagwright.model.pattern import Pattern
from bagwright.model.sewing import SewingAdvice
from bagwright.units import UnitSystem, print_length, read_length_mm, read_mass_g, read_number
from bagwright.workflows.contracts import Faults
from bagwright.workflows.desk import BagView
from bagwright.workflows.seam_bulk import bag_bulks, bag_sewing_advice
from bagwright.workflows.tell_bulk import thickest_of_steps
from bagwright.workflows.tell_strap import StrapWords, ToldStrap, tell_strap

Texts = Mapping[str, str]
_USUAL_LOAD = {UnitSystem.INCH: "11 lb", UnitSystem.METRIC: "5 kg"}
"""What a full shopping bag weighs: common practice, no source."""
_ROWS = 2
"""Rows that hold a strap end unless she says otherwise: the seam and the topstitching over it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedStrap:
    """What was typed of the straps, its faults, and the answer if there are none."""

    texts: Texts
    problems: tuple[Problem, ...]
    told: ToldStrap | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BagSewing:
    """What to sew a bag with; its steps at their thickest, the thickest first; its straps if it has any."""

    advice: SewingAdvice
    bulks: tuple[SeamBulk, ...]
    strap: AskedStrap | None


def sewing_of_bag(view: BagView, texts: Texts) -> BagSewing:
    """All of it. Raises `FaultyInput` for a material that is not chosen or not known well enough."""
    answer = view.answer
    bulks = bag_bulks(answer.pattern, answer.bag.stacks, view.shelf)
    by_thickness = sorted(thickest_of_steps(bulks), key=lambda bulk: -bulk.thickness_mm.high)
    return BagSewing(
        advice=within_machine(
            bag_sewing_advice(answer.pattern, answer.bag.stacks, view.shelf, bulks), view.workroom.thickest_needle_nm
        ),
        bulks=tuple(by_thickness),
        strap=ask_of_straps(answer.pattern, view.workroom, texts) if _has_straps(answer.pattern) else None,
    )


def ask_of_straps(pattern: Pattern, workroom: Workroom, texts: Texts) -> AskedStrap:
    """The straps at the typed load; a missing field is as the pattern has it. Never raises for what is typed."""
    given = {name: texts.get(name, "").strip() or usual for name, usual in _usual(pattern, workroom).items()}
    try:
        return AskedStrap(texts=given, problems=(), told=tell_strap(_read(given, workroom)))
    except FaultyInput as fault:
        return AskedStrap(texts=given, problems=tuple(fault.problems), told=None)


def _has_straps(pattern: Pattern) -> bool:
    return "strap_length_mm" in pattern.measurements_mm and bool(_strap_count(pattern))


def _strap_count(pattern: Pattern) -> int:
    pieces = sum(piece.count for piece in pattern.pieces if piece.role == "strap" and piece.id.startswith("strap"))
    return pieces or sum(notion.count for notion in pattern.notions if notion.role in ("strap", "webbing"))


def _usual(pattern: Pattern, workroom: Workroom) -> dict[str, str]:
    sizes = pattern.measurements_mm
    spread_mm, units = sizes.get("strap_spacing_mm", 0.0), workroom.units
    drop_mm = max((sizes["strap_length_mm"] - spread_mm) / 2, 25.0)
    return {
        "load": _USUAL_LOAD[units],
        "ends": str(2 * _strap_count(pattern)),
        "drop": print_length(drop_mm, units, fraction=4).text,
        "spread": print_length(spread_mm, units, fraction=4).text if spread_mm else "0",
        "stitched": print_length(_ROWS * sizes.get("strap_width_mm", 25.0), units, fraction=8).text,
        "thread": "40",
    }


def _read(texts: Texts, workroom: Workroom) -> StrapWords:
    read = {"spread_mm": 0.0}
    faults = Faults()
    with faults:
        read["load_g"] = _within("load", read_mass_g(texts["load"], place="load"))
    for name in ("drop", "spread", "stitched"):
        if name != "spread" or texts[name] != "0":
            with faults:
                length_mm = read_length_mm(texts[name], place=name, units=workroom.units)
                read[f"{name}_mm"] = _within(name, length_mm)
    for name, field, what in (("ends", "ends", "strap ends"), ("thread", "thread_tex", "tex")):
        with faults:
            read[field] = _within(name, read_number(texts[name], place=name, what=what))
    faults.raise_if_any()
    return StrapWords(
        load_g=read["load_g"],
        ends=int(read["ends"]),
        drop_mm=read["drop_mm"],
        spread_mm=read["spread_mm"],
        stitched_mm=read["stitched_mm"],
        stitch_length_mm=workroom.stitch_length_mm,
        thread_tex=read["thread_tex"],
    )


_LIMITS: Mapping[str, tuple[float, float, str]] = {
    "load": (1, 200_000, " g"),
    "ends": (1, 16, ""),
    "drop": (10, 2_000, " mm"),
    "spread": (0, 2_000, " mm"),
    "stitched": (1, 2_000, " mm"),
    "thread": (5, 500, " tex"),
}


def _within(place: str, value: float) -> float:
    """The value, if the strap's contract takes it; else `FaultyInput` beside its field."""
    low, high, unit = _LIMITS[place]
    if low <= value <= high and (place != "ends" or value == int(value)):
        return value
    whole = "a whole number, " if place == "ends" else ""
    problem = Problem(
        place=place,
        value=f"{value:g}{unit}",
        what="is out of range",
        allowed=f"{whole}{low:g} to {high:g}{unit}",
        remedy="Type it again.",
    )
    raise FaultyInput([problem])
