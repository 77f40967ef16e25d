"""Whether there is a better choice among the baskets of every material that a bound leaves open."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bagwright.costing.baskets import Basket, MaterialBaskets
from bagwright.costing.choosing import Wanted, choose
from bagwright.costing.menus import Menu, better_shares
from bagwright.costing.open_baskets import Counted, Room, open_baskets

_MOST_WORK = 6e6
_SHARES_WORK = 3e5


@dataclass(frozen=True, slots=True)
class Closed:
    """The cheapest choice and its cents, no baskets if none is within the limit.

    Not `is_sure`: there were too many to look at. `shares`: those that bound best what was looked at, by seller.
    """

    baskets: tuple[Basket, ...]
    cents: float
    is_sure: bool
    work: float
    shares: tuple[float, ...] = ()


def close(
    materials: Sequence[MaterialBaskets],
    weights: Sequence[float],
    goods_for: Sequence[float],
    limit: float,
    *,
    is_paid: bool = False,
) -> Closed:
    """One basket of each material, so that goods of each seller reach `goods_for`, for no more than `limit` cents.

    `weights`: so much of its price counts what is bought of each seller, for a bound; infinite: nothing is bought
    there. If it `is_paid`, what goods lack is paid for as if it could be had to the cent: no true plan costs less.
    """
    sellers = tuple(at for at, least in enumerate(goods_for) if least)
    counted = Counted(sellers, is_paid)
    wanted, shares = Wanted(np.array(goods_for)[list(sellers)], is_paid), 1 - np.array(weights)[list(sellers)]
    plain = [1.0 if math.isfinite(weight) else math.inf for weight in weights]
    room = Room(
        limit - math.fsum(one.value(weights) for one in materials) - float(shares @ wanted.goods),
        limit - math.fsum(one.value(plain) for one in materials),
    )
    opened: list[tuple[Basket, ...]] = []
    work = 0.0
    for one in materials:
        found = open_baskets(one, weights, room, counted)
        work += found.looks
        if not found.is_all:
            return Closed((), math.inf, is_sure=False, work=work)
        if not found.baskets:
            return Closed((), math.inf, is_sure=True, work=work)
        opened.append(found.baskets)
    menus = [_menu(one, baskets, sellers) for one, baskets in zip(materials, opened, strict=True)]
    shares = better_shares(menus, wanted.goods, shares, limit)
    chosen = choose(menus, wanted, shares, limit, most_work=_MOST_WORK)
    work += _SHARES_WORK + chosen.work
    if chosen.numbers is None:
        each = dict(zip(sellers, map(float, shares), strict=True))
        return Closed((), math.inf, chosen.is_sure, work, tuple(each.get(at, 0.0) for at in range(len(goods_for))))
    picks = list(zip(menus, chosen.numbers, strict=True))
    lack = float(wanted.lack(np.sum([menu.goods[number] for menu, number in picks], axis=0))) if is_paid else 0.0
    cents = sum(float(menu.cents[number]) for menu, number in picks) + lack
    picked = tuple(baskets[number] for baskets, number in zip(opened, chosen.numbers, strict=True))
    return Closed(picked, cents, is_sure=True, work=work)


def _menu(material: MaterialBaskets, baskets: Sequence[Basket], counted: Sequence[int]) -> Menu:
    cents, goods = np.zeros(len(baskets)), np.zeros((len(baskets), len(counted)))
    for number, basket in enumerate(baskets):
        for seller, paid in material.cents_of(basket):
            cents[number] += paid
            if seller in counted:
                goods[number, counted.index(seller)] += paid
    return Menu(cents, goods)
