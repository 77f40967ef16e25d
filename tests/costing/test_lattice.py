"""States of what is held: sums over all splits, and what the shelf holds, against trying everything."""

from __future__ import annotations

import itertools
import random

import numpy as np
import pytest

from bagwright.costing.lattice import Lattice, count_pairs
from bagwright.costing.shelf import Shelf

WANTED = [(3,), (2, 1), (1, 2, 1), (0, 2)]


def states(wanted: tuple[int, ...]) -> list[tuple[int, ...]]:
    return list(itertools.product(*(range(count + 1) for count in wanted)))


def random_cents(rng: random.Random, lattice: Lattice) -> np.ndarray:
    """Nothing costs nothing; some states cannot be had."""
    found = [float("inf") if rng.random() < 0.2 else float(rng.randint(1, 99)) for _ in range(lattice.size)]
    return np.array([0.0, *found[1:]])


@pytest.mark.parametrize("wanted", WANTED)
def test_least_sums_agree_with_every_split_of_every_state(wanted):
    lattice, every = Lattice(wanted), states(wanted)
    pairs = [
        (low, high) for low in every for high in every if all(one <= two for one, two in zip(low, high, strict=True))
    ]
    assert count_pairs(wanted) == len(pairs)
    rng = random.Random(1)
    for _ in range(5):
        one, other = random_cents(rng, lattice), random_cents(rng, lattice)
        least = dict.fromkeys(every, float("inf"))
        for low, high in pairs:
            rest = tuple(two - one for one, two in zip(low, high, strict=True))
            least[high] = min(least[high], one[every.index(low)] + other[every.index(rest)])
        assert lattice.least_sums(one, other).tolist() == list(least.values())


@pytest.mark.parametrize("wanted", WANTED)
def test_shares_of_a_state_add_up_to_it_and_cost_what_the_least_sum_says(wanted):
    lattice, rng = Lattice(wanted), random.Random(2)
    for count in (1, 2, 4):
        terms = [random_cents(rng, lattice) for _ in range(count)]
        rests = lattice.rests(terms[1:])
        whole = lattice.rests(terms)[0]
        assert lattice.least_whole(terms[0], rests) == whole[-1]
        for state in np.flatnonzero(np.isfinite(whole)):
            shares = lattice.share_out(terms, rests, int(state))
            assert np.array_equal(sum(lattice.held[:, share] for share in shares), lattice.held[:, state])
            assert sum(term[share] for term, share in zip(terms, shares, strict=True)) == whole[state]


@pytest.mark.parametrize("wanted", WANTED)
def test_what_is_still_wanted_is_the_state_less_what_is_held_and_never_less_than_nothing(wanted):
    lattice, every = Lattice(wanted), states(wanted)
    for state, have in itertools.product(range(lattice.size), repeat=2):
        rest = tuple(max(0, one - two) for one, two in zip(every[state], every[have], strict=True))
        assert every[lattice.without(every[have])[state]] == rest
        assert every[lattice.still_wanted(state, np.array([have]))[0]] == rest


def test_the_shelf_agrees_with_every_set_of_its_things():
    rng = random.Random(3)
    for _ in range(20):
        wanted = rng.choice(WANTED)
        lattice, every = Lattice(wanted), states(wanted)
        things = [((0, at), tuple(rng.randint(0, count) for count in wanted)) for at in range(rng.randint(0, 4))]
        shelf = Shelf(lattice, things)
        for number, state in enumerate(every):
            fewest = min(
                (len(some) for some in every_set(things) if holds(some, state)),
                default=None,
            )
            assert np.isfinite(shelf.cents[number]) == (fewest is not None)
            if fewest is not None:
                taken = shelf.things(number)
                assert len(set(taken)) == len(taken) == fewest
                assert holds([one for one in things if one[0] in taken], state)


def every_set(things):
    return itertools.chain.from_iterable(itertools.combinations(things, count) for count in range(len(things) + 1))


def holds(some, state):
    return all(sum(have[part] for _, have in some) >= count for part, count in enumerate(state))
