"""Outlines that wander, as read from a photo, made straight where they are straight: for the search only.

An outline wanders if its many small bends add up to far more than those that stay when it is drawn with few corners.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import coarsened
from bagwright.piecing.rings import Numbers, Points, rolled

_WITHIN_MM = 0.9
_LEAST_POINTS = 24
_WANDERS = 1.6
_LEAST_RADIANS = 1.5
_FURTHEST_MM = 2.0
_PARALLEL = 0.03


def wanders(region: Region) -> bool:
    """Whether the outline bends to and fro far more than its shape asks for.

    >>> along = np.linspace(0, 100, 30)
    >>> top = [(x, 50 + (-1) ** n * 0.2) for n, x in enumerate(along[::-1])]
    >>> wanders(Region.from_ring([(0, 0), (100, 0), *top])), wanders(Region.rectangle((0, 0), (100, 50)))
    (True, False)
    """
    ring = region.rings()[0]
    if len(ring) < _LEAST_POINTS:
        return False
    coarse = coarsened(region, _WITHIN_MM).rings()
    return bool(coarse) and _bending(ring) > max(_WANDERS * _bending(coarse[0]), _bending(coarse[0]) + _LEAST_RADIANS)


def _bending(ring: Points) -> float:
    """Sum of all turns at corners, whichever way, in radians."""
    out = rolled(ring, -1) - ring
    ways = np.arctan2(out[:, 1], out[:, 0])
    turns = (ways - rolled(ways) + np.pi) % (2 * np.pi) - np.pi
    return float(np.abs(turns).sum())


def tidied(region: Region) -> Region:
    """The region with lines fitted to the points of its outline between corners; itself if that comes to nothing sound.

    >>> along = np.linspace(0, 100, 41)
    >>> top = [(x, 50 + 0.2 * np.cos(3 * n)) for n, x in enumerate(along[::-1])]
    >>> ring = tidied(Region.from_ring([(0, 0), (100, 0), *top])).outer_ring()
    >>> len(ring), round(max(abs(y - 50) for _, y in ring if y > 25), 1)
    (4, 0.0)
    """
    rings = [_tidied_ring(ring) for part in region.parts() for ring in part.rings()]
    if len(rings) != 1 or len(rings[0]) < 3:
        return coarsened(region, _WITHIN_MM / 2)
    found = Region.if_simple([(float(x), float(y)) for x, y in rings[0]])
    return coarsened(region, _WITHIN_MM / 2) if found is None else found


def _tidied_ring(ring: Points) -> Points:
    """Corners where the lines fitted to the points between them meet."""
    held = _corner_numbers(ring)
    if len(held) < 3:
        return ring
    lines = [_line_through(_between(ring, a, b)) for a, b in zip(held, [*held[1:], held[0]], strict=True)]
    corners = [_meeting(lines[number - 1], lines[number], ring[corner]) for number, corner in enumerate(held)]
    return np.array(corners)


def _corner_numbers(ring: Points) -> list[int]:
    """Which points stay when the ring is drawn with few; it starts at its sharpest, not where it happened to."""
    out = rolled(ring, -4) - ring
    into = ring - rolled(ring, 4)
    cross, dot = out[:, 1] * into[:, 0] - out[:, 0] * into[:, 1], (out * into).sum(axis=1)
    first = int(np.abs(np.arctan2(cross, dot)).argmax())
    turned = [(x, y) for x, y in rolled(ring, -first).tolist()]
    few = coarsened(Region.from_ring(turned), _WITHIN_MM).rings()[0]
    axis = np.array([1, 1j])
    return [int(number) for number in np.flatnonzero(np.isin(ring @ axis, few @ axis))]


def _between(ring: Points, start: int, end: int) -> Points:
    """Points of the ring from one number to another; without these two if others are enough."""
    count = (end - start) % len(ring)
    inner = ring[(start + np.arange(1, count)) % len(ring)]
    return inner if len(inner) > 3 else ring[(start + np.arange(count + 1)) % len(ring)]


def _line_through(points: Points) -> tuple[Numbers, Numbers]:
    """A point and the direction of the line nearest to all points."""
    middle = points.mean(axis=0)
    away = points - middle
    x, y = away[:, 0], away[:, 1]
    way = 0.5 * np.arctan2(2 * (x * y).sum(), ((x - y) * (x + y)).sum())
    return middle, np.array([np.cos(way), np.sin(way)])


def _meeting(line: Sequence[Numbers], other: Sequence[Numbers], near: Numbers) -> Numbers:
    """Where two lines meet, if that is near the corner; else the corner."""
    (a, u), (b, v) = line, other
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < _PARALLEL:
        return near
    away = b - a
    at = a + u * (away[0] * v[1] - away[1] * v[0]) / cross
    return np.asarray(at if float(np.hypot(*(at - near))) < _FURTHEST_MM else near)
