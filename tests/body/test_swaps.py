"""Swaps: the exact set of best trade-offs, against looking at every stack one by one."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.body.stack import bending_length_band_mm, bending_length_ends_mm
from bagwright.body.swaps import best_swaps
from bagwright.body.trade_offs import beaten_by, best_trade_offs
from bagwright.body.unknowns import End
from bagwright.errors import FaultyInput
from bagwright.model.body import Bond, BondedSwatch, Sheet, Stance
from bagwright.model.material import Held
from bagwright.model.source import Reading
from bagwright.model.swaps import Choice, SwapQuestion
from tests.body.sheets import GUESS, random_stack, reading, sheet

NONE = Choice(name="none", sheet=None)


def by_brute_force(question: SwapQuestion) -> set[tuple[int, ...]]:
    """Every stack through the stack's own formulas, and every pair of them compared."""
    kept: dict[tuple[int, ...], tuple[float, ...]] = {}
    for chosen in itertools.product(*(range(len(place)) for place in question.places)):
        choices = [place[i] for place, i in zip(question.places, chosen, strict=True)]
        sheets = [choice.sheet for choice in choices if choice.sheet]
        if sheets:
            band = bending_length_band_mm(bonded(sheets, question))
            stance = Stance.of(band, question.needed_bending_length_mm)
            wanted = {Stance.LEANS: {Stance.LEANS, Stance.STANDS}}.get(question.stance, {question.stance})
            if stance in wanted:
                body = band.low if question.stance is Stance.SLUMPS else -band.low
                counted = (sum(getattr(c, name) for c in choices) for name in ("cost", "minutes", "mass_g", "bulk_mm"))
                kept[chosen] = tuple(round(number, 8) for number in (*counted, body))
    return {a for a, of_a in kept.items() if not any(beats(of_b, of_a) for of_b in kept.values())}


def bonded(sheets: list[Sheet], question: SwapQuestion) -> list[Sheet]:
    pairs = itertools.pairwise(sheets)
    return [sheets[0], *(replace(b, bond=question.bonds.get((a.name, b.name), b.bond)) for a, b in pairs)]


