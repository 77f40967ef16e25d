"""What is looked for in the stash, and in which order it is shown."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TypeVar

from bagwright.model.money import Money
from bagwright.model.stash import StashPiece
from bagwright.workflows.stash_finding import which_can_be_cut

Item = TypeVar("Item")
_NUMBER = re.compile(r"[0-9]+")


class GrainWish(StrEnum):
    """What must be known of the grain."""

    ANY = "any"
    KNOWN = "known"
    NONE = "none"


class StashOrder(StrEnum):
    """What comes first."""

    LARGEST = "largest first"
    NEWEST = "newest first"
    OLDEST = "oldest first"
    WORTH = "worth most first"
    BIN = "by where it lies"


@dataclass(frozen=True, slots=True, kw_only=True)
class StashWish:
    """What a piece must be; what is left at its default asks for nothing.

    A rectangle of `one_mm` by `other_mm` can be cut from it, `one_mm` along its grain if `is_along`. Every word of
    `bin` is one of the words of where it lies. It came in from `dated_from` to `dated_to`, those days included. It is
    worth from `worth_from` to `worth_to`; what has no worth, or one in another currency, is out then.
    """

    one_mm: float = 0.0
    other_mm: float = 0.0
    is_along: bool = False
    material_id: str = ""
    grain: GrainWish = GrainWish.ANY
    bin: str = ""
    dated_from: date | None = None
    dated_to: date | None = None
    worth_from: Money | None = None
    worth_to: Money | None = None
    order: StashOrder = StashOrder.LARGEST

    def allows(self, piece: StashPiece) -> bool:
        """Whether the piece is what is looked for, its size left out.

        >>> felt = StashPiece(id="s", material_id="felt", outer=((0, 0), (4, 0), (4, 3), (0, 3)), bin="Blue box 2")
        >>> StashWish(bin="box blue").allows(felt), StashWish(bin="box 1").allows(felt)
        (True, False)
        """
        return (
            self.material_id in ("", piece.material_id)
            and (self.grain is GrainWish.ANY or (self.grain is GrainWish.KNOWN) == (piece.grain_deg is not None))
            and set(self.bin.casefold().split()) <= set(piece.bin.casefold().split())
            and self._allows_day(piece.dated)
            and self._allows_worth(piece.value)
        )

    def _allows_day(self, dated: date | None) -> bool:
        if dated is None:
            return self.dated_from is None and self.dated_to is None
        return (self.dated_from or dated) <= dated <= (self.dated_to or dated)

    def _allows_worth(self, value: Money | None) -> bool:
        limits = [limit for limit in (self.worth_from, self.worth_to) if limit]
        if value is None or any(limit.currency != value.currency for limit in limits):
            return not limits
        is_enough = self.worth_from is None or value.amount >= self.worth_from.amount
        return is_enough and (self.worth_to is None or value.amount <= self.worth_to.amount)


def found_in(items: Sequence[Item], wish: StashWish, piece_of: Callable[[Item], StashPiece]) -> list[Item]:
    """Those that are what is looked for, in the order in which they came."""
    asks_nothing = wish == StashWish(order=wish.order)
    allowed = list(items) if asks_nothing else [item for item in items if wish.allows(piece_of(item))]
    if not wish.one_mm:
        return allowed
    pieces = [piece_of(item) for item in allowed]
    fits = which_can_be_cut(pieces, wish.one_mm, wish.other_mm, along=wish.is_along)
    return [item for item, does_fit in zip(allowed, fits, strict=True) if does_fit]


def in_order(items: Sequence[Item], order: StashOrder, piece_of: Callable[[Item], StashPiece]) -> list[Item]:
    """Sorted; what has no day, no worth or no place comes last, those alike stay as they were."""
    return sorted(items, key=lambda item: _RANKS[order](piece_of(item)))


Rank = tuple[bool, str, float]


def _by_area(piece: StashPiece) -> Rank:
    return False, "", -piece.region.area_mm2


def _by_day(piece: StashPiece, sign: int) -> Rank:
    return piece.dated is None, "", sign * (piece.dated.toordinal() if piece.dated else 0)


def _by_bin(piece: StashPiece) -> Rank:
    """Box 2 before box 10."""
    return not piece.bin, _NUMBER.sub(lambda digits: digits[0].zfill(9), piece.bin.casefold()), 0.0


def _by_worth(piece: StashPiece) -> Rank:
    value = piece.value
    return value is None, value.currency if value else "", -float(value.amount) if value else 0.0


_RANKS: dict[StashOrder, Callable[[StashPiece], Rank]] = {
    StashOrder.LARGEST: _by_area,
    StashOrder.NEWEST: lambda piece: _by_day(piece, -1),
    StashOrder.OLDEST: lambda piece: _by_day(piece, 1),
    StashOrder.WORTH: _by_worth,
    StashOrder.BIN: _by_bin,
}
