"""Choosing a basket of each material so that goods reach a sum: bounds, and the choice against a general solver."""

from __future__ import annotations

import itertools
import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from bagwright.costing.choosing import Wanted, choose
from bagwright.costing.menus import Menu, better_shares
from bagwright.costing.shares_off import Priced, best_shares


def random_menus(rng: random.Random, materials: int, sellers: int) -> list[Menu]:
    """Baskets of a few offers; some goods are of sellers whose goods do not count."""
    found = []
    for _ in range(materials):
        goods = np.array([[rng.choice([0, 0, rng.randint(100, 900)]) for _ in range(sellers)] for _ in range(4)], float)
        others = np.array([float(rng.randint(0, 500)) for _ in range(4)])
        found.append(Menu(goods.sum(axis=1) + others, goods))
    return found


def least_cost(menus: list[Menu], goods_for: np.ndarray) -> float | None:
    """By trying every choice."""
    costs = [
        sum(menu.cents[at] for menu, at in zip(menus, numbers, strict=True))
        for numbers in itertools.product(*(range(len(menu.cents)) for menu in menus))
        if np.all(sum(menu.goods[at] for menu, at in zip(menus, numbers, strict=True)) >= goods_for)
    ]
    return min(costs, default=None)


def bound(menus: list[Menu], goods_for: np.ndarray, shares: np.ndarray) -> float:
    """By the definition."""
    return float(sum(min(menu.cents - menu.goods @ shares) for menu in menus) + shares @ goods_for)


@pytest.mark.parametrize("seed", range(6))
def test_property_a_bound_is_never_above_the_true_least_nor_below_the_one_begun_with(seed):
    rng = random.Random(seed)
    menus, goods_for = random_menus(rng, 4, 2), np.array([float(rng.randint(200, 1500)) for _ in range(2)])
    least = least_cost(menus, goods_for)
    begun = np.array([rng.random(), rng.random()])
    better = better_shares(menus, goods_for, begun, 1e9)
    assert np.all((better >= 0) & (better <= 1))
    assert bound(menus, goods_for, better) >= bound(menus, goods_for, begun) - 1e-9

    def price(shares, changed):
        picked = [int(np.argmin(menu.cents - menu.goods @ shares)) for menu in menus]
        goods = sum(menu.goods[at] for menu, at in zip(menus, picked, strict=True))
        return Priced(bound(menus, goods_for, np.array(shares)), goods.tolist())

    shares, found = best_shares(goods_for.tolist(), price, lambda: 1e9)
    assert found.bound == pytest.approx(bound(menus, goods_for, np.array(shares)))
    assert found.bound >= price([0.0, 0.0], -1).bound
    if least is not None:
        assert max(bound(menus, goods_for, better), found.bound) <= least + 1e-6


@pytest.mark.parametrize("seed", range(12))
def test_the_choice_agrees_with_every_choice_whatever_the_shares(seed):
    rng = random.Random(seed)
    sellers = rng.randint(0, 3)
    menus, goods_for = random_menus(rng, 4, sellers), np.array([float(rng.randint(100, 1500)) for _ in range(sellers)])
    least = least_cost(menus, goods_for)
    for _ in range(3):
        shares = np.array([rng.random() for _ in range(sellers)])
        found = choose(menus, Wanted(goods_for), shares, np.inf, most_work=1e9)
        assert found.is_sure
        assert (found.numbers is None) == (least is None)
        if least is None or found.numbers is None:
            continue
        assert sum(menu.cents[at] for menu, at in zip(menus, found.numbers, strict=True)) == least
        assert choose(menus, Wanted(goods_for), shares, least + 1e-3, most_work=1e9).numbers is not None
        assert choose(menus, Wanted(goods_for), shares, least - 1 + 1e-3, most_work=1e9).numbers is None


def test_twenty_menus_agree_with_a_general_solver():
    """scipy.optimize.milp: one of each menu, goods of three sellers reached, least cost."""
    rng = random.Random(5)
    menus, goods_for = random_menus(rng, 20, 3), np.array([4000.0, 3500.0, 2500.0])
    cents, goods = np.concatenate([one.cents for one in menus]), np.concatenate([one.goods for one in menus])
    each = np.kron(np.eye(20), np.ones(4))
    solved = milp(
        cents,
        integrality=np.ones(80, dtype=np.int8),
        bounds=Bounds(0, 1),
        constraints=[LinearConstraint(each, 1, 1), LinearConstraint(goods.T, goods_for)],
        options={"mip_rel_gap": 0},
    )
    assert solved.fun is not None
    shares = better_shares(menus, goods_for, np.zeros(3), 1e9)
    found = choose(menus, Wanted(goods_for), shares, solved.fun + 100, most_work=1e9)
    assert found.numbers is not None
    assert sum(menu.cents[at] for menu, at in zip(menus, found.numbers, strict=True)) == pytest.approx(solved.fun)


def test_a_choice_that_takes_more_work_than_allowed_is_not_sure():
    menus, goods_for = random_menus(random.Random(5), 20, 3), np.array([4000.0, 3500.0, 2500.0])
    found = choose(menus, Wanted(goods_for), np.zeros(3), np.inf, most_work=1000)
    assert not found.is_sure
    assert found.numbers is None
