"""The order in which a layout is cut."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.geometry.curves import Point


class CutWay(StrEnum):
    """How a cut runs: straight across the cloth, straight along it, or round a piece."""

    ACROSS = "across"
    ALONG = "along"
    ROUND = "round"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One cut. Points as in a layout: x from the cut end, y from one selvedge.

    `block`: the letter of the block of cloth in which it is made, empty while the cloth is whole. `placements`: which
    pieces, by their place in the layout, and `remnants`: which shapes left over it cuts out for good (ROUND: at least
    one). `runs`: how many times the blade starts, 1 for a straight cut, for ROUND each straight edge or curve that no
    earlier cut has made.
    """

    way: CutWay
    start: Point
    end: Point
    length_mm: float
    block: str = ""
    placements: tuple[int, ...] = ()
    remnants: tuple[int, ...] = ()
    runs: int = 1

    @property
    def at_mm(self) -> float:
        """How far a straight cut lies from the cut end (across) or from the selvedge (along)."""
        return self.start[0] if self.way is CutWay.ACROSS else self.start[1]

    @property
    def alike(self) -> tuple[object, ...]:
        """The same for cuts next to one another that are told together: side by side, or round pieces in turn."""
        if self.way is CutWay.ROUND:
            return (self.way, self.block)
        begins_mm = self.start[1] if self.way is CutWay.ACROSS else self.start[0]
        return (self.way, self.block, round(begins_mm, 2), round(self.length_mm, 2))


def count_straight(cuts: tuple[Cut, ...]) -> int:
    """How many cuts go straight across cloth or block."""
    return sum(cut.way is not CutWay.ROUND for cut in cuts)


def count_runs(cuts: tuple[Cut, ...]) -> int:
    """How many times the blade starts in all."""
    return sum(cut.runs for cut in cuts)
