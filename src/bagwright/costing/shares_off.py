"""How much is taken off the prices of sellers whose goods have to reach a sum, so that the bound is highest.

These are Lagrange multipliers, as in M. L. Fisher, Management Science 27 (1981), named from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

NOTHING = 1e-3
"""Cents: less than that is rounding."""
_ROUNDS = 4
_STEPS = 12
_BENT = 1e-6


@dataclass(frozen=True, slots=True)
class Priced:
    """A bound in cents, and goods by seller where it is reached."""

    bound: float
    goods: list[float]


Price = Callable[[Sequence[float], int], Priced]
"""Prices a vector of shares, one of each seller; told with it: the seller whose share alone differs from before."""


def best_shares(goods_for: Sequence[float], price: Price, enough: Callable[[], float]) -> tuple[list[float], Priced]:
    """The shares that bound best, seller by seller in rounds, until the bound is `enough` or rises no more.

    `goods_for`: what goods of each seller have to reach; 0 if nothing.
    """
    shares = [0.0] * len(goods_for)
    found = price(shares, -1)
    for _ in range(_ROUNDS):
        before = found.bound
        for at, least in enumerate(goods_for):
            if found.bound < enough() and least and (found.goods[at] < least or shares[at]):
                shares[at], found = _along(shares, goods_for, price, at)
        if found.bound >= enough() or found.bound - before < _BENT * abs(found.bound) + NOTHING:
            break
    return shares, found


def _along(shares: Sequence[float], goods_for: Sequence[float], price: Price, at: int) -> tuple[float, Priced]:
    """The highest bound over the share of one seller, by where the lines of two plans cross."""

    def priced(share: float) -> tuple[Priced, float]:
        found = price([*shares[:at], share, *shares[at + 1 :]], at)
        return found, goods_for[at] - found.goods[at]

    low, high = 0.0, 1.0
    lower, low_rise = priced(low)
    if low_rise <= 0:
        return low, lower
    higher, high_rise = priced(high)
    if high_rise >= 0:
        return high, higher
    best = max((low, lower), (high, higher), key=lambda one: one[1].bound)
    for _ in range(_STEPS):
        share = (higher.bound - lower.bound + low_rise * low - high_rise * high) / (low_rise - high_rise)
        crossing = lower.bound + low_rise * (share - low)
        found, rise = priced(share)
        best = max(best, (share, found), key=lambda one: one[1].bound)
        if found.bound >= crossing - NOTHING or not rise:
            break
        if rise > 0:
            low, lower, low_rise = share, found, rise
        else:
            high, higher, high_rise = share, found, rise
    return best
