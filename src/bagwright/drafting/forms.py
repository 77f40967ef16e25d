"""The forms of bag, and drafting one: the only way in for the rest of bagwright."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from types import MappingProxyType

from bagwright.drafting.backpack import BACKPACK
from bagwright.drafting.barrel_bag import BARREL_BAG
from bagwright.drafting.based_tote import BASED_TOTE
from bagwright.drafting.boxed_tote import BOXED_TOTE
from bagwright.drafting.bucket_bag import BUCKET_BAG
from bagwright.drafting.card_wallet import CARD_WALLET
from bagwright.drafting.drawstring_bag import DRAWSTRING_BAG
from bagwright.drafting.flap_bag import FLAP_BAG
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.gusset_bag import GUSSET_BAG
from bagwright.drafting.organiser import ORGANISER
from bagwright.drafting.soundness import prove_sound
from bagwright.drafting.zip_pouch import ZIP_POUCH
from bagwright.drafting.zip_round_wallet import ZIP_ROUND_WALLET
from bagwright.drafting.zone_names import name_whole_pieces
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.pattern import Pattern

_ALL = (
    *(BOXED_TOTE, BASED_TOTE, BUCKET_BAG, BARREL_BAG, GUSSET_BAG, FLAP_BAG),
    *(BACKPACK, DRAWSTRING_BAG, ZIP_POUCH, CARD_WALLET, ZIP_ROUND_WALLET, ORGANISER),
)
FORMS: Mapping[str, FormSpec] = MappingProxyType({form.key: form for form in _ALL})


def draft_bag(form_key: str, measurements: Mapping[str, float]) -> Pattern:
    """The pattern of a bag of this form; measurements that are missing take their defaults.

    Raises `FaultyInput` with every fault at once, `BrokenPromise` if our own pattern fails the proof.

    >>> [piece.name for piece in draft_bag("boxed_tote", {"width_mm": 279.4, "inside_pockets": 0}).pieces]
    ['Outer panel', 'Lining panel', 'Strap']
    """
    return draft_form(find_form(form_key), measurements)


def draft_form(form: FormSpec, measurements: Mapping[str, float]) -> Pattern:
    """The same of a form that need not be among `FORMS`: one that is being written."""
    sizes = accept_measurements(form, measurements)
    making = form.begin(sizes)
    for add_on in form.add_ons_chosen(sizes):
        making = add_on.add(making, sizes)
    pattern = name_whole_pieces(making.finished(form.key, sizes))
    verdict = prove_sound(pattern)
    if not verdict.passed:
        raise BrokenPromise(f"{form.name} {dict(sizes)} is not sound: {'; '.join(verdict.faults)}")
    return pattern


def find_form(form_key: str) -> FormSpec:
    """The form of that key; `FaultyInput` lists those there are."""
    if form_key in FORMS:
        return FORMS[form_key]
    problem = Problem(
        place="form",
        value=form_key,
        what="is no form of bag known here",
        allowed=", ".join(FORMS),
        remedy=_perhaps(form_key, FORMS) or "Choose one of these.",
    )
    raise FaultyInput([problem])


def accept_measurements(form: FormSpec, measurements: Mapping[str, float]) -> Mapping[str, float]:
    """Complete, checked measurements in the form's own order. Raises `FaultyInput` with every fault.

    What is missing takes its default. That, and the sizes of what is not added, are brought into what the others leave,
    so that whatever is added later fits if it can.
    """
    specs = {spec.key: spec for spec in form.measurements}
    problems = [_unknown(key, form, value) for key, value in measurements.items() if key not in specs]
    sizes = {key: float(measurements.get(key, spec.default_mm)) for key, spec in specs.items()}
    found = {key: specs[key].problem_with(value) for key, value in sizes.items()}
    used = {spec.key for spec in form.measurements_used(sizes)}
    for key, spec in specs.items():
        if spec.room and not any(found.get(other) for other in (key, *spec.room.keys)):
            if key not in measurements:
                sizes[key] = spec.starting_mm(sizes)
            elif key not in used:
                sizes[key] = spec.fitted_mm(sizes[key], sizes)
            if key in used:
                found[key] = spec.misfit(sizes)
    problems += [problem for problem in found.values() if problem]
    for rule in form.rules_for(sizes):
        if not any(found.get(key) for key in rule.keys):
            problem = rule.judge(sizes)
            problems += [problem] if problem else []
    if problems:
        raise FaultyInput(dict.fromkeys(problems))
    return sizes


def accepted_if_sound(form: FormSpec, measurements: Mapping[str, float]) -> dict[str, float] | None:
    """What `accept_measurements` makes of them; None if it finds a fault. All in mm, counts as they are."""
    try:
        return dict(accept_measurements(form, measurements))
    except FaultyInput:
        return None


def _unknown(key: str, form: FormSpec, value: float) -> Problem:
    known = [spec.key for spec in form.measurements]
    return Problem(
        place=key,
        value=f"{value:g}",
        what=f"is no measurement of the {form.name[0].lower()}{form.name[1:]}",
        allowed=", ".join(known),
        remedy=_perhaps(key, known) or "Leave it out.",
    )


def _perhaps(typed: str, known: Mapping[str, FormSpec] | list[str]) -> str:
    close = difflib.get_close_matches(typed, list(known), n=1)
    return f"Perhaps {close[0]} was meant." if close else ""
