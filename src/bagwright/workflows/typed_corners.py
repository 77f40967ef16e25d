"""Corners of an outline in a photo as they stand in a field: from its lowest left, to be moved, added or taken out.

In inches a place is "4 1/2 x 3", as in the stash; in metric it is two numbers of mm, "114.3 76.2".
"""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from typing import Final

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.region import ring_fault
from bagwright.model.bag import Workroom
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Faults
from bagwright.workflows.typed_areas import print_signed, read_signed

MOST_CORNERS: Final = 400
_FURTHEST_MM: Final = 5_000.0
Ring = tuple[Point, ...]


def print_places(points: Sequence[Point], low: Point, workroom: Workroom) -> str:
    """Places counted from `low`, in order.

    >>> print_places(((10, 5), (40.04, 5), (40, 25.5)), (10, 5), Workroom(units=UnitSystem.METRIC))
    '0 0; 30 0; 30 20.5'
    >>> print_places(((10, 5), (48.1, 5)), (10, 5), Workroom())
    '0 x 0; 1 1/2 x 0'
    """
    return "; ".join(_printed((x - low[0], y - low[1]), workroom) for x, y in points)


def _printed(place: Point, workroom: Workroom) -> str:
    if workroom.units is UnitSystem.INCH:
        return " x ".join(print_signed(value, workroom).removesuffix(" in") for value in place)
    return " ".join(_short(value) for value in place)


def _short(value: float) -> str:
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def read_places(text: str, before: Sequence[Point], low: Point, *, place: str, workroom: Workroom) -> Ring:
    """Places as typed, in the frame of `before`. One that stands as it was printed keeps its exact place.

    Raises `FaultyInput` with every one that cannot be read.

    >>> read_places("0 x 0; 1 1/2 x 1", ((10, 5), (48, 5)), (10, 5), place="line-1", workroom=Workroom())
    ((10, 5), (48.1, 30.4))
    """
    texts = [" ".join(part.split()) for part in text.split(";") if part.strip()]
    printed = print_places(before, low, workroom).split("; ")
    exact = dict[int, Point]()
    for was, now, count in SequenceMatcher(None, printed, texts, autojunk=False).get_matching_blocks():
        exact |= {now + i: before[was + i] for i in range(count)}
    faults, places = Faults(), list[Point]()
    for number, one in enumerate(texts):
        with faults:
            places.append(exact[number] if number in exact else _read(one, low, place, workroom))
    faults.raise_if_any()
    return tuple(places)


def _read(text: str, low: Point, place: str, workroom: Workroom) -> Point:
    if workroom.units is UnitSystem.INCH:
        found = _inches(text, place, workroom)
    else:
        try:
            x, y = (float(one) for one in text.replace(",", " ").split())
        except ValueError:
            raise _refused(place, text, "cannot be read", "two numbers of mm such as 150 2") from None
        found = (x, y)
    if not all(abs(value) <= _FURTHEST_MM for value in found):
        raise _refused(place, text, "reaches too far", "up to 5 m")
    return (low[0] + found[0], low[1] + found[1])


def _inches(text: str, place: str, workroom: Workroom) -> Point:
    parts = text.split("x")
    if len(parts) != 2:
        raise _refused(place, text, "cannot be read", "two measures with an x between such as 4 1/2 x 3")
    x, y = (read_signed(one, place=place, workroom=workroom) for one in parts)
    return x, y


def print_corners(ring: Ring, workroom: Workroom) -> str:
    """All corners, from the lowest x and y of all.

    >>> print_corners(((10, 5), (40.04, 5), (40, 25.5)), Workroom(units=UnitSystem.METRIC))
    '0 0; 30 0; 30 20.5'
    """
    return print_places(ring, _low(ring), workroom)


def _low(ring: Ring) -> Point:
    return min(x for x, _ in ring), min(y for _, y in ring)


def read_corners(text: str, ring: Ring, *, place: str, workroom: Workroom) -> Ring:
    """The ring as typed, in the frame of `ring`; `ring` itself if nothing was changed. Raises `FaultyInput`.

    >>> metric = Workroom(units=UnitSystem.METRIC)
    >>> read_corners("0 0; 30 0; 30 22", ((10, 5), (40.04, 5), (40, 25)), place="corners", workroom=metric)
    ((10, 5), (40.04, 5), (40.0, 27.0))
    """
    typed = read_places(text, ring, _low(ring), place=place, workroom=workroom)
    if typed == ring:
        return ring
    if not 3 <= len(typed) <= MOST_CORNERS:
        raise _refused(place, f"{len(typed)} corners", "are too few or too many", f"3 to {MOST_CORNERS}")
    if fault := ring_fault(typed):
        what, allowed = fault.partition(" near ")[0], "an outline that does not cross itself"  # her frame is another
        raise _refused(
            place, "This outline", what, allowed, "Put back the corner that you moved last, or type it again."
        )
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(typed, typed[1:] + typed[:1], strict=True))
    return typed if area > 0 else typed[::-1]


def _refused(place: str, value: str, what: str, allowed: str, remedy: str = "Type it again.") -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy=remedy)])
