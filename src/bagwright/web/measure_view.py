"""The page on which a material is measured, from what was typed and what it tells."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.bag import Workroom
from bagwright.model.home_tests import DirectionFinding
from bagwright.model.material import Material
from bagwright.model.source import Reading
from bagwright.units import UnitSystem
from bagwright.web.frame import frame
from bagwright.web.material_page import KNOWN_WORDS
from bagwright.web.measure_pages import FoundView, MeasurePage
from bagwright.web.pages import Field
from bagwright.web.ruler_words import (
    CAUTIONS,
    STEPS,
    angle_field,
    faces_fields,
    outlier_checks,
    plain_field,
    ranged,
    reading_error_words,
    slope_cards,
    stands_words,
)
from bagwright.web.wording import Wording
from bagwright.workflows.material_changes import MaterialOnShelf
from bagwright.workflows.measured_fields import USUAL_ANGLE_DEG, Measured
from bagwright.workflows.measuring import shelf_neighbours, stands_mm
from bagwright.workflows.measuring_pictures import ruler_test_picture, strips_picture
from bagwright.workflows.shelf import Shelf

_ALONG, _ACROSS = "Along the selvedge", "Across"
_LOOK_AGAIN = "Something was changed since this was worked out. This is how it is now: look once more, then save."


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedMeasuring:
    """What was typed, what was refused of it, and what it tells; `seen` stands for what was typed when it was told."""

    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    found: Measured | None = None
    seen: str = ""
    has_changed: bool = False
    stale: str = ""


def measure_page(
    on_shelf: MaterialOnShelf, shelf: Shelf, workroom: Workroom, typed: TypedMeasuring, *, is_demo: bool
) -> MeasurePage:
    """How to measure, fields for what was read, and what it tells."""
    material, units = on_shelf.material, workroom.units
    texts, problems = typed.texts, typed.problems
    angle = texts.get("angle_deg", f"{material.overhang_angle_deg:g}")
    shown_angle = typed.found.angle_deg if typed.found else USUAL_ANGLE_DEG
    return MeasurePage(
        frame=frame(f"Measure {material.name}", "/materials", is_demo=is_demo),
        id=material.id,
        name=material.name,
        version=on_shelf.version,
        stale=typed.stale,
        picture=Markup(ruler_test_picture(shown_angle)),
        strips=Markup(strips_picture()),
        angle=angle_field(angle, problems),
        cards=slope_cards("" if any(p.place == "angle_deg" for p in problems) else angle),
        steps=STEPS,
        cautions=CAUTIONS,
        along=faces_fields("along", texts, problems, units),
        across=faces_fields("across", texts, problems, units),
        loop=_loop_fields(texts, problems, units),
        stack=_stack_fields(texts, problems, units),
        piece=_piece_fields(texts, problems, units),
        is_loop_open=any(texts.get(name, "").strip() for name in ("loop_strip", "loop_drop")),
        found=tuple(_found(typed.found, material, shelf, workroom)) if typed.found else (),
        found_words=_LOOK_AGAIN if typed.has_changed else "",
        has_faults=bool(problems),
        seen=typed.seen,
    )


_Texts = Mapping[str, str]
_Problems = tuple[Problem, ...]


def _loop_fields(texts: _Texts, problems: _Problems, units: UnitSystem) -> tuple[Field, ...]:
    strip, drop = ("200", "60") if units is UnitSystem.METRIC else ("8", "2 3/8")
    unit = _small_unit(units)
    return (
        _typed("loop_strip", "Length of the strip", f"Between the pegs, in {unit}, such as {strip}.", texts, problems),
        _typed("loop_drop", "Loop hangs down", f"From the pegs, in {unit}, such as {drop}.", texts, problems),
    )


def _stack_fields(texts: _Texts, problems: _Problems, units: UnitSystem) -> tuple[Field, ...]:
    height = "6" if units is UnitSystem.METRIC else "1/4"
    return (
        _typed("stack_layers", "Layers", "Fold the cloth: ten or more tell best.", texts, problems),
        _typed("stack_height", "Height of the stack", f"In {_small_unit(units)}, such as {height}.", texts, problems),
    )


def _piece_fields(texts: _Texts, problems: _Problems, units: UnitSystem) -> tuple[Field, ...]:
    is_metric = units is UnitSystem.METRIC
    unit, length, width = ("cm", "50", "20") if is_metric else ("inches", "20", "8")
    return (
        _typed("piece_length", "Length of the piece", f"In {unit}, such as {length}.", texts, problems),
        _typed("piece_width", "Width of the piece", f"In {unit}, such as {width}.", texts, problems),
        _typed("piece_mass", "It weighs", "In grams, or write 1 1/4 oz.", texts, problems),
        _typed("scale_step", "The scale shows steps of", "1 g if you leave it empty.", texts, problems),
    )


def _small_unit(units: UnitSystem) -> str:
    return "millimetres" if units is UnitSystem.METRIC else "inches"


def _typed(name: str, label: str, hint: str, texts: _Texts, problems: _Problems) -> Field:
    return plain_field(name, label, hint, texts.get(name, ""), problems)


def _found(found: Measured, material: Material, shelf: Shelf, workroom: Workroom) -> Iterator[FoundView]:
    say = Wording(workroom)
    along = found.ruler.lengthwise if found.ruler else None
    across = found.ruler.crosswise if found.ruler else None
    if along:
        yield _direction(_ALONG, "along", along, (found, material, shelf, say))
    if across:
        yield _direction(_ACROSS, "across", across, (found, material, shelf, say))
    if found.loop_overhang_mm:
        yield _loop(found.loop_overhang_mm, found, material, say)
    if found.thickness_mm:
        thick, is_inch = found.thickness_mm, say.units is UnitSystem.INCH
        yield FoundView(
            title="Thickness",
            result=f"One layer is {say.spread(_to_the_hundredth(thick), 'thickness')} thick.",
            words=(f"Labels of felt, foam and vinyl say millimetres: {round(thick.value, 2):g} mm.",)
            if is_inch
            else (),
            before=_before(material.thickness_mm, lambda old: say.spread(_to_the_hundredth(old), "thickness")),
        )
    if found.mass_gsm:
        yield FoundView(
            title="Weight",
            result=f"It weighs {say.spread(found.mass_gsm, 'mass_gsm')}.",
            words=(),
            before=_before(material.mass_gsm, lambda old: say.spread(old, "mass_gsm")),
        )


def _to_the_hundredth(reading: Reading) -> Reading:
    """Of a millimetre: what a stack under a ruler can tell."""
    value, low, high = (round(end, 2) for end in (reading.value, reading.low, reading.high))
    return Reading(value, low, high, reading.source)


_Known = tuple[Measured, Material, Shelf, Wording]


def _direction(title: str, direction: str, one: DirectionFinding, known: _Known) -> FoundView:
    found, material, shelf, say = known
    stands = stands_mm(one.overhang_mm, found.angle_deg)
    words = [stands_words(stands, say)]
    if direction == "along":
        words += _between(shelf_neighbours(shelf, material.id, stands.value))
    words.append(reading_error_words(one, say.units))
    old = material.overhang_mm if direction == "along" else material.crosswise_overhang_mm
    slope = "" if material.overhang_angle_deg == found.angle_deg else f" at {material.overhang_angle_deg:g} degrees"
    before = _before(old, lambda kept: ranged(kept, say.units))
    return FoundView(
        title=title,
        result=f"It hangs over {ranged(one.overhang_mm, say.units)}.",
        words=tuple(words),
        minds=one.notes,
        choices=tuple(outlier_checks(direction, one, say.units)),
        before=f"{before[:-1]}{slope}." if before else "",
    )


def _loop(overhang: Reading, found: Measured, material: Material, say: Wording) -> FoundView:
    return FoundView(
        title="Heart loop",
        result=f"In the ruler test it would hang over {ranged(overhang, say.units)}.",
        words=(stands_words(stands_mm(overhang, found.angle_deg), say),),
        before=_before(material.overhang_mm, lambda old: ranged(old, say.units)),
    )


def _between(names: tuple[str, str]) -> list[str]:
    lower, higher = names
    if lower and higher:
        return [f"On your shelf that lies between {lower} (limper) and {higher} (stiffer)."]
    if lower:
        return [f"It is the stiffest on your shelf; next comes {lower}."]
    return [f"It is the limpest on your shelf; next comes {higher}."] if higher else []


def _before(old: Reading | None, told: Callable[[Reading], str]) -> str:
    return f"On the shelf until now: {told(old)}, {KNOWN_WORDS[old.source.kind]}." if old else ""
