"""`bagwright draft`: a form and its measurements become pieces and seams."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import FORMS, find_form
from bagwright.drafting.measurements import MeasurementSpec
from bagwright.errors import FaultyInput, Problem
from bagwright.model.pattern import Pattern
from bagwright.output.piece_lines import told_count
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.contracts import Faults
from bagwright.workflows.fold_up import folded_words
from bagwright.workflows.typed_sizes import UNREADABLE, draft_typed, read_size
from bagwright.workflows.zone_layers import zones_of_role


def settings_of(pairs: Sequence[str]) -> dict[str, str]:
    """Texts such as ``width=14 in`` as keys and values. Raises `FaultyInput` for each without "=" or given twice.

    >>> settings_of(["width = 14 in", "depth=4in"])
    {'width': '14 in', 'depth': '4in'}
    """
    settings: dict[str, str] = {}
    problems = []
    for pair in pairs:
        key, sign, text = (part.strip() for part in pair.partition("="))
        if not sign or not key:
            problems.append(_set_problem(pair, "names no measurement and size", 'Put "=" between them.'))
        elif _without_unit(key) in map(_without_unit, settings):
            problems.append(_set_problem(pair, "sets a measurement that is set already", "Keep one of the two."))
        settings[key] = text
    if problems:
        raise FaultyInput(problems)
    return settings


def _set_problem(pair: str, what: str, remedy: str) -> Problem:
    return Problem(place="--set", value=pair, what=what, allowed='each once, such as width="14 in"', remedy=remedy)


def _without_unit(key: str) -> str:
    return key.removesuffix("_mm")


def draft_of_settings(form_key: str, settings: Mapping[str, str], *, units: UnitSystem) -> Pattern:
    """The pattern of a form, its measurements as makers write them; those left out keep their usual size.

    A key may leave out its ``_mm``; a bare number under a key that has it is in mm, otherwise in the units' own.
    Raises `FaultyInput` with every fault at once.

    >>> draft_of_settings("boxed_tote", {"width": "14 in"}, units=UnitSystem.METRIC).measurements_mm["width_mm"]
    355.6
    """
    form = find_form(form_key)
    specs = {spec.key: spec for spec in form.measurements}
    names = {key: f"{key}_mm" if f"{key}_mm" in specs else key for key in settings}
    typed = {names[key]: text for key, text in settings.items()}
    sizes = dict.fromkeys(typed, UNREADABLE)
    faults = Faults()
    for key, name in names.items():
        if name in specs:
            with faults:
                sizes[name] = read_size(settings[key], specs[name], units=units, bare_is_mm=key == name)
    return draft_typed(form, sizes, faults, typed)


def pattern_in_words(pattern: Pattern, units: UnitSystem, *, written: Sequence[str] = ()) -> str:
    """The answer for the maker: what she gets, what to cut, what to mind, which files were `written`."""
    form = find_form(pattern.form)
    used = form.used(pattern.measurements_mm)
    sizes = [_size_said(spec, used[spec.key], units) for spec in form.measurements if spec.key in used]
    return "\n".join(
        [
            f"{form.name}: {', '.join(sizes)}.",
            "",
            "To cut for one bag, seam allowance included:",
            *_pieces_said(pattern, units),
            *_zones_said(pattern),
            "",
            f"{len(pattern.seams)} seams, all proved: edges that meet are equally long, and the bag measures what was "
            "asked.",
            folded_words(pattern, units=units),
            *(["", *pattern.cautions] if pattern.cautions else []),
            *(["", f"Written: {', '.join(written)}"] if written else []),
        ]
    )


def _size_said(spec: MeasurementSpec, size: float, units: UnitSystem) -> str:
    return f"{spec.label.lower()} {_printed(spec, size, units)}"


def _printed(spec: MeasurementSpec, size: float, units: UnitSystem) -> str:
    if spec.choices:
        return spec.choices[int(size - spec.low_mm)]
    return f"{size:g}" if spec.is_count else print_length(size, units).text


def _pieces_said(pattern: Pattern, units: UnitSystem) -> Iterator[str]:
    for piece in pattern.pieces:
        region = piece.region()
        width, height = (print_length(side, units).text for side in (region.width_mm, region.height_mm))
        yield f"  {piece.name} ({piece.role}): {told_count(piece)}, {width} x {height}"


def _zones_said(pattern: Pattern) -> Iterator[str]:
    """The parts that a layer can cover alone, by role."""
    zones = {role: zones_of_role(pattern, role) for role in dict.fromkeys(piece.role for piece in pattern.pieces)}
    told = [f"  {role}: {'; '.join(names)}" for role, names in zones.items() if names]
    yield from ["", "Zones, each of which a layer can cover alone:", *told] if told else []


def forms_in_words(units: UnitSystem) -> str:
    """Every form with what it asks for, its usual sizes and their ranges."""
    return "\n\n".join(_form_said(form, units) for form in FORMS.values())


def _form_said(form: FormSpec, units: UnitSystem) -> str:
    lines = [f"{form.key}: {form.name}. {form.summary}"]
    for spec in form.measurements:
        lines.append(f"  {_without_unit(spec.key)}: {spec.meaning} {_range_said(spec, units)}")
    return "\n".join(lines)


def _range_said(spec: MeasurementSpec, units: UnitSystem) -> str:
    usual, low, high = (_printed(spec, size, units) for size in (spec.default_mm, spec.low_mm, spec.high_mm))
    return f"One of: {', '.join(spec.choices)}." if spec.choices else f"Usually {usual}; from {low} to {high}."


def forms_as_json() -> dict[str, object]:
    """Every form with its measurements; lengths in mm."""
    return {
        "forms": [
            {
                "form": form.key,
                "name": form.name,
                "summary": form.summary,
                "measurements": [
                    {
                        "key": spec.key,
                        "label": spec.label,
                        "meaning": spec.meaning,
                        "unit": spec.unit,
                        "default": spec.default_mm,
                        "low": spec.low_mm,
                        "high": spec.high_mm,
                        "choices": list(spec.choices),
                        "needs": {"key": spec.needs.key, "values": list(spec.needs.values)} if spec.needs else None,
                    }
                    for spec in form.measurements
                ],
            }
            for form in FORMS.values()
        ]
    }
