"""`bagwright ruler`: what readings at the kitchen table tell of a cloth: how it bends, how thick and heavy it is."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from pydantic import Field

from bagwright.body.heart_loop import overhang_of_heart_loop
from bagwright.body.home_tests import mass_of_piece, thickness_of_stack
from bagwright.body.ruler_readings import ruler_finding
from bagwright.errors import FaultyInput
from bagwright.model.home_tests import DirectionFinding, FaceReadings, ReadingGroup, RulerFinding
from bagwright.model.source import Reading
from bagwright.units import UnitSystem, print_length, print_mass_gsm
from bagwright.workflows.contracts import Contract, Faults, read_contract
from bagwright.workflows.layer_words import AngleDeg


class FaceReadingsWords(Contract):
    """Readings of the ruler test in one direction of the cloth."""

    face_up_mm: list[float] = Field(
        default=[], max_length=50, description="overhangs in mm, right side up: list of up to 50"
    )
    face_down_mm: list[float] = Field(
        default=[], max_length=50, description="overhangs in mm, right side down: list of up to 50"
    )
    keep_outliers_up: bool = Field(default=False, description="readings far from the others count, right side up")
    keep_outliers_down: bool = Field(default=False, description="readings far from the others count, right side down")


class ThicknessWords(Contract):
    """A stack of layers under a ruler."""

    height_mm: float = Field(ge=0.1, le=1_000, description="height of the stack in mm, 0.1 to 1000")
    layers: int = Field(ge=1, le=1_000, description="how many layers, 1 to 1000")


class WeightWords(Contract):
    """A cut rectangle on a kitchen scale."""

    mass_g: float = Field(ge=0.1, le=100_000, description="its weight in g, 0.1 to 100000")
    length_mm: float = Field(ge=10, le=10_000, description="its length in mm, 10 to 10000")
    width_mm: float = Field(ge=10, le=10_000, description="its width in mm, 10 to 10000")
    scale_step_g: float = Field(default=1, ge=0.001, le=100, description="step of the scale in g, 0.001 to 100")


class LoopWords(Contract):
    """A heart loop: a strip that hangs from its two ends, both going up into the clamp."""

    strip_mm: float = Field(ge=20, le=2_000, description="free length of the strip in mm, 20 to 2000")
    loop_mm: float = Field(ge=2, le=1_000, description="how far the loop hangs down in mm, 2 to 1000")


class RulerWords(Contract):
    """What `bagwright ruler` reads."""

    lengthwise: FaceReadingsWords = Field(default=FaceReadingsWords(), description="strips cut lengthwise")
    crosswise: FaceReadingsWords = Field(default=FaceReadingsWords(), description="strips cut crosswise")
    angle_deg: AngleDeg = 41.5
    reading_error_mm: float = Field(default=1, ge=0.05, le=10, description="how far she reads off in mm, 0.05 to 10")
    heart_loop: LoopWords | None = Field(
        default=None, description="a heart loop of a lengthwise strip, if one was hung"
    )
    thickness: ThicknessWords | None = Field(default=None, description="a stack of layers under a ruler, if measured")
    weight: WeightWords | None = Field(default=None, description="a cut rectangle on a scale, if weighed")


@dataclass(frozen=True, slots=True)
class ToldRuler:
    """The finding of the ruler test, the overhang a heart loop stands for, thickness and weight, as far as measured."""

    finding: RulerFinding | None
    loop_overhang_mm: Reading | None
    thickness_mm: Reading | None
    mass_gsm: Reading | None


def ruler_of_file(text: bytes) -> ToldRuler:
    """What the readings that JSON `text` lists tell. Raises `FaultyInput` with every fault."""
    words = read_contract(text, RulerWords)
    thickness = mass = loop = finding = None
    faults = Faults()
    with faults:
        thickness = _thickness(words.thickness) if words.thickness else None
    with faults:
        mass = _mass(words.weight) if words.weight else None
    with faults:
        loop = _loop(words.heart_loop, words.reading_error_mm) if words.heart_loop else None
    with faults:
        if not words.heart_loop or _readings(words.lengthwise) or _readings(words.crosswise):
            finding = ruler_finding(
                _faces(words.lengthwise),
                _faces(words.crosswise),
                angle_deg=words.angle_deg,
                mass_gsm=mass,
                reading_error_mm=words.reading_error_mm,
            )
    faults.raise_if_any()
    return ToldRuler(finding, loop, thickness, mass)


def _readings(words: FaceReadingsWords) -> tuple[float, ...]:
    return (*words.face_up_mm, *words.face_down_mm)


def _loop(words: LoopWords, reading_error_mm: float) -> Reading:
    with _inside("heart_loop"):
        return overhang_of_heart_loop(words.strip_mm, words.loop_mm, reading_error_mm=reading_error_mm)


def _faces(words: FaceReadingsWords) -> FaceReadings:
    return FaceReadings(
        face_up_mm=tuple(words.face_up_mm),
        face_down_mm=tuple(words.face_down_mm),
        keep_outliers_up=words.keep_outliers_up,
        keep_outliers_down=words.keep_outliers_down,
    )


def _thickness(words: ThicknessWords) -> Reading:
    with _inside("thickness"):
        return thickness_of_stack(words.height_mm, words.layers)


def _mass(words: WeightWords) -> Reading:
    with _inside("weight"):
        return mass_of_piece(words.mass_g, (words.length_mm, words.width_mm), scale_step_g=words.scale_step_g)


@contextmanager
def _inside(place: str) -> Iterator[None]:
    """Faults found here are told as within `place`."""
    try:
        yield
    except FaultyInput as fault:
        raise FaultyInput(replace(one, place=f"{place}.{one.place}") for one in fault.problems) from None


def ruler_as_json(told: ToldRuler) -> dict[str, object]:
    """The answer of `bagwright ruler`; its readings can be used as they are wherever a reading may stand."""
    return {
        "lengthwise": _direction_as_json(told.finding.lengthwise if told.finding else None),
        "crosswise": _direction_as_json(told.finding.crosswise if told.finding else None),
        "bending_length_mm": _reading_as_json(told.finding.bending_length_mm if told.finding else None),
        "loop_overhang_mm": _reading_as_json(told.loop_overhang_mm),
        "thickness_mm": _reading_as_json(told.thickness_mm),
        "mass_gsm": _reading_as_json(told.mass_gsm),
    }


def _direction_as_json(found: DirectionFinding | None) -> dict[str, object] | None:
    if found is None:
        return None
    return {
        "overhang_mm": _reading_as_json(found.overhang_mm),
        "bending_length_mm": _reading_as_json(found.bending_length_mm),
        "rigidity_unm": _reading_as_json(found.rigidity_unm),
        "one_mm_more": found.one_mm_more,
        "face_up": _group_as_json(found.face_up),
        "face_down": _group_as_json(found.face_down),
        "notes": list(found.notes),
    }


def _reading_as_json(reading: Reading | None) -> dict[str, object] | None:
    if reading is None:
        return None
    source = {"kind": reading.source.kind.value, "said_by": reading.source.said_by}
    return {"value": reading.value, "low": reading.low, "high": reading.high, "source": source}


def _group_as_json(group: ReadingGroup | None) -> dict[str, object] | None:
    if group is None:
        return None
    outliers = [{"reading_mm": reading} for reading in group.outliers_mm]
    return {"mean_mm": group.mean_mm, "spread_mm": group.spread_mm, "kept": len(group.kept_mm), "outliers": outliers}


def ruler_in_words(told: ToldRuler, units: UnitSystem) -> str:
    """The answer for the maker."""
    lines: list[str] = []
    tested = told.finding
    for name, found in (("Lengthwise", tested.lengthwise), ("Crosswise", tested.crosswise)) if tested else ():
        if found:
            lines += _direction_lines(name, found, units)
    if told.loop_overhang_mm:
        value, low, high = (print_length(end, units).text for end in _ends(told.loop_overhang_mm))
        lines.append(f"By its heart loop it would hang over {value} ({low} to {high}) in the ruler test.")
    if told.thickness_mm:
        one = told.thickness_mm
        lines.append(f"One layer is {one.value:.2f} mm thick ({one.low:.2f} to {one.high:.2f}).")
    if told.mass_gsm:
        value, low, high = (print_mass_gsm(end, units).text for end in _ends(told.mass_gsm))
        lines.append(f"It weighs {value} ({low} to {high}).")
    return "\n".join(lines)


def _direction_lines(name: str, found: DirectionFinding, units: UnitSystem) -> Iterator[str]:
    value, low, high = (print_length(end, units).text for end in _ends(found.overhang_mm))
    yield f"{name} it hangs over {value} ({low} to {high})."
    for side, group in (("up", found.face_up), ("down", found.face_down)):
        if group and group.outliers_mm:
            apart = ", ".join(print_length(reading, units).text for reading in group.outliers_mm)
            is_kept = group.outliers_mm[0] in group.kept_mm
            yield f"  {'Far from the others but kept' if is_kept else 'Set apart'}, face {side}: {apart}."
    yield f"  One millimetre more of overhang would make it {found.one_mm_more:.0%} stiffer."
    yield from (f"  {note}" for note in found.notes)


def _ends(reading: Reading) -> tuple[float, float, float]:
    return reading.value, reading.low, reading.high
