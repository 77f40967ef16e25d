"""One basket of each material, so that goods of sellers reach what they have to and all together cost least.

Exact: choices are made material by material, and a choice begun is given up where even the best way to go on costs
more than the limit. How little going on can cost is bounded by prices with a share taken off (see `shares_off`), with
several such shares at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bagwright.costing.lattice import Floats, Ints
from bagwright.costing.menus import Menu

_AT_ONCE = 1_000_000
_SHORT_CENTS = 1e-3
_MORE_AND_LESS = (-0.3, -0.1, 0.1, 0.3)
"""Shares of one seller more and less: what is begun with too much of his goods or too little is then seen early."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What goods of each seller have to reach, in cents; what they lack is paid all the same if it `is_filled_up`."""

    goods: Floats
    is_filled_up: bool = False

    def lack(self, goods: Floats) -> Floats:
        """By so much all together do goods (one row for each choice) fall short."""
        found: Floats = np.maximum(self.goods - goods, 0.0).sum(axis=-1)
        return found


@dataclass(frozen=True, slots=True)
class Chosen:
    """The number of a basket for each material, None if no choice is within the limit; `work`: pairs looked at.

    Not `is_sure`: there may be a choice, but looking for it would have taken more work than allowed.
    """

    numbers: tuple[int, ...] | None
    is_sure: bool
    work: int


@dataclass(frozen=True, slots=True)
class _Begun:
    """Choices for the first materials: cents and goods of each; which one it grew from, and by which basket."""

    cents: Floats
    goods: Floats
    before: Ints
    basket: Ints


@dataclass(frozen=True, slots=True)
class _Worth:
    """What a choice begun has to keep to, to be worth going on with.

    For each of several `shares` taken off (rows), cents less that share of goods are `most`; goods are `least`.
    """

    shares: Floats
    most: Floats
    least: Floats


def choose(menus: Sequence[Menu], wanted: Wanted, shares: Floats, limit: float, *, most_work: float) -> Chosen:
    """The cheapest choice that costs no more than `limit` cents.

    `shares`: by how much of the price a cent spent at each seller may count less (any values from 0 to 1 are sound,
    good ones are quick).

    >>> rings = Menu(np.array([300.0, 360.0]), np.array([[0.0], [360.0]]))
    >>> wanted = Wanted(np.array([350.0]))
    >>> choose([rings, rings], wanted, np.array([0.2]), 1000.0, most_work=1e6).numbers
    (0, 1)
    """
    goods_for = wanted.goods
    order = sorted(range(len(menus)), key=lambda at: -float(np.ptp(menus[at].goods, axis=0).sum()))
    none = np.zeros(1, dtype=np.int64)
    work, grown = 0, [_Begun(np.zeros(1), np.zeros((1, len(goods_for))), none, none)]
    for at, worth in zip(order, _worths(menus, order, wanted, shares, limit), strict=True):
        work += len(grown[-1].cents) * (len(menus[at].cents) + len(worth.shares))
        if work > most_work:
            return Chosen(None, is_sure=False, work=work)
        grown.append(_grown(grown[-1], menus[at], worth, goods_for))
    cents = grown[-1].cents + (wanted.lack(grown[-1].goods) if wanted.is_filled_up else 0.0)
    if not len(cents) or cents.min() > limit:
        return Chosen(None, is_sure=True, work=work)
    numbers, place = [0] * len(menus), int(np.argmin(cents))
    for at, level in zip(reversed(order), reversed(grown), strict=False):
        numbers[at], place = int(level.basket[place]), int(level.before[place])
    return Chosen(tuple(numbers), is_sure=True, work=work)


def _worths(menus: Sequence[Menu], order: Sequence[int], wanted: Wanted, shares: Floats, limit: float) -> list[_Worth]:
    """Once each material is chosen, in that order."""
    changes = [by * own for own in np.eye(len(shares)) for by in _MORE_AND_LESS]
    each = np.array([shares, *(np.clip(shares + change, 0.0, 1.0) for change in changes)])
    most, least = limit - each @ wanted.goods, np.full(len(shares), -np.inf) if wanted.is_filled_up else wanted.goods
    found: list[_Worth] = []
    for at in reversed(order):
        found.insert(0, _Worth(each, most, least))
        most = most - np.min(menus[at].cents[:, None] - menus[at].goods @ each.T, axis=0)
        least = least - menus[at].goods.max(axis=0)
    return found


def _grown(begun: _Begun, menu: Menu, worth: _Worth, goods_for: Floats) -> _Begun:
    """Each choice begun with each basket of a material, where that is worth going on with."""
    rows = max(1, _AT_ONCE // len(menu.cents))
    parts = [
        _kept(begun, np.arange(at, min(at + rows, len(begun.cents))), menu, worth, goods_for)
        for at in range(0, max(1, len(begun.cents)), rows)
    ]
    return _Begun(*(np.concatenate(one) for one in zip(*parts, strict=True)))


def _kept(
    begun: _Begun, which: Ints, menu: Menu, worth: _Worth, goods_for: Floats
) -> tuple[Floats, Floats, Ints, Ints]:
    share, most = worth.shares[0], worth.most[0]
    less = (begun.cents[which] - begun.goods[which] @ share)[:, None] + (menu.cents - menu.goods @ share)
    before, basket = np.nonzero(less <= most)
    before = which[before]
    # More goods than wanted count no more than those wanted.
    goods = np.minimum(begun.goods[before] + menu.goods[basket], goods_for)
    cents = begun.cents[before] + menu.cents[basket]
    fits = np.all(goods >= worth.least - _SHORT_CENTS, axis=1)
    for share, most in zip(worth.shares, worth.most, strict=True):
        fits &= cents - goods @ share <= most
    return cents[fits], goods[fits], before[fits], basket[fits]
