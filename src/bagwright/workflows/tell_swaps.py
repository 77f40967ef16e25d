"""`bagwright swaps`: the best trade-offs among all stacks that a shelf allows for a panel."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from enum import StrEnum

from pydantic import Field, model_validator

from bagwright.body.held_panel import holds_in_a_bag, needed_bending_length_mm
from bagwright.body.stack import bending_length_band_mm
from bagwright.body.swaps import best_swaps, swap_sheets
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Bond, Stance
from bagwright.model.held_panel import HeldPanel
from bagwright.model.material import Held
from bagwright.model.source import Band
from bagwright.model.swaps import Choice, Swap, SwapAnswer, SwapQuestion
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, read_contract, reading
from bagwright.workflows.layer_words import Share, SheetWords, SwatchWords, sheet_of_words, swatch_of_words
from bagwright.workflows.swap_words import swap_change

NONE = "none"


class Rank(StrEnum):
    """What comes first in the list."""

    COST = "cost"
    BODY = "body"
    WEIGHT = "weight"
    MINUTES = "minutes"
    BULK = "bulk"


class ChoiceWords(SheetWords):
    """One material that may fill a place."""

    name: str = Field(min_length=1, max_length=200, description="its name, 1 to 200 characters, once in each place")
    held: Held = Field(default=Held.LOOSE, description="how it is held to the layer before: " + ", ".join(Held))
    cost: float = Field(ge=0, le=1_000_000, description="what it costs for the panel, 0 to 1000000")
    minutes: float = Field(default=0, ge=0, le=10_000, description="the work it takes in minutes, 0 to 10000")


class PlaceWords(Contract):
    """One place in the stack."""

    choices: list[ChoiceWords] = Field(min_length=1, max_length=500, description="list of 1 to 500 materials")
    may_be_empty: bool = Field(default=False, description="whether it may also be left empty: true or false")


class BondOfPairWords(Contract):
    """What is known of the bond of two materials."""

    outer: str = Field(max_length=200, description="name of the outer one, up to 200 characters")
    inner: str = Field(max_length=200, description="name of the inner one, up to 200 characters")
    share: Share | None = Field(default=None, description="share of bond, 0 (slides) to 1 (cannot slide), if known")
    swatch: SwatchWords | None = Field(default=None, description="ruler test on a bonded scrap of the two, if any")


class SwapsWords(Contract):
    """What `bagwright swaps` reads."""

    places: list[PlaceWords] = Field(
        min_length=1, max_length=12, description="list of 1 to 12 places, from the outside in"
    )
    width_mm: float = Field(ge=10, le=5_000, description="width of the panel in mm, 10 to 5000")
    height_mm: float = Field(ge=10, le=5_000, description="height of the panel in mm, 10 to 5000")
    depth_mm: float = Field(default=0, ge=0, le=5_000, description="depth of the bag in mm, 0 to 5000; 0: sides free")
    stance: Stance = Field(default=Stance.STANDS, description="the stance to keep: " + ", ".join(Stance))
    bonds: list[BondOfPairWords] = Field(default=[], max_length=2000, description="list of up to 2000 known bonds")
    now: list[str] = Field(
        default=[], max_length=12, description='list of up to 12 names: what fills the places now, "none" if empty'
    )
    rank: Rank = Field(default=Rank.COST, description="what comes first in the list: " + ", ".join(Rank))
    most: int = Field(default=20, ge=1, le=1000, description="how many to list, 1 to 1000")

    @model_validator(mode="after")
    def _names_differ_and_now_is_among_them(self) -> SwapsWords:
        problems = [
            _problem(f"places[{i}].choices[{j}].name", choice.name, "is used more than once", "each name once")
            for i, place in enumerate(self.places)
            for j, choice in enumerate(place.choices)
            if Counter([*(c.name for c in place.choices), NONE])[choice.name] > 1
        ]
        if self.now and len(self.now) != len(self.places):
            problems.append(_problem("now", f"{len(self.now)} names", "does not fit", "one name for each place"))
        for i, (name, place) in enumerate(zip(self.now, self.places, strict=False)):
            if name not in (allowed := [*(choice.name for choice in place.choices), NONE]):
                problems.append(_problem(f"now[{i}]", name, "is not among the choices", ", ".join(allowed)[:300]))
        if problems:
            raise FaultyInput(problems)
        return self


def _problem(place: str, value: str, what: str, allowed: str) -> Problem:
    return Problem(place=place, value=value[:60], what=what, allowed=allowed, remedy="Correct it.")


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapLine:
    """One stack of the answer: the names of what fills its places, its numbers, its band, and what changes in words."""

    names: tuple[str, ...]
    swap: Swap
    bending_length_mm: Band
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldSwaps:
    """The answer, and the lines of it that are shown."""

    needed_bending_length_mm: float
    answer: SwapAnswer
    lines: tuple[SwapLine, ...]


def swaps_of_file(text: bytes) -> ToldSwaps:
    """The best swaps for the panel that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, SwapsWords)
    question = _question(words)
    answer = best_swaps(question)
    ranked = sorted(answer.swaps, key=_RANKS[words.rank])[: words.most]
    now = _now(words, question)
    return ToldSwaps(
        needed_bending_length_mm=question.needed_bending_length_mm,
        answer=answer,
        lines=tuple(_line(swap, now, question) for swap in ranked),
    )


