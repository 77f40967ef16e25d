"""How many bags to bring where nobody knows how many will be sold."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.money import Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Bringing:
    """The question. `cost`: one bag, with pay; `kept`: what is left of a sale after fees; `worth_after`: what a bag
    that is not sold is still worth. `chances[n]`: how likely it is that n are wanted; they add up to 1."""

    cost: Money
    kept: Money
    worth_after: Money
    chances: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What bringing `count` bags comes to on the average: sold, left over, gain above the cost of all brought, and how
    likely it is that all are sold."""

    count: int
    sold: float
    left: float
    gain: Money
    sold_out_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BringingAnswer:
    """The best count and every other one, none included. `wanted_share`: how sure she should be to sell every bag that
    she brings (the critical ratio turned round), None where a bag left over loses nothing."""

    best: Brought
    counts: tuple[Brought, ...]
    wanted_share: float | None
