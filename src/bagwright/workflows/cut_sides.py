"""From which edge a straight cut is measured, and at which it begins: edges that can be seen, and near ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.model.cuts import Cut, CutWay

_SAME_MM = 0.3
"""A cut begins at another if it begins no further from it."""


@dataclass(frozen=True, slots=True)
class Measured:
    """How far cuts side by side lie from the edge called `side`, and at which cut they begin.

    `begins` is empty if they begin `begins_mm` from the selvedge (across) or from the cut end (along).
    """

    side: str
    from_mm: tuple[float, ...]
    begins: str
    begins_mm: float


@dataclass(frozen=True, slots=True)
class _Side:
    name: str
    at_mm: float
    is_cloth: bool = True


@dataclass(frozen=True, slots=True)
class CutSides:
    """All cuts of a cloth in their order, and what its long sides are called: `near` at 0, `far` at `far_mm`.

    An empty `far` is not squared, as the far end never is: nothing is measured from there.
    """

    cuts: Sequence[Cut]
    near: str
    far: str
    far_mm: float

    def measured(self, first: int, count: int = 1) -> Measured:
        """Cuts side by side, the first by its place: from the nearer side of the cloth, if such a side still bounds the
        block in which they lie; else from the cut that does.

        >>> along = Cut(way=CutWay.ALONG, start=(0, 80), end=(60, 80), length_mm=60)
        >>> across = Cut(way=CutWay.ACROSS, start=(40, 80), end=(40, 100), length_mm=20)
        >>> sides = CutSides([along, across], "the selvedge", "the other selvedge", 100)
        >>> sides.measured(0)
        Measured(side='the other selvedge', from_mm=(20,), begins='', begins_mm=0)
        >>> sides.measured(1)
        Measured(side='the cut end', from_mm=(40.0,), begins='cut 1', begins_mm=80)
        """
        group = self.cuts[first : first + count]
        at = [cut.at_mm for cut in group]
        low, high = self._bounding(first, group[0], at)
        side = low
        if high and (high.is_cloth, min(at) - high.at_mm) > (low.is_cloth, low.at_mm - min(at)):
            side = high
        begins_mm = _begins_mm(group[0])
        begins = next((one.name for one in self._cuts_made(first, group[0], turned=True) if _at(one, begins_mm)), "")
        return Measured(side.name, tuple(abs(place - side.at_mm) for place in at), begins, begins_mm)

    def _bounding(self, first: int, cut: Cut, at: Sequence[float]) -> tuple[_Side, _Side | None]:
        """The sides next to all these cuts, below and above; above an end that is not squared none."""
        is_along = cut.way is CutWay.ALONG
        made = list(self._cuts_made(first, cut, turned=False))
        below = [_Side(self.near if is_along else "the cut end", 0.0), *(one for one in made if one.at_mm <= min(at))]
        above = [one for one in made if one.at_mm >= max(at)]
        above += [_Side(self.far, self.far_mm)] if is_along and self.far else []
        return max(below, key=lambda one: one.at_mm), min(above, key=lambda one: one.at_mm, default=None)

    def _cuts_made(self, first: int, cut: Cut, *, turned: bool) -> Iterator[_Side]:
        """Straight cuts made before that pass by this one, on its way or, `turned`, across its way."""
        for number, other in enumerate(self.cuts[:first], start=1):
            if other.way is CutWay.ROUND or (other.way is cut.way) is turned:
                continue
            here = cut.at_mm if turned else _begins_mm(cut) + cut.length_mm / 2
            if _begins_mm(other) - _SAME_MM <= here <= _begins_mm(other) + other.length_mm + _SAME_MM:
                yield _Side(f"cut {number}", other.at_mm, is_cloth=False)


def _begins_mm(cut: Cut) -> float:
    return cut.start[1] if cut.way is CutWay.ACROSS else cut.start[0]


def _at(side: _Side, place_mm: float) -> bool:
    return abs(side.at_mm - place_mm) <= _SAME_MM
