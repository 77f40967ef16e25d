"""Changes that may make a bag cheaper, and what a bag comes to with some of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bagwright.model.money import Money
from bagwright.model.source import Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What one bag comes to. `cost` is without her pay, `price` pays it; `keeps`: every panel does what is asked.

    `stands_mm`: for each panel how high a strip of it stands.
    """

    price: Money
    cost: Money
    minutes: float
    mass_g: float
    keeps: bool = True
    stands_mm: Mapping[str, Band] = field(default_factory=dict)

    def stands_lower(self, before: Outcome) -> float:
        """By what share of its height the panel that loses most now stands lower, by the low end of its band.

        >>> from decimal import Decimal
        >>> from dataclasses import replace
        >>> money = Money(Decimal(9), "EUR")
        >>> one = Outcome(price=money, cost=money, minutes=5, mass_g=90, stands_mm={"front": Band(200, 240)})
        >>> replace(one, stands_mm={"front": Band(150, 240)}).stands_lower(one)
        0.25
        """
        shares = [
            1 - self.stands_mm[panel].low / band.low
            for panel, band in before.stands_mm.items()
            if panel in self.stands_mm and band.low > 0
        ]
        return max([0.0, *shares])


@dataclass(frozen=True, slots=True)
class ChangeGroup:
    """Keys of changes of which at most one can be made: the stacks of one role, the sizes of a run."""

    name: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Saving:
    """Changes made together, and what the bag then comes to."""

    changes: tuple[str, ...]
    outcome: Outcome

    def saves(self, now: Outcome) -> Money:
        """What the price that pays her falls by."""
        return now.price - self.outcome.price


@dataclass(frozen=True, slots=True, kw_only=True)
class Savings:
    """What each change does by itself, those that save most first, and the best of them together.

    `dear`: changes that keep the body and save nothing; `refused`: those that lose the stance or cannot be made.
    `together` is None if no change saves. `tried`: how many ways to make the bag were worked out. `is_proven`: no
    other changes, taken together, come to a lower price.
    """

    now: Outcome
    ranked: tuple[Saving, ...]
    dear: tuple[Saving, ...]
    refused: tuple[str, ...]
    together: Saving | None
    tried: int
    is_proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """How a price is reached: by the fewest changes, of those by the one that alters the bag least.

    `found` is None if no way was found. `is_proven`: every smaller set, every set as small, or if none was found every
    set of all was worked out or surely comes to more.
    """

    target: Money
    found: Saving | None
    tried: int
    is_proven: bool
