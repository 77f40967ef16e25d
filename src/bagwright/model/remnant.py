"""What is left of a cloth when the pieces are cut out."""

from __future__ import annotations

from dataclasses import dataclass, field

from bagwright.geometry.region import Region


@dataclass(frozen=True, slots=True, kw_only=True)
class RemnantSettings:
    """What is worth keeping: nothing narrower than `least_side_mm`, nothing below `least_area_mm2`, at most `most`.

    The usual values, 3 in and 16 square inches, are common practice, no source.
    """

    least_side_mm: float = 76.2
    least_area_mm2: float = 16 * 25.4**2
    most: int = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Remnant:
    """One shape that is left over, where it lies on the cloth (x along its length, y across, from one corner).

    `largest_mm`: the largest upright rectangle in it, lowest x and y, highest x and y; all of it if `is_rectangle`.
    `share_of_cloth`: its area as a share of the whole cloth, so its share of what was paid. Its grain runs along x.
    """

    region: Region = field(repr=False)
    is_rectangle: bool
    largest_mm: tuple[float, float, float, float]
    share_of_cloth: float

    @property
    def length_mm(self) -> float:
        """Length along the grain of the largest rectangle in it."""
        return self.largest_mm[2] - self.largest_mm[0]

    @property
    def width_mm(self) -> float:
        """Width across the grain of the largest rectangle in it."""
        return self.largest_mm[3] - self.largest_mm[1]