def beats(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return all(a <= b for a, b in zip(one, other, strict=True)) and one != other


def random_question(
    rng: np.random.Generator, *, most_spread: float, places: int, most_choices: int, knows: bool = False
) -> SwapQuestion:
    """A shelf with invented prices, coarse enough for ties, and a need that some of its stacks meet."""
    stacks = [random_stack(rng, int(rng.integers(1, most_choices + 1)), most_spread=most_spread) for _ in range(places)]
    filled = [[choice_of(s, f"{i}", rng, knows=knows) for s in stack] for i, stack in enumerate(stacks)]
    if places > 1:
        filled[1].append(NONE)
    lengths = [bending_length_band_mm([s]).low for stack in stacks for s in stack]
    return SwapQuestion(
        places=tuple(tuple(place) for place in filled),
        needed_bending_length_mm=float(rng.uniform(min(lengths), max(lengths))),
        stance=list(Stance)[int(rng.integers(0, 3))],
    )


def choice_of(one: Sheet, place: str, rng: np.random.Generator, *, knows: bool) -> Choice:
    made = replace(one, name=f"{one.name} {place}", bond=one.bond if knows else Bond())
    return Choice(
        name=made.name,
        sheet=made,
        cost=float(rng.integers(1, 9)),
        minutes=float(rng.integers(0, 4)),
        mass_g=round(made.mass_gsm.value / 10),
        bulk_mm=round(made.thickness_mm.value, 1),
    )


@pytest.mark.parametrize("seed", range(150))
def test_exact_shelves_agree_with_brute_force(seed):
    question = random_question(np.random.default_rng(seed), most_spread=0, places=3, most_choices=4)
    assert {swap.choices for swap in best_swaps(question).swaps} == by_brute_force(question)


@pytest.mark.parametrize("seed", range(40))
def test_shelves_with_ranges_agree_with_brute_force(seed):
    question = random_question(np.random.default_rng(1000 + seed), most_spread=0.2, places=3, most_choices=2)
    assert {swap.choices for swap in best_swaps(question).swaps} == by_brute_force(question)


@pytest.mark.parametrize("seed", range(60))
def test_shelves_with_known_bonds_agree_with_brute_force(seed):
    rng = np.random.default_rng(2000 + seed)
    question = random_question(rng, most_spread=0.05 * (seed % 2), places=3, most_choices=2, knows=True)
    assert {swap.choices for swap in best_swaps(question).swaps} == by_brute_force(question)


@pytest.mark.parametrize("stance", list(Stance))
def test_swatches_by_pair_agree_with_brute_force(stance):
    outers = [sheet(name, overhang=over) for name, over in (("canvas", 50), ("duck", 70))]
    webs = [sheet(name, mass=90, thickness=0.3, overhang=o, held=Held.FUSED) for name, o in (("web", 40), ("mesh", 30))]
    felt = sheet("felt", mass=250, thickness=2, overhang=60, held=Held.QUILTED)
    known = Bond(swatch=BondedSwatch(overhang_mm=Reading(80, 76, 84, GUESS)))
    places = (
        tuple(Choice(name=s.name, sheet=s, cost=3 + i) for i, s in enumerate(outers)),
        (*(Choice(name=s.name, sheet=s, cost=1 + i) for i, s in enumerate(webs)), NONE),
        (Choice(name="felt", sheet=felt, cost=2.5), NONE),
    )
    for need in (24.0, 32.0, 38.0, 45.0):
        bonds = {("canvas", "web"): known, ("duck", "felt"): Bond(share=Reading(0.3, 0.2, 0.4, GUESS))}
        question = SwapQuestion(places=places, needed_bending_length_mm=need, stance=stance, bonds=bonds)
        assert {swap.choices for swap in best_swaps(question).swaps} == by_brute_force(question)


def test_answer_holds_what_each_stack_comes_to():
    question = random_question(np.random.default_rng(5), most_spread=0.1, places=3, most_choices=4)
    question = replace(question, stance=Stance.LEANS, needed_bending_length_mm=15.0)
    answer = best_swaps(question)
    assert answer.swaps
    assert answer.tried == np.prod([len(place) for place in question.places])
    assert [swap.cost for swap in answer.swaps] == sorted(swap.cost for swap in answer.swaps)
    for swap in answer.swaps:
        choices = [place[i] for place, i in zip(question.places, swap.choices, strict=True)]
        for name in ("cost", "minutes", "mass_g", "bulk_mm"):
            assert getattr(swap, name) == pytest.approx(sum(getattr(choice, name) for choice in choices))
        band = bending_length_band_mm([choice.sheet for choice in choices if choice.sheet])
        assert swap.sure_bending_length_mm == pytest.approx(band.low)


def test_ends_of_many_stacks_agree_with_one_by_one():
    rng = np.random.default_rng(8)
    stacks = [random_stack(rng, int(rng.integers(1, 4))) for _ in range(25)]
    bands = [bending_length_band_mm(stack) for stack in stacks]
    assert bending_length_ends_mm(stacks, End.LOW) == pytest.approx([band.low for band in bands], rel=1e-6)
    assert bending_length_ends_mm(stacks, End.HIGH) == pytest.approx([band.high for band in bands], rel=1e-6)


def test_limit_stacks_that_agree_in_everything_are_all_listed():
    alike = tuple(Choice(name=name, sheet=sheet(name), cost=2, mass_g=3) for name in ("canvas", "twill"))
    answer = best_swaps(SwapQuestion(places=(alike,), needed_bending_length_mm=20))
    assert [swap.choices for swap in answer.swaps] == [(0,), (1,)]


def test_no_stack_at_all_is_an_empty_answer():
    limp = Choice(name="lawn", sheet=sheet("lawn", overhang=20))
    answer = best_swaps(SwapQuestion(places=((limp, NONE), (NONE,)), needed_bending_length_mm=40))
    assert (answer.swaps, answer.tried) == ((), 1)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(st.integers(0, 5), min_size=4, max_size=4), min_size=1, max_size=40))
def test_best_trade_offs_agree_with_every_pair(rows):
    points = np.array(rows, dtype=float)
    best = [i for i, row in enumerate(rows) if not any(beats(tuple(other), tuple(row)) for other in rows)]
    assert best_trade_offs(points).tolist() == best
    assert (~beaten_by(points, points)).nonzero()[0].tolist() == best


@pytest.mark.parametrize(("count", "columns", "steps"), [(20_000, 5, 30), (20_000, 3, 2000), (9_000, 5, 10**6)])
def test_best_trade_offs_of_many_agree_with_beaten_by(count, columns, steps):
    points = np.random.default_rng(3).integers(0, steps, (count, columns)).astype(float)
    best = best_trade_offs(points)
    assert not beaten_by(points[best], points[best]).any()
    rest = np.setdiff1d(np.arange(count), best)
    assert beaten_by(points[best], points[rest]).all()


def test_rejects_every_fault_at_once():
    bad = Choice(name="bad", sheet=sheet(thickness=0), cost=-1, minutes=float("nan"))
    bonds = {("a", "b"): Bond(share=Reading(2, 2, 2, GUESS))}
    with pytest.raises(FaultyInput) as refused:
        best_swaps(SwapQuestion(places=((bad,), ()), needed_bending_length_mm=0, bonds=bonds))
    assert [problem.place for problem in refused.value.problems] == [
        "needed_bending_length_mm",
        "places[0][0].cost",
        "places[0][0].minutes",
        "places[0][0].thickness_mm",
        "places[1]",
        "bonds[a, b].share",
    ]


def test_rejects_more_stacks_than_can_be_looked_at():
    many = tuple(Choice(name=f"{i}", sheet=sheet(f"{i}", overhang=reading(50))) for i in range(300))
    with pytest.raises(FaultyInput, match="27000000"):
        best_swaps(SwapQuestion(places=(many,) * 3, needed_bending_length_mm=20))
