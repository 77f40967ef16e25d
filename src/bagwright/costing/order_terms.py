"""What one seller asks besides prices, and what kinds of order that makes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum


class OrderKind(Enum):
    """What an order of a seller is."""

    LEFT_OUT = "left out"
    PAID = "paid"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Asked:
    """What one seller asks, in cents; infinite `free_from`: delivery is never free."""

    delivery: float
    free_from: float
    least_order: float

    def cents(self, goods: float, *, is_ordered: bool) -> float:
        """Delivery of an order; infinite if none so small is taken."""
        if not is_ordered:
            return 0.0
        if goods < self.least_order:
            return math.inf
        return 0.0 if goods >= self.free_from else self.delivery

    def lack(self, goods: float) -> float:
        """Goods that an order lacks: for being taken, or for free delivery where they cost less than that."""
        taken = max(goods, self.least_order)
        return max(taken, self.free_from if self.free_from - taken < self.delivery else 0.0) - goods

    def kinds(self) -> tuple[OrderKind, ...]:
        """What an order can be."""
        free = (OrderKind.FREE,) if self.delivery and math.isfinite(self.free_from) else ()
        return (OrderKind.LEFT_OUT, OrderKind.PAID, *free)

    def goods_for(self, kind: OrderKind) -> float:
        """Goods that it takes."""
        if kind is OrderKind.LEFT_OUT:
            return 0.0
        return max(self.least_order, self.free_from if kind is OrderKind.FREE else 0.0)
