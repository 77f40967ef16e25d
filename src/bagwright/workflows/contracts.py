"""The border for JSON: what comes in becomes typed values here, or every fault in it becomes a `Problem`."""

from __future__ import annotations

from typing import Annotated, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Discriminator, Field, Tag, ValidationError

from bagwright.errors import FaultyInput, Problem
from bagwright.model.source import Reading, Source, SourceKind
from bagwright.workflows.json_faults import problems_in
from bagwright.workflows.json_text import opened


class Contract(BaseModel):
    """Base of all JSON contracts: no unknown fields, no text for numbers, no NaN. Every field has a description."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, frozen=True)


Words = TypeVar("Words", bound=Contract)


def read_contract(data: bytes, contract: type[Words]) -> Words:
    """JSON text as a typed value. Raises `FaultyInput` with all faults at once."""
    json_text = opened(data)
    problems = list(json_text.repeats)
    try:
        words = contract.model_validate_json(json_text.text)
    except ValidationError as error:
        raise FaultyInput([*problems, *problems_in(error, contract, json_text.tree)]) from None
    if problems:
        raise FaultyInput(problems)
    return words


class SourceWords(Contract):
    """Where a reading comes from."""

    kind: SourceKind = Field(description="one of: " + ", ".join(SourceKind))
    said_by: str = Field(min_length=1, max_length=200, description="who or what says so, 1 to 200 characters")


class ReadingWords(Contract):
    """A number with its range and source."""

    value: float = Field(description="the number itself")
    low: float = Field(description="the lowest it may honestly be")
    high: float = Field(description="the highest it may honestly be")
    source: SourceWords = Field(description="where it comes from: kind and said_by")


def _number_or_reading(value: object) -> Literal["as number", "as reading"]:
    return "as reading" if isinstance(value, dict | ReadingWords) else "as number"


Measured = Annotated[
    Annotated[float, Tag("as number")] | Annotated[ReadingWords, Tag("as reading")], Discriminator(_number_or_reading)
]
"""A plain number (taken at its word) or a reading with range and source."""


def within(low: float, high: float) -> AfterValidator:
    """Keeps a `Measured` field, its range included, from `low` to `high`."""

    def check(given: Measured) -> Measured:
        at_low, value, at_high = _ends(given)
        if not at_low <= value <= at_high:
            raise FaultyInput([_range_problem(given, "is not in order", "Put low, value and high in rising order.")])
        if not low <= at_low <= at_high <= high:
            what = f"is less than {low:g}" if at_low < low else f"is more than {high:g}"
            raise FaultyInput([_range_problem(given, what, "Use a value within the limits.")])
        return given

    return AfterValidator(check)


def _ends(given: Measured) -> tuple[float, float, float]:
    return (given.low, given.value, given.high) if isinstance(given, ReadingWords) else (given, given, given)


def _range_problem(given: Measured, what: str, remedy: str) -> Problem:
    """Place and what is allowed are filled in by whoever knows the field."""
    numbers = ", ".join(f"{number:g}" for number in dict.fromkeys(_ends(given)))
    return Problem(place="", value=numbers, what=what, allowed="", remedy=remedy)


MassGsm = Annotated[Measured, within(1, 20_000)]
ThicknessMm = Annotated[Measured, within(0.01, 50)]
OverhangMm = Annotated[Measured, within(1, 2_000)]
LostShare = Annotated[Measured, within(0, 0.5)]
HeatC = Annotated[Measured, within(0, 300)]


def reading(given: Measured) -> Reading:
    """The reading behind a `Measured` field that was kept `within` its range.

    >>> reading(3.0).high
    3.0
    """
    if isinstance(given, ReadingWords):
        return Reading(given.value, given.low, given.high, Source(given.source.kind, given.source.said_by))
    return Reading.exact(given)


class Faults:
    """Collects the problems of many fields, so that all are told at once."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def __enter__(self) -> Faults:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: object) -> bool:
        if isinstance(error, FaultyInput):
            self.problems += error.problems
            return True
        return False

    def raise_if_any(self) -> None:
        """Raise `FaultyInput` with everything collected."""
        if self.problems:
            raise FaultyInput(self.problems)
