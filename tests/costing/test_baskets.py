"""Baskets of one material, those that a bound leaves open, and a run bought seller by seller: against every basket."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from bagwright.costing._solver import Effort
from bagwright.costing.baskets import ASKS_NOTHING, Basket, MaterialBaskets, weight_of
from bagwright.costing.buying_together import _all_ways, buy_together
from bagwright.costing.by_seller import least_by_seller
from bagwright.costing.closing import close
from bagwright.costing.lattice import Lattice
from bagwright.costing.open_baskets import Counted, Room, open_baskets
from bagwright.costing.order_terms import Asked, OrderKind
from bagwright.costing.plan_money import cost_cents
from bagwright.costing.seller_search import SellerSearch
from bagwright.model.run_buying import SellerTerms
from bagwright.units import UnitSystem
from tests.costing.random_runs import random_hides, random_sheet, random_things, usd

SELLERS = {"Mill": 0, "Stall": 1}


def random_material(seed: int) -> MaterialBaskets:
    rng = random.Random(seed)
    make = rng.choice([random_sheet, random_things, random_hides])
    needs, offers = make(rng, f"m{seed}", ["Mill", "Stall", "Fair"])
    return MaterialBaskets(dict(enumerate(needs)), _all_ways(needs, offers, UnitSystem.INCH), SELLERS)


def every_basket(material: MaterialBaskets, *, more: int = 4) -> list[tuple[dict[int, float], float]]:
    """Cents by seller, and those of things from the shelf, of every number of steps that holds all that is wanted."""
    lattice, found = material.lattice, []
    for steps in itertools.product(*(range(int(one.fewest.max()) + more) for one in material.offers)):
        held = [
            np.flatnonzero((one.fewest >= 0) & (one.fewest <= count))
            for one, count in zip(material.offers, steps, strict=True)
        ]
        shelves = [
            material.shelf.cents[int(lattice.strides @ still_wanted(lattice, states))]
            for states in itertools.product(*held)
        ]
        if math.isfinite(shelf := min(shelves)):
            cents: dict[int, float] = {}
            for one, seller, count in zip(material.offers, material.sellers, steps, strict=True):
                cents[seller] = cents.get(seller, 0.0) + one.till.cents(count)
            found.append((cents, shelf))
    return found


def still_wanted(lattice: Lattice, states: Iterable[Any]) -> np.ndarray:
    have = sum((lattice.held[:, state] for state in states), np.zeros(len(lattice.wanted), dtype=np.int64))
    return np.maximum(np.array(lattice.wanted) - have, 0)


def weighed(cents: dict[int, float], shelf: float, weights: list[float]) -> float:
    each = [(paid, weight_of(seller, weights)) for seller, paid in cents.items()]
    return (
        math.inf
        if any(paid and weight == math.inf for paid, weight in each)
        else shelf + sum(paid * weight for paid, weight in each if paid)
    )


WEIGHTS = [[1.0, 1.0], [0.5, 1.0], [0.8, 0.7], [math.inf, 1.0], [0.0, math.inf]]


@pytest.mark.parametrize("seed", range(12))
def test_the_value_of_a_material_agrees_with_every_basket(seed):
    material = random_material(seed)
    every = every_basket(material)
    for weights, first in itertools.product(WEIGHTS, (ASKS_NOTHING, 0, 1)):
        least = min((weighed(cents, shelf, weights) for cents, shelf in every), default=math.inf)
        assert material.value(weights, first) == pytest.approx(least)
        if math.isfinite(least):
            paid = dict.fromkeys((ASKS_NOTHING, 0, 1), 0.0)
            for seller, cents in material.cents_of(basket := material.basket(weights, first)):
                paid[seller] += cents
            assert weighed(paid, 1e-6 * len(basket.things), weights) == pytest.approx(least)


@pytest.mark.parametrize("seed", range(8))
def test_no_basket_within_the_room_is_missing_but_for_those_that_another_makes_needless(seed):
    material, weights = random_material(seed), [0.8, 0.9]
    room = Room(120.0, 400.0)
    found = open_baskets(material, weights, room, Counted((0, 1)))
    assert found.is_all
    kept = [sums(material, one) for one in found.baskets]
    least, plain = material.value(weights) + room.weighed, material.value([1.0, 1.0]) + room.plain
    for cents, shelf in every_basket(material):
        if weighed(cents, shelf, weights) > least or weighed(cents, shelf, [1.0, 1.0]) > plain:
            continue
        assert any(
            sum(one.values()) <= sum(cents.values()) and all(one.get(at, 0) >= cents.get(at, 0) for at in (0, 1))
            for one in kept
        )
    for one, other in itertools.permutations(kept, 2):
        assert not (
            sum(one.values()) <= sum(other.values()) and all(one.get(at, 0) >= other.get(at, 0) for at in (0, 1))
        )


def sums(material: MaterialBaskets, basket: Basket) -> dict[int, float]:
    found: dict[int, float] = {}
    for seller, cents in material.cents_of(basket):
        found[seller] = found.get(seller, 0.0) + cents
    return found


@pytest.mark.parametrize("seed", range(6))
def test_closing_keeps_the_sum_and_the_least_goods(seed):
    materials = [random_material(3 * seed + at) for at in range(2)]
    goods_for, weights = [500.0, 300.0], [0.8, 0.7]
    found = close(materials, weights, goods_for, 5_000.0)
    every = [every_basket(one, more=8) for one in materials]
    both = [
        {at: one.get(at, 0.0) + other.get(at, 0.0) for at in (ASKS_NOTHING, 0, 1)}
        for (one, _), (other, _) in itertools.product(*every)
    ]
    least = min((sum(one.values()) for one in both if one[0] >= 500 and one[1] >= 300), default=math.inf)
    assert found.is_sure
    if least > 5_000:
        assert not found.baskets
        return
    each = [sums(*pair) for pair in zip(materials, found.baskets, strict=True)]
    assert found.cents == sum(sum(one.values()) for one in each) == least
    assert all(sum(one.get(at, 0.0) for one in each) >= goods_for[at] for at in (0, 1))


def test_an_order_lacks_goods_only_where_filling_it_up_pays():
    asked = Asked(delivery=500.0, free_from=2_000.0, least_order=800.0)
    assert [asked.lack(goods) for goods in (700.0, 900.0, 1_600.0, 2_000.0)] == [100.0, 0.0, 400.0, 0.0]
    assert Asked(delivery=500.0, free_from=1_200.0, least_order=800.0).lack(300.0) == 900.0  # not 500, and delivery
    assert [asked.cents(goods, is_ordered=True) for goods in (700.0, 900.0, 2_000.0)] == [math.inf, 500.0, 0.0]
    assert asked.cents(0.0, is_ordered=False) == 0
    assert [asked.goods_for(kind) for kind in OrderKind] == [0.0, 800.0, 2_000.0]
    assert Asked(0.0, 2_000.0, 0.0).kinds() == (OrderKind.LEFT_OUT, OrderKind.PAID)


@pytest.mark.parametrize("seed", range(8))
def test_the_search_over_sellers_agrees_with_every_pair_of_baskets(seed):
    materials = [random_material(5 * seed + at) for at in range(2)]
    rng = random.Random(seed)
    asked = [Asked(float(rng.randint(100, 600)), float(rng.randint(400, 1200)), rng.choice([0.0, 300.0])) for _ in "ab"]
    found = SellerSearch(materials, asked, 1e9).run()
    costs = []
    for (one, shelf), (other, more_shelf) in itertools.product(
        *(every_basket(material, more=8) for material in materials)
    ):
        goods = [one.get(at, 0.0) + other.get(at, 0.0) for at in (0, 1)]
        orders = sum(own.cents(have, is_ordered=have > 0) for own, have in zip(asked, goods, strict=True))
        costs.append(sum(one.values()) + sum(other.values()) + orders + 0 * (shelf + more_shelf))
    assert found is not None
    assert found.cents == found.bound == min(costs)


def test_a_run_bought_by_seller_costs_what_the_general_solver_finds():
    """The same run with the way by seller closed to it goes to the mixed-integer solver (HiGHS, through scipy)."""
    rng = random.Random(4)
    made = [random_sheet(rng, f"m{at}", ["Mill", "Stall", "Barn"]) for at in range(4)]
    needs, offers = [need for own, _ in made for need in own], [offer for _, own in made for offer in own]
    asked = {
        seller: SellerTerms(seller=seller, delivery=usd(4), free_from=usd(12)) for seller in ("Mill", "Stall", "Barn")
    }
    ways = _all_ways(needs, offers, UnitSystem.INCH)
    found = least_by_seller(needs, ways, asked, numbers=range(4), effort=Effort())
    assert found is not None
    assert cost_cents(found[0], needs, asked, Fraction(0)) == found[1]
    # A hair of worth for leftovers closes that way, and is less than a cent here.
    by_solver = buy_together(
        needs, offers, list(asked.values()), currency="USD", effort=Effort(seconds=60), left_worth=1e-3
    )
    assert abs(float(by_solver.paid.amount) * 100 - float(found[1])) < 5
