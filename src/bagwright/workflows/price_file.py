"""A file of one bag with its shelf and workroom: what `bagwright price`, `savings` and `money` read, priced."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from pydantic import Field

from bagwright.cutting.lay import lay_pieces
from bagwright.errors import FaultyInput, Problem
from bagwright.model.bag import Workroom
from bagwright.model.layout import LaySettings
from bagwright.workflows.answer import BagAnswer, FindLayout, answer_bag
from bagwright.workflows.bag_pattern import pattern_of_bag
from bagwright.workflows.bag_words import BagWords, bag_from, bag_problems, place_in_file
from bagwright.workflows.bond_json import KeptBondWords, bonds_from
from bagwright.workflows.contracts import Faults
from bagwright.workflows.piece_wishes import wish_problems
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.shelf_words import Day, OfferWords, shelf_from
from bagwright.workflows.stale_prices import stale_prices
from bagwright.workflows.strip_wish_words import StripWishWords, strip_problems, strip_wishes_from
from bagwright.workflows.time_words import TimedWords, refuse_unknown_steps, timings_from
from bagwright.workflows.usual_allowances import allowances_taken
from bagwright.workflows.workroom_words import WorkroomWords, workroom_from


class PriceWords(BagWords):
    """What `bagwright price` reads."""

    offers: list[OfferWords] = Field(min_length=1, max_length=2000, description="list of 1 to 2000 offers")
    bonds: list[KeptBondWords] = Field(default=[], max_length=2000, description="tested bonds: list of up to 2000")
    workroom: WorkroomWords = Field(default=WorkroomWords(), description="settings; what is left out is as usual")
    timed: list[TimedWords] = Field(
        default=[], max_length=2000, description="readings of how long steps took: list of up to 2000"
    )
    run_count: int = Field(default=1, ge=1, le=200, description="how many bags are made together, 1 to 200")
    best_only: list[str] = Field(
        default=[],
        max_length=500,
        description="ids of pieces that keep off the lesser parts of hides, a list of up to 500",
    )
    matched_seams: list[str] = Field(
        default=[], max_length=500, description="ids of seams across which a print goes on, a list of up to 500"
    )
    any_print: list[str] = Field(
        default=[],
        max_length=500,
        description="ids of pieces that need no motif of a print in their middle, a list of up to 500",
    )
    strip_wishes: list[StripWishWords] = Field(
        default=[], max_length=500, description="how strips are cut, a list of up to 500"
    )
    today: Day | None = Field(default=None, description="day from which the age of prices counts, or null")
    seconds: float = Field(
        default=0, ge=0, le=600, description="seconds of search for each layout, 0 to 600; 0 takes the first answer"
    )
    seed: int = Field(
        default=1, ge=0, le=2**31 - 1, description="a whole number, 0 to 2147483647, from which the search starts"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedFile:
    """What a file of a bag with its shelf comes to, how its layouts are found, and which prices are too old."""

    answer: BagAnswer
    shelf: Shelf
    workroom: Workroom
    find_layout: FindLayout
    stale_prices: tuple[Problem, ...] = ()


def priced_file(words: PriceWords) -> PricedFile:
    """The whole answer for the bag behind the words. Raises `FaultyInput` with every fault."""
    workroom = workroom_from(words.workroom)
    sizes = allowances_taken(words.form, words.measurements_mm, workroom)
    bag = bag_from(words.form, sizes, words.stacks, run_count=words.run_count)
    bag = replace(bag, best_only=tuple(words.best_only), matched_seams=tuple(words.matched_seams))
    bag = replace(bag, any_print=tuple(words.any_print))
    bag = replace(bag, strip_wishes=strip_wishes_from(words.strip_wishes))
    faults = Faults()
    with faults:
        pattern = pattern_of_bag(bag)
        faults.problems += wish_problems(pattern, bag)
        faults.problems += strip_problems(pattern, bag.strip_wishes, [one.id for one in words.materials])
    with faults:
        shelf = shelf_from(words.materials, words.offers, words.workroom.currency)
        bonds = bonds_from(words.bonds, frozenset(shelf.materials))
        shelf = replace(shelf, bonds=bonds, timings=timings_from(words.timed, bag.id))
    faults.problems += bag_problems(bag, words)
    faults.raise_if_any()
    settings = LaySettings(seconds=words.seconds, seed=words.seed)
    find_layout = partial(lay_pieces, settings=settings)
    answer = answer_bag(bag, shelf, workroom, find_layout=find_layout)
    if answer.steps:
        refuse_unknown_steps(words.timed, answer.steps)
    problems = [
        replace(problem, place=place_in_file(problem.place, words, offers=words.offers)) for problem in answer.problems
    ]
    if problems:
        raise FaultyInput(problems)
    return PricedFile(
        answer=answer,
        shelf=shelf,
        workroom=workroom,
        find_layout=find_layout,
        stale_prices=_stale(answer, shelf, workroom, words),
    )


def _stale(answer: BagAnswer, shelf: Shelf, workroom: Workroom, words: PriceWords) -> tuple[Problem, ...]:
    if words.today is None:
        return ()
    found = stale_prices(answer, shelf, workroom, today=date.fromisoformat(words.today))
    return tuple(replace(one, place=place_in_file(one.place, words, offers=words.offers)) for one in found)
