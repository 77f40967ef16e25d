"""`bagwright bands`: strips and straps out of bands torn or cut right across the cloth, or along it."""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field, model_validator

from bagwright.cutting.bands import plan_bands
from bagwright.errors import FaultyInput, NoAnswer, Problem
from bagwright.model.bands import Band, BandPlan, BandRequest, BandStrip
from bagwright.units import UnitSystem, print_cloth_length, print_length
from bagwright.workflows.contracts import Contract, read_contract

MOST_STRIPS = 2000


class Run(StrEnum):
    """Which way bands run."""

    ACROSS = "across"
    ALONG = "along"


class StripWords(Contract):
    """A strip and how often it is needed."""

    id: str = Field(min_length=1, max_length=200, description="name of the strip, 1 to 200 characters, each once")
    length_mm: float = Field(ge=1, le=100_000, description="cut length in mm, 1 to 100000")
    width_mm: float = Field(ge=1, le=5_000, description="cut width in mm, 1 to 5000")
    count: int = Field(default=1, ge=1, le=MOST_STRIPS, description="how many copies, a whole number from 1 to 2000")
    may_join: bool = Field(default=False, description="whether it may be joined from parts; else it stays whole")


class BandsWords(Contract):
    """What `bagwright bands` reads."""

    width_mm: float = Field(gt=0, le=20_000, description="usable width of the cloth in mm, above 0, at most 20000")
    run: Run = Field(default=Run.ACROSS, description="one of: " + ", ".join(Run))
    length_mm: float | None = Field(
        default=None,
        gt=0,
        le=100_000,
        description="length of the cloth at hand in mm, above 0, at most 100000, or null",
    )
    join_mm: float = Field(default=20, ge=0, le=500, description="length that one join takes in mm, 0 to 500")
    least_part_mm: float = Field(default=100, ge=1, le=5_000, description="shortest part of a strip in mm, 1 to 5000")
    strips: list[StripWords] = Field(min_length=1, max_length=200, description="list of 1 to 200 strips")

    @model_validator(mode="after")
    def _length_along(self) -> BandsWords:
        if self.run is Run.ALONG and self.length_mm is None:
            raise FaultyInput([_no_length()])
        copies = sum(strip.count for strip in self.strips)
        if copies > MOST_STRIPS:
            raise FaultyInput([_too_many(copies)])
        return self


def bands_of_file(text: bytes) -> BandPlan:
    """The plan for the strips that JSON `text` describes. Raises `FaultyInput`, or `NoAnswer` if cloth is too small."""
    words = read_contract(text, BandsWords)
    along = words.run is Run.ALONG
    band_mm = words.length_mm if along and words.length_mm else words.width_mm
    strips = tuple(
        BandStrip(id=s.id, length_mm=s.length_mm, width_mm=s.width_mm, count=s.count, may_join=s.may_join)
        for s in words.strips
    )
    plan = plan_bands(
        BandRequest(band_mm=band_mm, strips=strips, join_mm=words.join_mm, least_part_mm=words.least_part_mm)
    )
    there_is = words.width_mm if along else words.length_mm
    if there_is is not None and plan.taken_mm > there_is + 1e-6:
        raise NoAnswer(_too_small(plan, there_is, "width_mm" if along else "length_mm"))
    return plan


def _no_length() -> Problem:
    return Problem(
        place="length_mm",
        value="null",
        what="is needed where bands run along the cloth",
        allowed="above 0, at most 100000 mm",
        remedy="Give the length of cloth at hand.",
    )


def _too_many(copies: int) -> Problem:
    return Problem(
        place="strips",
        value=str(copies),
        what="copies are too many",
        allowed=f"at most {MOST_STRIPS} copies of all strips together",
        remedy="Cut a smaller run.",
    )


def _too_small(plan: BandPlan, there_is: float, place: str) -> Problem:
    return Problem(
        place=place,
        value=f"{there_is:g}",
        what=f"is too little: the bands side by side take {plan.taken_mm:g} mm",
        allowed=f"{plan.taken_mm:g} mm or more",
        remedy="Take more cloth, cut fewer strips, or let them be joined.",
    )


def bands_as_json(plan: BandPlan) -> dict[str, object]:
    """The answer of `bagwright bands`."""
    return {
        "taken_mm": plan.taken_mm,
        "joins": plan.joins,
        "is_least": plan.is_least,
        "bands": [
            {
                "width_mm": band.width_mm,
                "parts": [
                    {
                        "id": part.id,
                        "copy": part.copy + 1,
                        "part": part.part + 1,
                        "start_mm": part.start_mm,
                        "length_mm": part.length_mm,
                    }
                    for part in band.parts
                ],
            }
            for band in plan.bands
        ],
        "checked": plan.verdict.passed,
    }


def bands_in_words(plan: BandPlan, units: UnitSystem) -> str:
    """The answer for the maker, one line for each sort of band."""
    sorts: dict[str, int] = {}
    for band in plan.bands:
        said = _band_in_words(band, units)
        sorts[said] = sorts.get(said, 0) + 1
    many = len(plan.bands)
    joins = {0: "No strip is joined.", 1: "One join."}.get(plan.joins, f"{plan.joins} joins.")
    return "\n".join(
        [
            f"{many} {'band takes' if many == 1 else 'bands take'} {print_cloth_length(plan.taken_mm, units).text}.",
            *(f"{times} x {said}" for said, times in sorts.items()),
            joins + (" Less cloth can't do." if plan.is_least else ""),
            "Snip and tear, or cut along a straight edge away from you and close the blade after each cut.",
        ]
    )


def _band_in_words(band: Band, units: UnitSystem) -> str:
    parts = ", ".join(f"{part.id} {print_length(part.length_mm, units).text}" for part in band.parts)
    return f"{print_length(band.width_mm, units).text} wide: {parts}"
