"""`bagwright cover`: a template covered with scraps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.region import Region
from bagwright.model.cover import Cover, CoverRequest, CoverScrap, CoverSettings, ScrapPlacement
from bagwright.output.cover import draw_cover
from bagwright.output.rulers import told_share
from bagwright.output.svg import svg_file
from bagwright.piecing.cover import cover_template
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.files import NewFile, write_files
from bagwright.workflows.json_text import shown
from bagwright.workflows.tell_layout import Corner, Ring

_DIGITS = 6


class CoverScrapWords(Contract):
    """One scrap, the side up that will lie up."""

    id: str = Field(min_length=1, max_length=200, description="name of the scrap, 1 to 200 characters, each once")
    outline: Ring = Field(min_length=3, max_length=2000, description="outline as a list of 3 to 2000 corners in mm")
    grain_deg: float | None = Field(
        default=None, ge=-360, le=360, description="direction of its grain in degrees, -360 to 360, or null"
    )


KeepOffLine = Annotated[list[Corner], Field(min_length=2, max_length=200)]


class NeedWords(Contract):
    """What of a template has to be covered."""

    need: Ring = Field(min_length=3, max_length=2000, description="net line as a list of 3 to 2000 corners in mm")
    holes: list[Ring] = Field(default=[], max_length=50, description="up to 50 outlines within it that need no cover")
    keep_off: list[KeepOffLine] = Field(
        default=[], max_length=100, description="up to 100 lines of 2 to 200 points that joins keep off"
    )


class HeapWords(Contract):
    """The scraps at hand, and what a cover of them has to be like."""

    scraps: list[CoverScrapWords] = Field(min_length=1, max_length=200, description="list of 1 to 200 scraps")
    turns: Literal["grain", "free"] = Field(default="grain", description='"grain" or "free"')
    max_scraps: int = Field(default=7, ge=1, le=30, description="how many scraps at most, a whole number from 1 to 30")
    keep_off_mm: float = Field(default=5, ge=0.5, le=100, description="how far joins keep off in mm, 0.5 to 100")
    enough_share: float = Field(default=0.97, ge=0.1, le=1, description="share that is enough, 0.1 to 1")
    gap_mm: float = Field(default=6, ge=0, le=100, description="widest gap that is borne in mm, 0 to 100")
    seconds: float = Field(default=5, ge=0, le=3600, description="how long to search in seconds, 0 to 3600")
    seed: int = Field(
        default=1, ge=0, le=2**31 - 1, description="a whole number, 0 to 2147483647, from which the search starts"
    )

    @model_validator(mode="after")
    def _ids_differ_and_grain_is_known(self) -> Self:
        times = Counter(scrap.id for scrap in self.scraps)
        problems = []
        for number, scrap in enumerate(self.scraps):
            if times[scrap.id] > 1:
                told = ("is used more than once", "each id once", "Rename it.")
                problems.append(_problem(f"scraps[{number}].id", shown(scrap.id), *told))
            if self.turns == "grain" and scrap.grain_deg is None:
                told = ("is not known, but grain is to be kept", "degrees", 'Tell it, or use turns "free".')
                problems.append(_problem(f"scraps[{number}].grain_deg", "null", *told))
        if problems:
            raise FaultyInput(problems)
        return self


class CoverWords(HeapWords, NeedWords):
    """What `bagwright cover` reads."""


def _problem(place: str, value: str, what: str, allowed: str, remedy: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed=allowed, remedy=remedy)


@dataclass(frozen=True, slots=True)
class ToldCover:
    """What was asked, and the checked cover."""

    request: CoverRequest
    cover: Cover


def cover_of_file(text: bytes, should_stop: Callable[[], bool] | None = None) -> ToldCover:
    """A checked cover for the template and scraps that JSON `text` describes, the best so far when stopped.

    Raises `FaultyInput` with every fault, `NoAnswer` where no scrap covers anything.
    """
    words = read_contract(text, CoverWords)
    request, settings = cover_request(words), CoverSettings(seconds=words.seconds, seed=words.seed)
    return ToldCover(request, cover_template(request, settings=settings, should_stop=should_stop))


def write_cover(told: ToldCover, path: str, units: UnitSystem) -> None:
    """Write the drawing of the cover as SVG. Raises `FaultyInput` if the path cannot be written."""
    write_files([NewFile(path, svg_file(draw_cover(told.request, told.cover, units=units)), "--svg")])


def cover_request(words: CoverWords) -> CoverRequest:
    """What is asked. Raises `FaultyInput` if the holes leave nothing to cover."""
    return CoverRequest(
        need=need_region(words, place="need"),
        scraps=heap_of(words),
        keeps_grain=words.turns == "grain",
        max_scraps=words.max_scraps,
        keep_off=keep_off_lines(words),
        keep_off_mm=words.keep_off_mm,
        enough_share=words.enough_share,
        widest_gap_mm=words.gap_mm,
    )


def need_region(words: NeedWords, *, place: str) -> Region:
    """What has to be covered. Raises `FaultyInput` if the holes leave next to nothing."""
    need = Region.from_ring(_points(words.need)).minus_all([Region.from_ring(_points(hole)) for hole in words.holes])
    if need.area_mm2 < 100:
        what, allowed = "leaves less than 1 cm2 to cover", "a template with 1 cm2 or more outside of its holes"
        raise FaultyInput([_problem(place, "", what, allowed, "Check the unit: corners are in mm.")])
    return need


def keep_off_lines(words: NeedWords) -> tuple[tuple[tuple[float, float], ...], ...]:
    """The lines that joins keep off."""
    return tuple(tuple(_points(line)) for line in words.keep_off)


def heap_of(words: HeapWords) -> tuple[CoverScrap, ...]:
    """The scraps at hand."""
    return tuple(scrap_of(one) for one in words.scraps)


def scrap_of(words: CoverScrapWords) -> CoverScrap:
    """One of them."""
    return CoverScrap(id=words.id, region=Region.from_ring(_points(words.outline)), grain_deg=words.grain_deg)


def _points(ring: list[list[float]]) -> list[tuple[float, float]]:
    return [(x, y) for x, y in ring]


def cover_as_json(told: ToldCover) -> dict[str, object]:
    """The answer of `bagwright cover`."""
    return as_json(told.cover)


def as_json(cover: Cover) -> dict[str, object]:
    """One cover with its placements."""
    measures = cover.measures
    return {
        "covered_share": measures.covered_share,
        "widest_gap_mm": measures.widest_gap_mm,
        "join_mm": measures.join_mm,
        "join_near_mm": measures.join_near_mm,
        "cuts": measures.cuts,
        "wasted_mm2": measures.wasted_mm2,
        "enough": cover.is_enough,
        "placements": [_placement_as_json(one) for one in cover.placements],
        "checked": cover.verdict.passed,
    }


def _placement_as_json(one: ScrapPlacement) -> dict[str, object]:
    kept = [[[round(x, _DIGITS), round(y, _DIGITS)] for x, y in part.outer_ring()] for part in one.kept]
    return {"id": one.id, "turn_deg": one.turn_deg, "x_mm": one.x_mm, "y_mm": one.y_mm, "kept": kept}


def cover_in_words(told: ToldCover, units: UnitSystem) -> str:
    """The answer for the maker."""
    cover = told.cover
    measures, count = cover.measures, len(cover.placements)
    scraps = f"{count} {'scrap covers' if count == 1 else 'scraps cover'}"
    gap = (
        f"the widest gap is {print_length(measures.widest_gap_mm, units).text}" if measures.widest_gap_mm else "no gap"
    )
    said = [f"{scraps} {told_share(measures.covered_share)} of the template; {gap}."]
    said.append(f"Joins: {print_length(measures.join_mm, units).text} in all. Straight cuts to trim: {measures.cuts}.")
    if measures.join_near_mm >= 1:
        near = print_length(measures.join_near_mm, units).text
        said.append(f"{near} of the joins run too near a line that they should keep off.")
    if not cover.is_enough:
        said.append("That is less than you asked for: add scraps, allow more of them, or use new material.")
    said += [f"{number}. {one.id}" for number, one in enumerate(cover.placements, 1)]
    said.append("Checked: no scrap is turned over or against its grain, none lies on another.")
    return "\n".join([*said, "With --json you get where each scrap lies and what stays of it."])
