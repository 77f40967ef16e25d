"""`bagwright correct`: outlines parted along lines and joined, as on the page of a photo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from pydantic import Field, model_validator

from bagwright.capture.corrections import Outlines, join_outlines, part_outline
from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region
from bagwright.model.found_outline import FoundOutline, Ring
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.tell_outline import outline_as_json, size_said
from bagwright.workflows.tell_stash import Corner, Line

_OF_A_PICTURE = frozenset({"colour_rgb", "touches", "notes", "thickness_mm"})
"""What only the picture tells of an outline."""


class OutlineWords(Contract):
    """One outline, as `bagwright outline` prints it."""

    number: int = Field(ge=1, le=10_000, description="its number, 1 to 10000, each once")
    outline: Line = Field(min_length=3, max_length=5000, description="a list of 3 to 5000 corners [x, y] in mm")
    holes: list[Line] = Field(default=[], max_length=100, description="holes in it, a list of up to 100 closed lines")
    error_mm: float = Field(default=0.0, ge=0, le=100, description="how far it may be off in mm, 0 to 100")


class StepWords(Contract):
    """One correction."""

    do: Literal["part", "join"] = Field(description="one of: part, join")
    number: int = Field(ge=1, le=10_000, description="number of the outline, 1 to 10000")
    along: list[Corner] | None = Field(
        default=None, min_length=2, max_length=2, description="for part: the 2 places [x, y] of a line in mm, or null"
    )
    other: int | None = Field(
        default=None, ge=1, le=10_000, description="for join: number of the other outline, 1 to 10000, or null"
    )

    @model_validator(mode="after")
    def _says_what_it_takes(self) -> StepWords:
        name, given = ("along", self.along) if self.do == "part" else ("other", self.other)
        if given is None:
            raise FaultyInput([_problem(name, "nothing", f"is too little to {self.do}", f"{name}, not null")])
        return self


class CorrectWords(Contract):
    """What `bagwright correct` reads."""

    outlines: list[OutlineWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 outlines")
    steps: list[StepWords] = Field(max_length=500, description="list of up to 500 corrections, done in this order")


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy="Correct it.")


def corrected_of_file(text: bytes) -> Outlines:
    """The outlines after all corrections in JSON `text`. Raises `FaultyInput`."""
    words = read_contract(text, CorrectWords)
    numbers = [one.number for one in words.outlines]
    if len(set(numbers)) < len(numbers):
        twice = next(number for number in numbers if numbers.count(number) > 1)
        raise FaultyInput([_problem("outlines", str(twice), "is the number of two outlines", "each number once")])
    outlines = tuple(_outline(one) for one in words.outlines)
    for index, step in enumerate(words.steps):
        try:
            outlines = _stepped(outlines, step)
        except FaultyInput as fault:
            raise FaultyInput([replace(problem, place=f"steps[{index}]") for problem in fault.problems]) from None
    return outlines


def _outline(words: OutlineWords) -> FoundOutline:
    holes = tuple(_ring(hole) for hole in words.holes)
    whole = Region.from_ring(_ring(words.outline))
    if not all(whole.holds(Region.from_ring(hole), slack_mm=1e-6) for hole in holes):
        place, what = f"outline {words.number}", "has a hole that reaches outside it"
        raise FaultyInput([_problem(place, "A hole", what, "holes within the outline")])
    return FoundOutline(number=words.number, outer=_ring(words.outline), holes=holes, error_mm=words.error_mm)


def _ring(corners: Sequence[Sequence[float]]) -> Ring:
    """Counter-clockwise, the first corner not again at the end."""
    ring: list[Point] = [(x, y) for x, y in corners]
    ring = ring[:-1] if ring[0] == ring[-1] else ring
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True))
    return tuple(ring if area > 0 else reversed(ring))


def _stepped(outlines: Outlines, step: StepWords) -> Outlines:
    if step.do == "part":
        assert step.along is not None
        (x0, y0), (x1, y1) = step.along
        return part_outline(outlines, step.number, ((x0, y0), (x1, y1)))
    assert step.other is not None
    return join_outlines(outlines, step.number, step.other)


def corrected_as_json(outlines: Outlines) -> dict[str, object]:
    """The answer of `bagwright correct`."""
    told = (outline_as_json(one) for one in outlines)
    return {"outlines": [{name: one[name] for name in one if name not in _OF_A_PICTURE} for one in told]}


def corrected_in_words(outlines: Outlines, units: UnitSystem) -> str:
    """The answer for the maker."""
    return "\n".join(f"{one.number}: {size_said(one, units)}" for one in outlines)
