"""The maker's usual allowances, taken by a new bag wherever its form asks for them and they fit."""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import accepted_if_sound

ALLOWANCES = ("seam_allowance_mm", "top_allowance_mm", "zip_allowance_mm", "strap_turn_mm")
"""Measurements that a maker keeps to from bag to bag; each zip of a form has a `zip_allowance_mm` of its own."""


def allowance_of(key: str) -> str:
    """Which of `ALLOWANCES` a measurement of a form is, or "".

    >>> allowance_of("zip_pocket_zip_allowance_mm"), allowance_of("width_mm")
    ('zip_allowance_mm', '')
    """
    return next((name for name in ALLOWANCES if key == name or key.endswith(f"_{name}")), "")


def with_usual_allowances(
    form: FormSpec, given_mm: Mapping[str, float], usual_mm: Mapping[str, float]
) -> dict[str, float]:
    """The given measurements and, where none is given, the maker's usual allowances; all in mm.

    `usual_mm` goes by `ALLOWANCES`. One that the form does not take, or that does not fit the other sizes, is left out,
    so that the form's own usual size stands.

    >>> from bagwright.drafting.forms import find_form
    >>> usual_mm = {"seam_allowance_mm": 15.0, "zip_allowance_mm": 8.0}
    >>> with_usual_allowances(find_form("drawstring_bag"), {"top_allowance_mm": 20.0}, usual_mm)["seam_allowance_mm"]
    15.0
    >>> with_usual_allowances(find_form("card_wallet"), {}, usual_mm)
    {}
    """
    sizes = dict(given_mm)
    for spec in form.measurements:
        wished_mm = usual_mm.get(allowance_of(spec.key))
        if wished_mm is None or spec.key in given_mm:
            continue
        tried = {**sizes, spec.key: wished_mm}
        if accepted_if_sound(form, tried):
            sizes = tried
    return sizes
