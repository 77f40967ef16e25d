"""Steps of one offer: prices at the till step by step, and the fewest that hold a state, against a general solver."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from bagwright.costing.buying_together import _all_ways
from bagwright.costing.lattice import Lattice
from bagwright.costing.offer_steps import OfferSteps, TooMany
from bagwright.costing.offers import Portion, cost_of_steps
from bagwright.costing.till import Till
from bagwright.model.cost import Need
from bagwright.model.material import PriceBreak
from bagwright.model.run_buying import LaidParts, RunNeed
from bagwright.units import UnitSystem
from tests.costing.random_runs import one_of, random_bolt, usd


def a_till() -> Till:
    """Cloth at 9.99 for 1000 mm, 7.77 from 1000 mm on, in steps of 250 mm."""
    offer = replace(
        random_bolt(random.Random(1), "a", "m", "Mill"),
        price=usd("9.99"),
        price_breaks=(PriceBreak(from_quantity=1, price=usd("7.77")),),
    )
    return Till(Portion("mm", Fraction(900), Fraction(250), Fraction(1000)), offer)


def test_the_till_takes_whole_cents_halves_up_at_the_price_of_the_break():
    # By hand: 249.75 -> 250, 499.5 -> 500, 749.25 -> 749 cents; from 4 steps on 194.25 each: 777, 971.25 -> 971.
    till = a_till()
    assert till.cents_of(np.arange(6)).tolist() == [0, 250, 500, 749, 777, 971]
    assert till.last_break() == 4
    assert [till.steps_for(cents, 0) for cents in (1, 250, 501, 778)] == [1, 1, 3, 5]
    assert till.steps_for(10**9, 0) == -(-(2 * 10**11 - 100) // 38850)  # 194.25 each, less half a cent


@pytest.mark.parametrize("seed", range(8))
def test_the_till_agrees_with_the_price_of_each_number_of_steps(seed):
    rng = random.Random(seed)
    quantities = rng.sample(range(1, 40), rng.randint(0, 3))
    breaks = tuple(PriceBreak(from_quantity=one / 4, price=usd(f"{rng.randint(1, 999) / 100}")) for one in quantities)
    offer = replace(
        random_bolt(rng, "a", "m", "Mill"), price=usd(f"{rng.randint(1, 9999) / 1000}"), price_breaks=breaks
    )
    portion = Portion("mm", Fraction(900), Fraction(rng.choice(["114.3", "50", "1"])), Fraction("914.4"))
    till = Till(portion, offer)
    assert till.cents_of(np.arange(91)).tolist() == [
        math.floor(100 * cost_of_steps(portion, offer, count) + Fraction(1, 2)) for count in range(91)
    ]


def test_the_best_number_of_steps_is_never_dearer_than_any_larger_one():
    till = Till(
        Portion("packs", Fraction(1), Fraction(1)),
        replace(
            random_bolt(random.Random(1), "a", "m", "Mill"),
            price=usd("5.00"),
            price_breaks=(PriceBreak(from_quantity=4, price=usd("2.00")),),
        ),
    )
    cents = till.cents_of(np.arange(9))
    for count, best in enumerate(till.best_steps(np.arange(9)).tolist()):
        assert best >= count
        assert cents[best] == (min(cents[count:]) if count else 0)


def random_offer(rng: random.Random) -> tuple[OfferSteps, Lattice]:
    """A bolt, and layouts of single parts and of some together."""
    parts = rng.choice([(3,), (2, 1), (1, 2, 1)])
    holds = [one_of(parts, part) for part in range(len(parts))]
    holds += [tuple(rng.randint(0, count) for count in parts) for _ in range(2)]
    laid = tuple(
        LaidParts(holds=one, length_mm=float(rng.randint(100, 900)), width_mm=1000.0) for one in holds if any(one)
    )
    need = RunNeed(
        need=Need(material_id="m", name="m", lengths_mm_by_width=((1000.0, 1500.0),)), parts=parts, laid=laid
    )
    offer = random_bolt(rng, "a", "m", "Mill", width_mm=1000.0)
    ((_, ways),) = _all_ways([need], [offer], UnitSystem.INCH)
    lattice = Lattice(parts)
    return OfferSteps(lattice, offer, ways, [way.holds for way in ways]), lattice


@pytest.mark.parametrize("seed", range(4))
def test_the_fewest_steps_agree_with_a_general_solver(seed):
    """scipy.optimize.milp: least whole times of each layout that hold the state, by the length that they take."""
    steps, lattice = random_offer(random.Random(seed))
    takes = np.array([float(way.takes) for way in steps.ways])
    held = np.array([way.holds for way in steps.ways], dtype=float).T
    for state in range(1, lattice.size):
        solved = milp(
            takes,
            integrality=np.ones(len(takes), dtype=np.int8),
            constraints=LinearConstraint(held, lattice.held[:, state]),
        )
        assert solved.fun is not None
        assert steps.fewest[state] == math.ceil(solved.fun / float(steps.ways[0].portion.step) - 1e-9)
        taken = list(steps.taken(state))
        assert sum(float(times * way.takes) for way, times in taken) == pytest.approx(solved.fun)
        have = [sum(times * way.holds[part] for way, times in taken) for part in range(len(held))]
        assert all(one >= want for one, want in zip(have, lattice.held[:, state], strict=True))


def test_lines_are_the_states_that_a_number_of_steps_holds_and_no_larger_one():
    for seed in range(6):
        steps, lattice = random_offer(random.Random(seed))
        counts, states = steps.lines(20_000, is_filled_up=True)
        assert counts.max() > steps.fewest.max()
        assert steps.till.cents(int(counts.max())) <= 20_000 < steps.till.cents(int(counts.max()) + 1)
        for count in set(counts.tolist()):
            can = [state for state in range(lattice.size) if 0 <= steps.fewest[state] <= count]
            largest = {
                one
                for one in can
                if not any(two != one and np.all(lattice.held[:, two] >= lattice.held[:, one]) for two in can)
            }
            assert set(states[counts == count].tolist()) == largest
        few, _ = steps.lines(20_000, is_filled_up=False)
        assert set(few.tolist()) == set(steps.steps.tolist())
        with pytest.raises(TooMany):  # filling up so dear an order would take too many steps to look at
            steps.lines(1e7, is_filled_up=True)
