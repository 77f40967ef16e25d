"""Buying for a whole run at once: what is wanted, how it can be laid, what sellers ask for, and the plan."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.errors import Problem
from bagwright.model.cost import Need, Purchase
from bagwright.model.money import Money, total


@dataclass(frozen=True, slots=True, kw_only=True)
class SellerTerms:
    """What a seller asks besides prices: `delivery` for an order, free from goods of `free_from` on; `least_order`."""

    seller: str
    delivery: Money
    free_from: Money | None = None
    least_order: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidParts:
    """Some of a need laid by themselves: `holds` so many of each part, on `length_mm` of cloth `width_mm` wide.

    The width is as offered, selvedges still on; 0 for webbing and the like.
    """

    holds: tuple[int, ...]
    length_mm: float
    width_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StashParts:
    """What one thing on the shelf already holds of a need: `holds` of each part; `worth` of what that takes of it."""

    stash_id: str
    name: str
    holds: tuple[int, ...]
    worth: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class RunNeed:
    """A need, and how it may be split over several offers and the stash.

    `parts`: how many of each part are wanted (of each bag, say, or of each piece); the quantities of `need` are for all
    of them. `laid`: layouts of some of the parts, which may be combined; without any, the need is bought in one go. A
    need by `count` has one part, each of the things, and splits freely. `part_areas_mm2`: of one of each part, so that
    some can be cut from a hide. `goes_on`: it may go on from one piece or spool to the next (thread).
    """

    need: Need
    parts: tuple[int, ...] = (1,)
    laid: tuple[LaidParts, ...] = ()
    stash: tuple[StashParts, ...] = ()
    part_areas_mm2: tuple[float, ...] = ()
    goes_on: bool = False

    @property
    def wanted(self) -> tuple[int, ...]:
        """How many of each part."""
        return self.parts if self.need.count is None else (self.need.count,)


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenParts:
    """Where parts of the need number `need` come from: `times` a layout on an offer, or a thing of the stash.

    `share` of the whole need is taken where it goes on from piece to piece; `times` is 1 then.
    """

    need: int
    holds: tuple[int, ...]
    times: int = 1
    offer_id: str = ""
    stash_id: str = ""
    width_mm: float = 0.0
    length_mm: float = 0.0
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SellerOrder:
    """All that is bought of one seller: the goods, and what delivery costs."""

    seller: str
    goods: Money
    delivery: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlan:
    """What to buy for a run. `paid` = goods and delivery = `used` + `left`; delivery counts as used.

    `stash_worth`: worth of what is taken from the shelf, not paid today. `gap`: by how much a better plan could be
    better at most; zero if none can be. `left_out`: offers that were not looked at, and why.
    """

    purchases: tuple[Purchase, ...]
    taken: tuple[TakenParts, ...]
    orders: tuple[SellerOrder, ...]
    paid: Money
    delivery: Money
    used: Money
    left: Money
    stash_worth: Money
    gap: Money
    left_out: tuple[Problem, ...] = ()

    @property
    def is_proven(self) -> bool:
        """Whether no plan can be better."""
        return not self.gap.amount

    def shares_at(self, seller: str) -> tuple[Money, Money]:
        """What is used and what is left of the goods of one seller."""
        own = [one for one in self.purchases if one.seller == seller]
        currency = self.paid.currency
        return total((one.used for one in own), currency), total((one.left for one in own), currency)
