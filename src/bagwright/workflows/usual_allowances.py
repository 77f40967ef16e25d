"""The allowances that the maker keeps in her workroom: for new bags, and told at a bag that has them or not."""

from __future__ import annotations

from bagwright.drafting.forms import FORMS
from bagwright.drafting.measurements import MeasurementSpec, length_said
from bagwright.drafting.own_start import USUAL_ALLOWANCE_MM
from bagwright.drafting.usual_allowances import ALLOWANCES, allowance_of, with_usual_allowances
from bagwright.model.bag import Workroom

_SAME_MM = 0.05
_METRIC_MM = 0.5
"""So far from the usual width it may lie in a metric workroom."""


def usual_allowances(workroom: Workroom) -> dict[str, float]:
    """Those that she has said, in mm.

    >>> usual_allowances(Workroom(seam_allowance_mm=12.7))
    {'seam_allowance_mm': 12.7}
    """
    kept = {name: getattr(workroom, name) for name in ALLOWANCES}
    return {name: width_mm for name, width_mm in kept.items() if width_mm is not None}


def usual_seam_mm(workroom: Workroom) -> float:
    """The seam allowance that pieces of her own start with, in mm."""
    return USUAL_ALLOWANCE_MM if workroom.seam_allowance_mm is None else workroom.seam_allowance_mm


def allowances_taken(form_key: str, given_mm: dict[str, float], workroom: Workroom) -> dict[str, float]:
    """The given sizes and, where none is given, her usual allowances; of a form that is not known, what is given."""
    usual_mm = usual_allowances(workroom)
    form = FORMS.get(form_key)
    return with_usual_allowances(form, given_mm, usual_mm) if form and usual_mm else given_mm


def allowance_origin(spec: MeasurementSpec, size_mm: float, workroom: Workroom) -> str:
    """Where an allowance of a bag comes from, in both systems of units; "" for a measurement that is none.

    >>> from bagwright.drafting.size_specs import SEAM_ALLOWANCE, STRAP_WIDTH
    >>> allowance_origin(SEAM_ALLOWANCE, 12.7, Workroom(seam_allowance_mm=12.7))
    'Your usual one, kept in the workroom: 12.7 mm (1/2 in).'
    >>> allowance_origin(SEAM_ALLOWANCE, 10.0, Workroom(seam_allowance_mm=25.4))
    'This bag has 10 mm (about 3/8 in); your usual 25.4 mm (1 in) is outside what this form takes.'
    >>> allowance_origin(SEAM_ALLOWANCE, 9.525, Workroom())
    'Common practice, no source: 9.525 mm (3/8 in).'
    >>> allowance_origin(STRAP_WIDTH, 25.4, Workroom())
    ''
    """
    name = allowance_of(spec.key)
    if not name:
        return ""
    usual_mm, said = usual_allowances(workroom).get(name), length_said(size_mm)
    if usual_mm is None:
        by_practice = abs(size_mm - spec.default_mm) <= _METRIC_MM
        return f"Common practice, no source: {said}." if by_practice else f"Chosen for this bag: {said}."
    if abs(size_mm - usual_mm) < _SAME_MM:
        return f"Your usual one, kept in the workroom: {said}."
    outside = "" if spec.low_mm <= usual_mm <= spec.high_mm else " is outside what this form takes"
    return f"This bag has {said}; your usual {length_said(usual_mm)}{outside or ' is kept in the workroom'}."
