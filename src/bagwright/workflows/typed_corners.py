"""The corners of an outline as they stand in a field: in mm from its lowest left, to be moved, added or taken out."""

from __future__ import annotations

from typing import Final

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.region import ring_fault

MOST_CORNERS: Final = 400
_FURTHEST_MM: Final = 5_000.0
Ring = tuple[Point, ...]


def print_corners(ring: Ring) -> str:
    """Pairs of mm from the lowest x and y of all, in order.

    >>> print_corners(((10, 5), (40.04, 5), (40, 25.5)))
    '0 0; 30 0; 30 20.5'
    """
    low_x, low_y = min(x for x, _ in ring), min(y for _, y in ring)
    return "; ".join(f"{_short(x - low_x)} {_short(y - low_y)}" for x, y in ring)


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def read_corners(text: str, ring: Ring, *, place: str) -> Ring:
    """The ring as typed, in the frame of `ring`; `ring` itself if nothing was changed. Raises `FaultyInput`.

    >>> read_corners("0 0; 30 0; 30 22", ((10, 5), (40, 5), (40, 25)), place="corners")
    ((10.0, 5.0), (40.0, 5.0), (40.0, 27.0))
    """
    if " ".join(text.split()) == print_corners(ring):
        return ring
    low_x, low_y = min(x for x, _ in ring), min(y for _, y in ring)
    pairs = [part.replace(",", " ").split() for part in text.split(";") if part.strip()]
    if not 3 <= len(pairs) <= MOST_CORNERS:
        raise _refused(place, f"{len(pairs)} corners", "are too few or too many", f"3 to {MOST_CORNERS}")
    try:
        typed = tuple((low_x + float(x), low_y + float(y)) for x, y in pairs)
    except ValueError:
        raise _refused(place, text, "cannot be read", "pairs of mm such as 0 0; 150 2; 148 80") from None
    if not all(abs(value) <= _FURTHEST_MM for point in typed for value in point):
        raise _refused(place, text, "reaches too far", f"up to {_FURTHEST_MM:g} mm")
    if fault := ring_fault(typed):
        raise _refused(place, "This outline", fault, "an outline that does not cross itself")
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(typed, typed[1:] + typed[:1], strict=True))
    return typed if area > 0 else typed[::-1]


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    remedy = "Put the corners in order round the outline."
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy=remedy)])
