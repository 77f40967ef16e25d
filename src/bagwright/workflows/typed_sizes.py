"""Measurements as makers type them: each read, then all tried together, so that every fault is told at once."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import draft_bag
from bagwright.drafting.measurements import MeasurementSpec
from bagwright.errors import FaultyInput, Problem
from bagwright.model.pattern import Pattern
from bagwright.units import UnitSystem, read_length_mm
from bagwright.workflows.contracts import Faults

SizeSpec = MeasurementSpec
"""The faces know what a form asks for by this name."""

UNREADABLE = math.nan
"""Stands for a size that could not be read: rules that ask for it are passed over."""
_COUNT = re.compile(r"\d{1,6}", re.ASCII)
_ZERO = re.compile(r"0+([.,]0+)?\s*[a-z\"']*", re.ASCII)


def read_size(text: str, spec: MeasurementSpec, *, units: UnitSystem, bare_is_mm: bool = False) -> float:
    """One typed measurement: a whole number, a choice by its word, or a length; 0 where the form allows nothing.

    Raises `FaultyInput`.

    >>> depth = MeasurementSpec(key="depth_mm", label="Depth", meaning="", default_mm=0, low_mm=0, high_mm=90)
    >>> read_size("0 in", depth, units=UnitSystem.INCH), read_size("2", depth, units=UnitSystem.INCH)
    (0.0, 50.8)
    """
    text = text.strip()
    if spec.is_count:
        if _COUNT.fullmatch(text):
            return float(text)
        if text.lower() in spec.choices:
            return spec.low_mm + spec.choices.index(text.lower())
        what, remedy = ("is not a whole number", "Type a whole number.")
        if spec.choices:
            what, remedy = ("is none of the choices", "Choose one, by its number or its word.")
        raise FaultyInput([Problem(place=spec.key, value=text, what=what, allowed=spec.range_said(), remedy=remedy)])
    if spec.low_mm == 0 and _ZERO.fullmatch(text):
        return 0.0
    is_bare = text[-1:].isnumeric()
    return read_length_mm(f"{text} mm" if is_bare and bare_is_mm else text, place=spec.key, units=units)


def draft_typed(form: FormSpec, sizes: Mapping[str, float], faults: Faults, typed: Mapping[str, str]) -> Pattern:
    """The pattern for sizes that were typed.

    `sizes` hold `UNREADABLE` for what `faults` tell already. Raises `FaultyInput` with those and with what is wrong
    with the other sizes, each with the text that was `typed`.
    """
    try:
        pattern = draft_bag(form.key, sizes)
    except FaultyInput as fault:
        told = {problem.place for problem in faults.problems}
        others = [problem for problem in fault.problems if problem.place not in told]
        as_typed = [replace(problem, value=typed.get(problem.place, problem.value)) for problem in others]
        raise FaultyInput([*faults.problems, *as_typed]) from None
    return pattern
