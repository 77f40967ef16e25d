"""Measurements over the whole accepted range of a form, inch-like, metric and extreme."""

import re

from hypothesis import strategies as st

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import accept_measurements
from bagwright.drafting.measurements import MeasurementSpec
from bagwright.errors import FaultyInput

MOST_CORRECTIONS = 12
_NEAREST = re.compile(r"(?:at (?:most|least) )?([\d.]+)(?: mm| with)")


def _values(spec: MeasurementSpec):
    if spec.is_count:
        return st.integers(int(spec.low_mm), int(spec.high_mm)).map(float)
    low, high = spec.low_mm, spec.high_mm
    inch_like = st.integers(1, 2000).map(lambda n: min(max(n * 25.4 / 16, low), high))
    metric = st.integers(1, 2000).map(lambda n: min(max(float(n), low), high))
    return st.one_of(st.sampled_from([low, high, spec.default_mm]), inch_like, metric, st.floats(low, high))


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


def measurements(form: FormSpec):
    """Accepted measurements of a form."""
    drawn = st.fixed_dictionaries({spec.key: _values(spec) for spec in form.measurements})
    return drawn.map(lambda sizes: corrected(form, sizes))
