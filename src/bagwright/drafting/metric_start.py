"""Sizes that a bag starts with, brought to what is read off a metric ruler."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import accepted_if_sound
from bagwright.drafting.measurements import MeasurementSpec

_LONG_MM = 50.0
_LONG_STEP_MM = 5.0


def in_whole_millimetres(form: FormSpec, sizes_mm: Mapping[str, float], kept: Collection[str] = ()) -> dict[str, float]:
    """Complete, accepted sizes of a form to the nearest 5 mm from 50 mm up, to the nearest 1 mm below; counts stay.

    Those `kept`, and any that would no longer fit the others, stay as they are.

    >>> from bagwright.drafting.forms import find_form
    >>> form = find_form("boxed_tote")
    >>> sizes = in_whole_millimetres(form, form.defaults())
    >>> sizes["width_mm"], sizes["seam_allowance_mm"], sizes["strap_kind"]
    (330.0, 10.0, 0.0)
    """
    wished = {
        spec.key: _rounded(sizes_mm[spec.key])
        for spec in form.measurements
        if not spec.is_count and spec.key not in kept and _in_range(spec, _rounded(sizes_mm[spec.key]))
    }
    if all_fit := accepted_if_sound(form, {**sizes_mm, **wished}):
        return all_fit
    sizes = dict(sizes_mm)
    for key, size_mm in wished.items():
        sizes = accepted_if_sound(form, {**sizes, key: size_mm}) or sizes
    return sizes


def _rounded(size_mm: float) -> float:
    step_mm = _LONG_STEP_MM if size_mm >= _LONG_MM else 1.0
    return round(size_mm / step_mm) * step_mm


def _in_range(spec: MeasurementSpec, size_mm: float) -> bool:
    return spec.problem_with(size_mm) is None
