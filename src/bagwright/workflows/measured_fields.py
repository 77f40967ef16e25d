"""What is typed at the kitchen table about a material, and what it tells: ruler test, heart loop, stack, scale."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from bagwright.body.heart_loop import overhang_of_heart_loop
from bagwright.body.home_tests import mass_of_piece, thickness_of_stack
from bagwright.body.ruler_readings import ruler_finding
from bagwright.body.ruler_test import bending_length_mm
from bagwright.errors import FaultyInput, Problem
from bagwright.model.home_tests import FaceReadings, RulerFinding
from bagwright.model.material import Material
from bagwright.model.source import Reading
from bagwright.units import UnitSystem, read_length_mm, read_mass_g
from bagwright.workflows.contracts import Faults
from bagwright.workflows.typed_readings import read_angle_deg, read_count, read_overhangs_mm, read_small_mm

Texts = Mapping[str, str]
USUAL_ANGLE_DEG = 41.5
_MOST_LAYERS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What one visit to the kitchen table tells of a material, as far as it was measured.

    `loop_overhang_mm`: the overhang, at the angle of the card, that a heart loop stands for.
    """

    angle_deg: float
    ruler: RulerFinding | None = None
    loop_overhang_mm: Reading | None = None
    thickness_mm: Reading | None = None
    mass_gsm: Reading | None = None


def read_measuring(texts: Texts, kept: Material, units: UnitSystem) -> Measured:
    """What was typed, worked out. Raises `FaultyInput` with every fault, each at the field where it was typed."""
    faults = Faults()
    angle = kept.overhang_angle_deg
    thickness = mass = loop = ruler = None
    with faults:
        angle = read_angle_deg(texts["angle_deg"], place="angle_deg") if texts.get("angle_deg", "").strip() else angle
    with faults:
        thickness = _thickness(texts, units)
    with faults:
        mass = _mass(texts, units)
    with faults:
        loop = _loop(texts, units)
    along = read_faces(texts, "along", units, faults)
    across = read_faces(texts, "across", units, faults)
    has_along = bool(along.face_up_mm or along.face_down_mm)
    if loop and has_along:
        faults.problems.append(_problem("loop_strip", "", "comes on top of a ruler test", "one of the two"))
    if not faults.problems and not (loop or thickness or mass or has_along or across.face_up_mm or across.face_down_mm):
        faults.problems.append(_problem("along_up", "", "there is no reading yet", "one measurement or more"))
    faults.raise_if_any()
    if has_along or across.face_up_mm or across.face_down_mm:
        ruler = ruler_finding(along, across, angle_deg=angle, mass_gsm=mass or kept.mass_gsm)
    loop = at_angle(loop, USUAL_ANGLE_DEG, angle) if loop else None
    return Measured(angle_deg=angle, ruler=ruler, loop_overhang_mm=loop, thickness_mm=thickness, mass_gsm=mass)


def read_faces(texts: Texts, direction: str, units: UnitSystem, faults: Faults) -> FaceReadings:
    """Readings of both faces in one direction; what cannot be read goes to `faults`."""
    read: dict[str, tuple[float, ...]] = {}
    for face in ("up", "down"):
        with faults:
            place = f"{direction}_{face}"
            read[face] = read_overhangs_mm(texts.get(place, ""), place=place, units=units)
    return FaceReadings(
        face_up_mm=read.get("up", ()),
        face_down_mm=read.get("down", ()),
        keep_outliers_up=f"keep_{direction}_up" in texts,
        keep_outliers_down=f"keep_{direction}_down" in texts,
    )


def at_angle(overhang_mm: Reading, from_deg: float, to_deg: float) -> Reading:
    """The overhang that the same strip has at another slope of the card.

    >>> round(at_angle(Reading.exact(50), 41.5, 45).value, 1)
    52.5
    """
    share = bending_length_mm(1.0, angle_deg=from_deg) / bending_length_mm(1.0, angle_deg=to_deg)
    value, low, high = (end * share for end in (overhang_mm.value, overhang_mm.low, overhang_mm.high))
    return Reading(value, low, high, overhang_mm.source)


def _thickness(texts: Texts, units: UnitSystem) -> Reading | None:
    if not _typed(texts, "stack_height", "stack_layers"):
        return None
    faults, height, layers = Faults(), 0.0, 0
    with faults:
        height = read_small_mm(_needed(texts, "stack_height"), place="stack_height", units=units)
    with faults:
        layers = read_count(_needed(texts, "stack_layers"), place="stack_layers", most=_MOST_LAYERS)
    faults.raise_if_any()
    return _placed(lambda: thickness_of_stack(height, layers), {"height_mm": "stack_height", "layers": "stack_layers"})


def _mass(texts: Texts, units: UnitSystem) -> Reading | None:
    if not _typed(texts, "piece_mass", "piece_length", "piece_width"):
        return None
    faults = Faults()
    read: dict[str, float] = {}
    for name in ("piece_mass", "scale_step"):
        with faults:
            text = texts.get(name, "").strip() or ("1 g" if name == "scale_step" else "")
            read[name] = read_mass_g(_needed({name: text}, name), place=name)
    for name in ("piece_length", "piece_width"):
        with faults:
            read[name] = read_length_mm(_needed(texts, name), place=name, units=units)
    faults.raise_if_any()
    places = {"mass_g": "piece_mass", "size_mm": "piece_length", "size_mm[0]": "piece_length"}
    return _placed(
        lambda: mass_of_piece(
            read["piece_mass"], (read["piece_length"], read["piece_width"]), scale_step_g=read["scale_step"]
        ),
        {**places, "size_mm[1]": "piece_width"},
    )


def _loop(texts: Texts, units: UnitSystem) -> Reading | None:
    if not _typed(texts, "loop_strip", "loop_drop"):
        return None
    faults = Faults()
    read: dict[str, float] = {}
    for name in ("loop_strip", "loop_drop"):
        with faults:
            read[name] = read_small_mm(_needed(texts, name), place=name, units=units)
    faults.raise_if_any()
    return _placed(
        lambda: overhang_of_heart_loop(read["loop_strip"], read["loop_drop"]),
        {"strip_mm": "loop_strip", "loop_mm": "loop_drop"},
    )


def _typed(texts: Texts, *names: str) -> bool:
    return any(texts.get(name, "").strip() for name in names)


def _needed(texts: Texts, name: str) -> str:
    text = texts.get(name, "").strip()
    if not text:
        raise FaultyInput([_problem(name, "", "this is missing", "a number here, too")])
    return text


def _placed(measure: Callable[[], Reading], places: Mapping[str, str]) -> Reading:
    """Faults found by the body room are told at the field where the number was typed."""
    try:
        return measure()
    except FaultyInput as fault:
        raise FaultyInput(replace(one, place=places.get(one.place, one.place)) for one in fault.problems) from None


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Type it here.")