_RANKS = {
    Rank.COST: lambda swap: swap.cost,
    Rank.BODY: lambda swap: -swap.sure_bending_length_mm,
    Rank.WEIGHT: lambda swap: swap.mass_g,
    Rank.MINUTES: lambda swap: swap.minutes,
    Rank.BULK: lambda swap: swap.bulk_mm,
}


def _question(words: SwapsWords) -> SwapQuestion:
    area_m2 = words.width_mm * words.height_mm / 1e6
    return SwapQuestion(
        places=tuple(_place(place, area_m2) for place in words.places),
        needed_bending_length_mm=_needed_mm(words),
        stance=words.stance,
        bonds=_bonds(words.bonds),
    )


def _needed_mm(words: SwapsWords) -> float:
    least, most = holds_in_a_bag(words.depth_mm)
    panel = HeldPanel(
        name="panel", width_mm=words.width_mm, height_mm=words.height_mm, sheets=(), least=least, most=most
    )
    return needed_bending_length_mm(panel)


def _place(place: PlaceWords, area_m2: float) -> tuple[Choice, ...]:
    choices = [_choice(choice, area_m2) for choice in place.choices]
    return (*choices, Choice(name=NONE, sheet=None)) if place.may_be_empty else tuple(choices)


def _choice(words: ChoiceWords, area_m2: float) -> Choice:
    sheet = replace(sheet_of_words(words, name=words.name), held=words.held)
    return Choice(
        name=words.name,
        sheet=sheet,
        cost=words.cost,
        minutes=words.minutes,
        mass_g=sheet.mass_gsm.value * area_m2,
        bulk_mm=sheet.thickness_mm.value,
    )


def _bonds(words: Sequence[BondOfPairWords]) -> Mapping[tuple[str, str], Bond]:
    return {
        (pair.outer, pair.inner): Bond(
            share=reading(pair.share) if pair.share is not None else None,
            swatch=swatch_of_words(pair.swatch) if pair.swatch else None,
        )
        for pair in words
    }


def _now(words: SwapsWords, question: SwapQuestion) -> tuple[Choice, ...]:
    empty = Choice(name=NONE, sheet=None)
    by_name = [{choice.name: choice for choice in place} for place in question.places]
    return tuple(names.get(name, empty) for name, names in zip(words.now, by_name, strict=False))


def _line(swap: Swap, now: tuple[Choice, ...], question: SwapQuestion) -> SwapLine:
    chosen = tuple(place[i] for place, i in zip(question.places, swap.choices, strict=True))
    return SwapLine(
        names=tuple(choice.name for choice in chosen),
        swap=swap,
        bending_length_mm=bending_length_band_mm(swap_sheets(question, swap)),
        says=swap_change(now, chosen) if now else " + ".join(choice.name for choice in chosen if choice.sheet),
    )


def swaps_as_json(told: ToldSwaps) -> dict[str, object]:
    """The answer of `bagwright swaps`."""
    return {
        "needed_bending_length_mm": told.needed_bending_length_mm,
        "tried": told.answer.tried,
        "best": len(told.answer.swaps),
        "swaps": [
            {
                "choices": list(line.names),
                "cost": line.swap.cost,
                "minutes": line.swap.minutes,
                "mass_g": line.swap.mass_g,
                "bulk_mm": line.swap.bulk_mm,
                "bending_length_mm": asdict(line.bending_length_mm),
                "says": line.says,
            }
            for line in told.lines
        ],
    }


def swaps_in_words(told: ToldSwaps, units: UnitSystem) -> str:
    """The answer for the maker."""
    tried, best = told.answer.tried, len(told.answer.swaps)
    if not best:
        return f"None of {tried:,} stacks keeps that stance. Add firmer materials, or ask for less."
    lines = [f"{line.swap.cost:10,.2f}  {line.says}" for line in told.lines]
    shown = f"; here are {len(lines)}" if best > len(lines) else ""
    head = f"Of {tried:,} stacks {best} that keep the stance are beaten by no other{shown}."
    return "\n".join([head, "  for the panel", *lines, _NOTE])


_NOTE = "Each of them is best at something: cost, body, weight, time or bulk. Test one on a scrap before you cut."
