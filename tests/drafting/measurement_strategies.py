"""Measurements over the whole accepted range of a form, inch-like, metric and extreme.

They read nothing but what the form says it asks for, so whatever is added to it is drawn as well.
"""

import math
import random
import re

from hypothesis import strategies as st

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import accept_measurements
from bagwright.drafting.measurements import MeasurementSpec
from bagwright.errors import FaultyInput

MOST_CORRECTIONS = 12
SIXTEENTH_MM = 25.4 / 16
_NEAREST = re.compile(r"(?:at (?:most|least) )?([\d.]+)(?: mm| with)")
_BYTES = 3


def _value(spec: MeasurementSpec, number: int, sizes: dict[str, float]) -> float:
    """A value of that measurement, from the limits that the sizes so far leave it, for any number from 0."""
    if spec.is_count:
        return spec.low_mm + number % int(spec.high_mm - spec.low_mm + 1)
    low, high = spec.limits_mm(sizes)
    if low > high:
        low, high = spec.low_mm, spec.high_mm
    way, rest = number % 4, number // 4
    if way == 0:
        return (spec.default_mm, low, high)[rest % 3]
    if way == 3:
        return low + (high - low) * rest / (256**_BYTES / 4)
    step = SIXTEENTH_MM if way == 1 else 1.0
    first, last = math.ceil(low / step), math.floor(high / step)
    return (first + rest % (last - first + 1)) * step if first <= last else low


def _sizes(form: FormSpec, drawn: bytes) -> dict[str, float]:
    sizes = form.defaults()
    for place, spec in enumerate(form.measurements):
        number = int.from_bytes(drawn[_BYTES * place : _BYTES * (place + 1)])
        sizes[spec.key] = _value(spec, number, sizes)
    return sizes


def corrected(form: FormSpec, sizes: dict[str, float]) -> dict[str, float]:
    """The measurements after doing what each problem says is allowed, until none is left."""
    for _ in range(MOST_CORRECTIONS):
        try:
            accept_measurements(form, sizes)
        except FaultyInput as refusal:
            for problem in refusal.problems:
                nearest = _NEAREST.match(problem.allowed)
                assert nearest, problem.sentence()
                sizes = {**sizes, problem.place: float(nearest[1])}
        else:
            return sizes
    raise AssertionError(f"following the advice does not lead to a bag: {sizes}")


def random_sizes(form: FormSpec, chance: random.Random) -> dict[str, float]:
    """Accepted measurements of a form, without hypothesis."""
    return corrected(form, _sizes(form, chance.randbytes(_BYTES * len(form.measurements))))


def measurements(form: FormSpec):
    """Accepted measurements of a form. One draw for all of them is cheap, and shrinks towards the defaults."""
    length = _BYTES * len(form.measurements)
    return st.binary(min_size=length, max_size=length).map(lambda drawn: corrected(form, _sizes(form, drawn)))
