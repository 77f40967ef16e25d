"""Corners, flaws and lesser parts of a hide as they are typed, and back.

A place is "10 x 12": along the piece from its left end, then up from its lower edge; "-2 x 3" lies left of that end.
An area is "4 x 3 at 10 x 12", from its lower left corner; "round 3 at 10 x 12", as wide as that around its middle; or
its corners, "10 x 12 to 14 x 12 to 12 x 16".
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Sequence

from bagwright.errors import FaultyInput, Problem
from bagwright.geometry.curves import Point
from bagwright.geometry.region import Region, ring_fault
from bagwright.model.bag import Workroom
from bagwright.model.stash import Ring
from bagwright.units import print_length, read_length_mm
from bagwright.workflows.contracts import Faults

_BETWEEN = re.compile(r"\s*(?:[x×]|\bby\b)\s*", re.IGNORECASE)
_TO = re.compile(r"\s+to\s+", re.IGNORECASE)
_LINES = re.compile(r"[;\n\r]+")
_MINUS = ("-", "−")
_ROUND_CORNERS = 32
_RECTANGLE_CORNERS = 4
_MOST_LINES = 200
_ROUND_SLACK = 1e-6
_FURTHEST_MM = 20_000.0


def read_corners(text: str, *, place: str, workroom: Workroom) -> Ring:
    """A closed outline, one corner a line or with ";" between. Raises `FaultyInput` with every line that is wrong.

    >>> read_corners("0 x 0; 4 x 0; 4 x 3", place="corners", workroom=Workroom())
    ((0.0, 0.0), (101.6, 0.0), (101.6, 76.2))
    """
    faults, corners = Faults(), list[Point]()
    for line in _lines(text, place):
        with faults:
            corners.append(_pair(line, place, workroom))
    faults.raise_if_any()
    ring = tuple(corners[:-1] if len(corners) > 3 and corners[0] == corners[-1] else corners)
    fault = ring_fault(ring)
    if fault:
        allowed = "three corners or more, in order around the piece"
        raise _refused(place, " ; ".join(_lines(text, place)), fault, allowed)
    return ring


def read_areas(text: str, *, place: str, workroom: Workroom, within: Region) -> tuple[Ring, ...]:
    """Areas one a line or with ";" between, each with some of it in `within`. Raises `FaultyInput` with every fault.

    >>> hide = Region.rectangle((0, 0), (500, 500))
    >>> read_areas("4 x 3 at 1 x 2", place="flaws", workroom=Workroom(), within=hide)
    (((25.4, 50.8), (127.0, 50.8), (127.0, 127.0), (25.4, 127.0)),)
    """
    faults, rings = Faults(), list[Ring]()
    for line in _lines(text, place):
        with faults:
            rings.append(_area(line, place, workroom, within))
    faults.raise_if_any()
    return tuple(rings)


def read_place(text: str, *, place: str, workroom: Workroom) -> Point | None:
    """One place, from its left end along and up from its lower edge; None if empty. Raises `FaultyInput`.

    >>> read_place("2 x 1/2", place="motif", workroom=Workroom())
    (50.8, 12.7)
    """
    return _pair(text, place, workroom) if text.strip() else None


def print_place(point: Point | None, workroom: Workroom) -> str:
    """A place as it is typed; empty for none.

    >>> print_place((50.8, 12.7), Workroom())
    '2 in x 1/2 in'
    """
    return _place(point, workroom) if point else ""


def _lines(text: str, place: str) -> list[str]:
    lines = [line.strip() for line in _LINES.split(text) if line.strip()]
    if len(lines) > _MOST_LINES:
        raise _refused(place, f"{len(lines)} lines", "is too much", f"up to {_MOST_LINES} lines")
    return lines


def _area(line: str, place: str, workroom: Workroom, within: Region) -> Ring:
    size, at, corner = line.partition(" at ")
    example = "4 x 3 at 10 x 12, or round 3 at 10 x 12, or corners: 10 x 12 to 14 x 12 to 12 x 16"
    if not at and _TO.search(line):
        return _meets(tuple(_pair(one, place, workroom) for one in _TO.split(line)), line, place, within, example)
    if not at:
        raise _refused(place, line, "cannot be read as an area", example)
    x, y = _pair(corner, place, workroom)
    is_round = size.strip().lower().startswith("round")
    if is_round:
        radius = read_length_mm(size.strip()[len("round") :], place=place, units=workroom.units) / 2
        steps = (2 * math.pi * step / _ROUND_CORNERS for step in range(_ROUND_CORNERS))
        # Outside the circle rather than inside: the flats of a polygon through it would cut into a flaw.
        reach = radius / math.cos(math.pi / _ROUND_CORNERS)
        ring = tuple((x + reach * math.cos(angle), y + reach * math.sin(angle)) for angle in steps)
    else:
        wide, high = _pair(size, place, workroom)
        ring = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return _meets(ring, line, place, within, example)


def _meets(ring: Ring, line: str, place: str, within: Region, example: str) -> Ring:
    fault = ring_fault(ring)
    if fault:
        raise _refused(place, line, fault, example)
    if Region.from_ring(ring).overlap_mm2(within) <= 0:
        raise _refused(place, line, "lies outside the piece", "an area of which some lies on the piece")
    return ring


def _pair(text: str, place: str, workroom: Workroom) -> Point:
    parts = _BETWEEN.split(text.strip())
    if len(parts) != 2 or not all(parts):
        raise _refused(place, text, "cannot be read as a place", "two measures with an x between, such as 10 x 12 1/2")
    one, other = (read_signed(part, place=place, workroom=workroom) for part in parts)
    return one, other


def read_signed(text: str, *, place: str, workroom: Workroom) -> float:
    """A length that may be 0, or less than that with a minus before it. Raises `FaultyInput`.

    >>> read_signed("-1/2 in", place="x", workroom=Workroom())
    -12.7
    """
    rest = text.strip()
    return -_measure(rest[1:], place, workroom) if rest[:1] in _MINUS else _measure(rest, place, workroom)


def _measure(text: str, place: str, workroom: Workroom) -> float:
    """A length that may be 0."""
    if re.fullmatch(r"0+([.,]0*)?( ?(in|cm|mm|\"))?", text.strip()):
        return 0.0
    length_mm = read_length_mm(text, place=place, units=workroom.units)
    if length_mm > _FURTHEST_MM:
        raise _refused(place, text, "is out of range", "up to 20 m")
    return length_mm


def _refused(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:60], what=what, allowed=allowed, remedy="Change it.")])


def print_areas(rings: Sequence[Ring], workroom: Workroom) -> str:
    """Areas as they are typed: upright rectangles, round ones, and all others by their corners."""
    return "; ".join(_printed(ring, workroom) for ring in rings)


def _printed(ring: Ring, workroom: Workroom) -> str:
    low_x, low_y, high_x, high_y = Region.from_ring(ring).bounds
    middle = ((low_x + high_x) / 2, (low_y + high_y) / 2)
    reach = [math.dist(middle, point) for point in ring]
    if len(ring) == _ROUND_CORNERS and max(reach) - min(reach) <= _ROUND_SLACK * max(reach):
        across = 2 * max(reach) * math.cos(math.pi / _ROUND_CORNERS)
        return f"round {print_signed(across, workroom)} at {_place(middle, workroom)}"
    if len(ring) == _RECTANGLE_CORNERS and set(ring) == set(itertools.product((low_x, high_x), (low_y, high_y))):
        return f"{_place((high_x - low_x, high_y - low_y), workroom)} at {_place((low_x, low_y), workroom)}"
    return " to ".join(_place(point, workroom) for point in ring)


def _place(point: Point, workroom: Workroom) -> str:
    return f"{print_signed(point[0], workroom)} x {print_signed(point[1], workroom)}"


def print_signed(length_mm: float, workroom: Workroom) -> str:
    """As `read_signed` reads it."""
    if abs(length_mm) < 1e-6:
        return "0"
    return print_length(length_mm, workroom.units, fraction=workroom.fraction).text
