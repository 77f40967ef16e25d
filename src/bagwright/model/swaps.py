"""Other ways to build a stack: what there is to choose from, what must hold, and the best trade-offs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bagwright.model.body import Bond, Sheet, Stance


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One way to fill a place in a stack: a sheet, or None for leaving the place empty; and what it adds to the panel.

    `cost` in the maker's money, `bulk_mm` the thickness it adds at the seams.
    """

    name: str
    sheet: Sheet | None
    cost: float = 0.0
    minutes: float = 0.0
    mass_g: float = 0.0
    bulk_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapQuestion:
    """For every place, from the outside in, what it may be filled with; and the stance that must be kept.

    `needed_bending_length_mm`: what the stack must reach for the panel to stand. `bonds`: what fused swatches told, by
    the names of the two sheets, the outer one first.
    """

    places: tuple[tuple[Choice, ...], ...]
    needed_bending_length_mm: float
    stance: Stance = Stance.STANDS
    bonds: Mapping[tuple[str, str], Bond] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """One stack that keeps the stance: which choice fills each place, and what it comes to.

    `sure_bending_length_mm`: the low end of its band.
    """

    choices: tuple[int, ...]
    cost: float
    minutes: float
    mass_g: float
    bulk_mm: float
    sure_bending_length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapAnswer:
    """The best trade-offs of cost, body, weight, minutes and bulk, cheapest first.

    Of all `tried` stacks: each that keeps the stance and is not listed is beaten in one of these, and matched or beaten
    in the others, by one that is listed. More body is better, but where the panel is to slump: there less is.
    """

    swaps: tuple[Swap, ...]
    tried: int
