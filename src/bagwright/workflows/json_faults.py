"""What a contract finds wrong in a JSON value, told as `Problem` values: where, what, what is allowed, what to do."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import UnionType
from typing import Annotated, Final, Literal, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from bagwright.errors import FaultyInput, Problem
from bagwright.workflows.json_text import Step, place_of, shown

_NUMBER: Final = "Write a plain number, without quotes and without a unit."
_WORDS: Final = "Use one of these words, spelled like that."
_RANGE: Final = "Use a value within the limits."
_DAY: Final = ("is not a day", 'Write it as year, month and day, such as "2026-03-01".')
_KINDS: Final[Mapping[str, tuple[str, str]]] = {
    "missing": ("is missing", "Add it."),
    "float_type": ("is not a number", _NUMBER),
    "int_type": ("is not a whole number", _NUMBER),
    "int_from_float": ("is not a whole number", _NUMBER),
    "finite_number": ("is not a number that can be reckoned with", "Write an ordinary number."),
    "string_type": ("is not a text", "Put it in quotes."),
    "bool_type": ("is not true or false", "Write true or false, without quotes."),
    "list_type": ("is not a list", "Write a list in square brackets."),
    "dict_type": ("is not an object", "Write an object in braces."),
    "model_type": ("is not an object", "Write an object in braces."),
    "greater_than": ("is not more than {gt:.10g}", _RANGE),
    "greater_than_equal": ("is less than {ge:.10g}", _RANGE),
    "less_than": ("is not less than {lt:.10g}", _RANGE),
    "less_than_equal": ("is more than {le:.10g}", _RANGE),
    "too_short": ("has too few entries", "Add what is missing."),
    "too_long": ("has too many entries", "Take some out."),
    "string_too_short": ("is empty", "Write something there."),
    "string_too_long": ("is too long", "Shorten it."),
    "string_pattern_mismatch": ("is not in the right form", "Write it in that form."),
    "date_type": _DAY,
    "date_parsing": _DAY,
    "date_from_datetime_parsing": _DAY,
    "date_from_datetime_inexact": _DAY,
    "enum": ("is not one of the known words", _WORDS),
    "literal_error": ("is not one of the known words", _WORDS),
    "union_tag_invalid": ("is not one of the known words", _WORDS),
    "union_tag_not_found": ("is missing", "Add it."),
}
"""Words for each kind of fault that pydantic names, with its numbers; json_invalid and extra_forbidden have others."""


@dataclass(frozen=True, slots=True)
class _Fault:
    """One fault as pydantic tells it."""

    kind: str
    location: tuple[Step, ...]
    given: object
    context: Mapping[str, object]
    message: str


def problems_in(error: ValidationError, contract: type[BaseModel], tree: object) -> Iterator[Problem]:
    """Every fault of the JSON value `tree` against `contract`."""
    for told in error.errors(include_url=False):
        fault = _Fault(told["type"], told["loc"], told["input"], told.get("ctx", {}), told["msg"])
        own = fault.context.get("error")
        if isinstance(own, FaultyInput):
            yield from _placed(own, contract, fault.location, tree)
        elif fault.kind == "json_invalid":
            yield _unreadable(str(own))
        else:
            yield _problem(fault, contract, tree)


def _placed(own: FaultyInput, contract: type[BaseModel], location: Sequence[Step], tree: object) -> Iterator[Problem]:
    """Problems that a validator of ours found, each at its place in the whole; an empty `allowed` is filled in."""
    place = place_of(_steps_of(location, tree))
    said, _ = _allowed(contract, location)
    for problem in own.problems:
        joint = "." if place and problem.place and not problem.place.startswith("[") else ""
        yield replace(problem, place=f"{place}{joint}{problem.place}", allowed=problem.allowed or said)


def _problem(fault: _Fault, contract: type[BaseModel], tree: object) -> Problem:
    location = fault.location
    if fault.kind.startswith("union_tag"):
        location = (*location, str(fault.context["discriminator"]).strip("'"))
    steps = _steps_of(location, tree)
    said, names = _allowed(contract, location)
    if fault.kind == "extra_forbidden":
        close = difflib.get_close_matches(str(steps[-1]), names, n=1)
        remedy = f'Did you mean "{close[0]}"?' if close else "Remove it."
        what, said = "is not a field that is known here", "only " + ", ".join(names)
    else:
        pattern, remedy = _KINDS.get(fault.kind, (fault.message, "Correct it."))
        what = pattern.format(**fault.context) if fault.kind in _KINDS else pattern
    return Problem(place=place_of(steps) or "file", value=_shown_value(fault), what=what, allowed=said, remedy=remedy)


def _shown_value(fault: _Fault) -> str:
    if fault.kind in ("missing", "extra_forbidden", "union_tag_not_found"):
        return ""
    return shown(fault.context["tag"] if fault.kind == "union_tag_invalid" else fault.given)


def _unreadable(error: str) -> Problem:
    why = error.replace("EOF while parsing", "the file ends inside")
    return Problem(
        place="file",
        value="",
        what=f"is not readable JSON: {why}",
        allowed="JSON as in docs/json.md",
        remedy="Correct it there.",
    )


def _steps_of(location: Sequence[Step], tree: object) -> list[Step]:
    """`location` without the steps that name a variant of a union: those lead nowhere in the value itself."""
    steps: list[Step] = []
    for step in location:
        below = _below(tree, step)
        if below or (step == location[-1] and isinstance(tree, dict)):  # the last step may lead to what is missing
            steps.append(step)
            tree = below[0] if below else None
    return steps


def _below(tree: object, step: Step) -> list[object]:
    """What `step` leads to in `tree`, if anything."""
    if isinstance(tree, dict) and isinstance(step, str):
        return [tree[step]] if step in tree else []
    if isinstance(tree, list) and isinstance(step, int):
        return [tree[step]] if step < len(tree) else []
    return []


def _allowed(contract: type[BaseModel], location: Sequence[Step]) -> tuple[str, list[str]]:
    """The description of the field at `location`, and the names of the fields known beside it."""
    here, beside = [contract], [contract]
    said = "an object with " + ", ".join(fields_of(contract))
    for step in location:
        if isinstance(step, int):
            continue
        fields = [found[step] for model in here if step in (found := fields_of(model))]
        beside = here
        if fields:
            said = fields[0].description or said
            here = [model for field in fields for model in _models_in(field.annotation)]
        else:  # a variant of a union, or a name that is not known
            here = [model for model in here if step in _words_in(model)] or here
    return said, list(dict.fromkeys(name for model in beside for name in fields_of(model)))


def fields_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """The fields of a contract by the names that they have in JSON."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _models_in(annotation: object) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    elif get_origin(annotation) in (list, tuple, dict, Union, UnionType, Annotated):
        for inner in get_args(annotation):
            yield from _models_in(inner)


def _words_in(model: type[BaseModel]) -> set[object]:
    """The fixed words that a model's fields may hold: one of them names the variant."""
    fixed = [field.annotation for field in model.model_fields.values() if get_origin(field.annotation) is Literal]
    return {word for annotation in fixed for word in get_args(annotation)}
