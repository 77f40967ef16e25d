"""All stacks that a shelf allows for a panel, and of those that keep its stance the best trade-offs, exactly."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bagwright.body.choices import Columns, Flags, Stacks, columns_of, sheets_of
from bagwright.body.laminate import Numbers
from bagwright.body.limits import LARGEST, number_problems
from bagwright.body.stack import bending_length_ends_mm, bond_problems, sheet_problems
from bagwright.body.trade_offs import Indices, beaten_by, best_trade_offs
from bagwright.body.unknowns import End
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Sheet, Stance
from bagwright.model.swaps import Choice, Swap, SwapAnswer, SwapQuestion

MOST_STACKS = 20_000_000
_MOST_HELD = 1 << 18


def best_swaps(question: SwapQuestion) -> SwapAnswer:
    """The exact set of best trade-offs of cost, body, weight, minutes and bulk among all stacks that keep the stance.

    A stack fills every place with one of its choices; one with no sheet at all is none. It STANDS if the low end of
    its bending length (`stack.stack_body`) reaches what is needed; LEANS asks only that the high end does, so that it
    may stand; SLUMPS that not even the high end does. Body is the low end. Stacks that agree in all five to nine
    decimals are all listed.

    Every stack is looked at. What takes a search (known bonds, the high end where readings have ranges) is bounded
    first and worked out only for stacks that could still be among the best.

    Raises `FaultyInput` for an empty place, a sheet that `stack_body` refuses, a number that cannot be reckoned with,
    and for more than 20 million stacks.

    >>> from bagwright.model.body import Sheet
    >>> from bagwright.model.source import Reading
    >>> firm, limp = (Sheet(name=name, mass_gsm=Reading.exact(300), thickness_mm=Reading.exact(0.6),
    ...                     overhang_mm=Reading.exact(over)) for name, over in (("duck", 90), ("lawn", 30)))
    >>> cloths = Choice(name="duck", sheet=firm, cost=9), Choice(name="lawn", sheet=limp, cost=4)
    >>> answer = best_swaps(SwapQuestion(places=(cloths,), needed_bending_length_mm=40))
    >>> [swap.choices for swap in answer.swaps], answer.tried
    ([(0,)], 2)
    """
    _refuse_faults(question)
    columns = columns_of(question)
    closed, opened = [_Held.none(columns)], [_Held.none(columns)]
    tried = 0
    for block in columns.blocks():
        stacks = block[columns.is_sheet[block].any(axis=1)]
        tried += len(stacks)
        sure, perhaps = _sorted_out(stacks, columns, question)
        closed.append(_held(stacks[sure], columns, question))
        opened.append(_held(stacks[perhaps], columns, question))
        if sum(len(held.stacks) for held in (*closed, *opened)) > _MOST_HELD:
            closed, opened = _sifted(closed, opened)
    (best,), (open_,) = _sifted(closed, opened)
    best = _joined([best, _worked_out(open_, question)]).reduced()
    return SwapAnswer(swaps=_swaps(best, columns, question), tried=tried)


def best_among(swaps: Sequence[Swap]) -> tuple[int, ...]:
    """Places of those that no other beats, where answers to several questions are put together; more body is better."""
    points = [(s.cost, s.minutes, s.mass_g, s.bulk_mm, -s.sure_bending_length_mm) for s in swaps]
    return tuple(best_trade_offs(np.array(points)).tolist()) if points else ()


def swap_sheets(question: SwapQuestion, swap: Swap) -> list[Sheet]:
    """The sheets of one stack of the answer, from the outside in, with what is known of their bonds.

    >>> swap_sheets(SwapQuestion(places=((Choice(name="none", sheet=None),),), needed_bending_length_mm=9),
    ...             Swap(choices=(0,), cost=0, minutes=0, mass_g=0, bulk_mm=0, sure_bending_length_mm=0))
    []
    """
    starts = itertools.accumulate((len(place) for place in question.places[:-1]), initial=0)
    return sheets_of(question, [start + choice for start, choice in zip(starts, swap.choices, strict=True)])


@dataclass(frozen=True, slots=True)
class _Held:
    """Stacks, and for each of them what is to be small: cost, minutes, weight, bulk and (lack of) body."""

    stacks: Stacks
    points: Numbers

    @classmethod
    def none(cls, columns: Columns) -> _Held:
        return cls(np.zeros((0, len(columns.sizes)), dtype=np.intp), np.zeros((0, 5)))

    def only(self, chosen: Flags | Indices) -> _Held:
        return _Held(self.stacks[chosen], self.points[chosen])

    def reduced(self) -> _Held:
        return self.only(best_trade_offs(self.points))


def _joined(parts: Sequence[_Held]) -> _Held:
    return _Held(np.concatenate([part.stacks for part in parts]), np.concatenate([part.points for part in parts]))


def _sifted(closed: Sequence[_Held], opened: Sequence[_Held]) -> tuple[list[_Held], list[_Held]]:
    """The best of the closed stacks, and the open ones that none of these beats even at their best."""
    best, open_ = _joined(closed).reduced(), _joined(opened)
    return [best], [open_.only(~beaten_by(best.points, open_.points))]


def _sorted_out(stacks: Stacks, columns: Columns, question: SwapQuestion) -> tuple[Flags, Flags]:
    """Which stacks surely keep the stance and need no search, and which others may keep it."""
    need = question.needed_bending_length_mm**3
    known = columns.joints_known(stacks)
    if question.stance is Stance.STANDS:
        may = known.copy()
        may[known] = columns.unsurpassed_cube(stacks[known]) >= need
        return columns.surely_reaches(stacks, need) & ~known, may
    reaches = columns.reached_cube(stacks) >= need
    may_reach = reaches.copy()
    unsure = known | ~reaches
    may_reach[unsure] = columns.unsurpassed_cube(stacks[unsure]) >= need
    if question.stance is Stance.LEANS:
        return reaches & ~known, may_reach & unsure
    return ~may_reach & ~known, known | (may_reach & ~reaches)


def _held(stacks: Stacks, columns: Columns, question: SwapQuestion) -> _Held:
    """Stacks with their points; where a bond is known, with a body that is no worse than theirs."""
    known = columns.joints_known(stacks)
    cubes = np.empty(len(stacks))
    cubes[~known] = columns.sliding_low_cube(stacks[~known])
    at_best = columns.undercut_cube if question.stance is Stance.SLUMPS else columns.unsurpassed_cube
    cubes[known] = at_best(stacks[known])
    return _Held(stacks, _points(columns.counted_of(stacks), np.cbrt(cubes), question.stance))


def _points(counted: Numbers, lengths_mm: Numbers, stance: Stance) -> Numbers:
    return np.column_stack([counted, lengths_mm if stance is Stance.SLUMPS else -lengths_mm])


def _worked_out(opened: _Held, question: SwapQuestion) -> _Held:
    """Those of the open stacks that do keep the stance, with what their body really is."""
    sheets = [sheets_of(question, stack) for stack in opened.stacks.tolist()]
    low = np.array(bending_length_ends_mm(sheets, End.LOW))
    need = question.needed_bending_length_mm
    if question.stance is Stance.STANDS:
        keeps = low >= need
    else:
        reaches = np.array(bending_length_ends_mm(sheets, End.HIGH)) >= need
        keeps = reaches if question.stance is Stance.LEANS else ~reaches
    keeps = keeps.astype(bool)
    return _Held(opened.stacks[keeps], _points(opened.points[keeps, :4], low[keeps], question.stance))


def _swaps(best: _Held, columns: Columns, question: SwapQuestion) -> tuple[Swap, ...]:
    order = np.lexsort(best.points.T[::-1])
    choices = best.stacks[order] - np.array(columns.starts)
    return tuple(
        Swap(
            choices=tuple(chosen),
            cost=cost,
            minutes=minutes,
            mass_g=mass_g,
            bulk_mm=bulk_mm,
            sure_bending_length_mm=abs(body),
        )
        for chosen, (cost, minutes, mass_g, bulk_mm, body) in zip(
            choices.tolist(), best.points[order].tolist(), strict=True
        )
    )


def _refuse_faults(question: SwapQuestion) -> None:
    problems = number_problems({"needed_bending_length_mm": question.needed_bending_length_mm})
    if not question.places:
        problems.append(_no_choice("places"))
    for i, place in enumerate(question.places):
        if not place:
            problems.append(_no_choice(f"places[{i}]"))
        for j, choice in enumerate(place):
            problems += _choice_problems(choice, f"places[{i}][{j}]")
    for (outer, inner), bond in question.bonds.items():
        problems += bond_problems(bond, place=f"bonds[{outer}, {inner}]")
    count = math.prod(len(place) for place in question.places)
    if count > MOST_STACKS:
        remedy = "Leave out choices that you would not take."
        what, allowed = "stacks are more than can be looked at", f"up to {MOST_STACKS}"
        problems.append(Problem(place="places", value=f"{count}", what=what, allowed=allowed, remedy=remedy))
    if problems:
        raise FaultyInput(problems)


def _no_choice(place: str) -> Problem:
    remedy = "Give at least one choice for it, or leave the place out."
    return Problem(
        place=place, value="", what="has nothing to choose from", allowed="one choice or more", remedy=remedy
    )


def _choice_problems(choice: Choice, place: str) -> list[Problem]:
    counted = {name: getattr(choice, name) for name in ("cost", "minutes", "mass_g", "bulk_mm")}
    problems = [
        Problem(
            place=f"{place}.{name}",
            value=f"{number:g}",
            what="cannot be reckoned with",
            allowed="zero or more",
            remedy="Type what it adds to one panel.",
        )
        for name, number in counted.items()
        if not 0 <= number <= LARGEST
    ]
    return problems + (sheet_problems(choice.sheet, place=place) if choice.sheet else [])
