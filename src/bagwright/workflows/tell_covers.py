"""`bagwright covers`: scraps shared out over several templates."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

from pydantic import Field, model_validator

from bagwright.errors import FaultyInput, Problem
from bagwright.model.cover import Covers, CoverSettings, CoversRequest, CoverTemplate
from bagwright.output.rulers import told_share
from bagwright.piecing.several import cover_templates
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.contracts import Faults, read_contract
from bagwright.workflows.json_text import shown
from bagwright.workflows.tell_cover import HeapWords, NeedWords, as_json, heap_of, keep_off_lines, need_region


class TemplateWords(NeedWords):
    """One template."""

    id: str = Field(min_length=1, max_length=200, description="name of the template, 1 to 200 characters, each once")
    count: int = Field(default=1, ge=1, le=50, description="how many copies, a whole number from 1 to 50")


class CoversWords(HeapWords):
    """What `bagwright covers` reads."""

    templates: list[TemplateWords] = Field(min_length=1, max_length=40, description="list of 1 to 40 templates")

    @model_validator(mode="after")
    def _names_differ(self) -> Self:
        times = Counter(one.id for one in self.templates)
        problems = [
            Problem(
                place=f"templates[{number}].id",
                value=shown(one.id),
                what="is used more than once",
                allowed="each id once",
                remedy="Rename it.",
            )
            for number, one in enumerate(self.templates)
            if times[one.id] > 1
        ]
        if problems:
            raise FaultyInput(problems)
        return self


@dataclass(frozen=True, slots=True)
class ToldCovers:
    """What was asked, and the checked covers."""

    request: CoversRequest
    covers: Covers


def covers_of_file(text: bytes, should_stop: Callable[[], bool] | None = None) -> ToldCovers:
    """Checked covers for the templates that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, CoversWords)
    request = covers_request(words)
    settings = CoverSettings(seconds=words.seconds, seed=words.seed)
    return ToldCovers(request, cover_templates(request, settings=settings, should_stop=should_stop))


def covers_request(words: CoversWords) -> CoversRequest:
    """What is asked. Raises `FaultyInput` for every template whose holes leave nothing to cover."""
    faults, templates = Faults(), list[CoverTemplate]()
    for number, one in enumerate(words.templates):
        with faults:
            need = need_region(one, place=f"templates[{number}].need")
            templates.append(CoverTemplate(id=one.id, need=need, count=one.count, keep_off=keep_off_lines(one)))
    faults.raise_if_any()
    return CoversRequest(
        templates=tuple(templates),
        scraps=heap_of(words),
        keeps_grain=words.turns == "grain",
        max_scraps=words.max_scraps,
        keep_off_mm=words.keep_off_mm,
        enough_share=words.enough_share,
        widest_gap_mm=words.gap_mm,
    )


def covers_as_json(told: ToldCovers) -> dict[str, object]:
    """The answer of `bagwright covers`."""
    covers = told.covers
    return {
        "covers": [{"template": one.template_id, **as_json(one.cover)} for one in covers.covers],
        "left": [
            {"template": one.template_id, "count": one.count, "best_share": one.best_share} for one in covers.left
        ],
        "checked": covers.verdict.passed,
    }


def covers_in_words(told: ToldCovers, units: UnitSystem) -> str:
    """The answer for the maker."""
    said = []
    for one in told.covers.covers:
        names, measures = ", ".join(place.id for place in one.cover.placements), one.cover.measures
        if len(one.cover.placements) == 1:
            said.append(f"{one.template_id}: whole out of {names}.")
        else:
            joins = print_length(measures.join_mm, units).text
            said.append(f"{one.template_id}: {names} cover {told_share(measures.covered_share)}, joins {joins} in all.")
    for rest in told.covers.left:
        copies = "1 copy" if rest.count == 1 else f"{rest.count} copies"
        if rest.best_share >= told.request.enough_share:
            best = "; the scraps do not go round"
        else:
            best = f"; at best {told_share(rest.best_share)} can be covered" if rest.best_share else ""
        said.append(f"{rest.template_id}: {copies} of new material{best}.")
    said.append("Checked: no scrap is used twice, turned over or against its grain, none lies on another.")
    return "\n".join(said)
