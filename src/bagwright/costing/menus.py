"""Few baskets of each material in numbers, and how much taken off prices bounds what a choice among them costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bagwright.costing.lattice import Floats, Ints

_TURNS = 150
_SHORTER = 0.98
_FAR = 0.02
_A_CENT = 1.0


@dataclass(frozen=True, slots=True)
class Menu:
    """Baskets of one material: cents, and in each row the goods of the sellers who are counted."""

    cents: Floats
    goods: Floats


def better_shares(menus: Sequence[Menu], goods_for: Floats, shares: Floats, limit: float) -> Floats:
    """Shares from 0 to 1 that bound the menus no lower than those given; none better are sought beyond the limit.

    Subgradients with the steps of B. T. Polyak, USSR Computational Mathematics and Mathematical Physics 9 (1969), named
    from memory, each a little shorter than the last.
    """
    cents, goods = np.concatenate([one.cents for one in menus]), np.concatenate([one.goods for one in menus])
    starts = np.cumsum([0, *(len(one.cents) for one in menus[:-1])])
    best, best_bound, tried, length = shares, -np.inf, shares, 1.0
    for _ in range(_TURNS):
        less = cents - goods @ tried
        bound = float(np.minimum.reduceat(less, starts).sum() + tried @ goods_for)
        if bound > best_bound:
            best, best_bound = tried, bound
        rise = goods_for - goods[_least_of_each(less, starts)].sum(axis=0)
        steep = float(rise @ rise)
        if bound > limit or not steep:
            break
        target = min(limit, (1 + _FAR) * bound) + _A_CENT
        tried, length = np.clip(tried + length * (target - bound) / steep * rise, 0.0, 1.0), length * _SHORTER
    return best


def _least_of_each(values: Floats, starts: Ints) -> Ints:
    """The place of the least of each part."""
    order = np.lexsort((values, np.searchsorted(starts, np.arange(len(values)), side="right")))
    found: Ints = order[starts]
    return found
