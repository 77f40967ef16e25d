"""Facets taken together: the space they enclose, how far they reach, and which lie in one plane."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np

from bagwright.geometry.space import Point3, cross, dot, minus

PLANE_DEG = 4.5
PLANE_MM = 0.75
"""Facets that differ by less than this in direction, and at every corner in distance, lie in one plane."""
_LEAST_COSINE = math.cos(math.radians(PLANE_DEG))


def enclosed_mm3(rings: Sequence[Sequence[Point3]], about: Point3) -> float:
    """Volume between flat facets and a point: positive if their corners run counter-clockwise seen from outside.

    V = 1/6 sum (a - p) . ((b - p) x (c - p)) over the triangles of each facet (divergence theorem, derived). Open
    facets enclose what they would with a lid through `about`, exactly so if that lid is flat.

    >>> square = [(0, 0, 0), (0, 3, 0), (3, 3, 0), (3, 0, 0)]
    >>> enclosed_mm3([square], (1, 1, 2))
    6.0
    """
    return math.fsum(
        dot(first, cross(one, other)) / 6
        for first, *others in ([minus(point, about) for point in ring] for ring in rings)
        for one, other in itertools.pairwise(others)
    )


def reach_mm(points: Sequence[Point3]) -> tuple[Point3, Point3]:
    """The lowest and the highest coordinate in each direction."""
    xs, ys, zs = zip(*points, strict=True)
    return (min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs))


def planes_of(normals: Sequence[Point3], rings: Sequence[Sequence[Point3]]) -> list[int]:
    """The number of the plane in which each facet lies, whichever way it faces; planes are numbered as they come.

    A narrow strip of a rolled sheet lies in the plane of a strip of another rolled like it that is nearest to it.
    """
    first_in: list[int] = []
    numbers: list[int] = []
    turned, places = np.array(normals).reshape(-1, 3), np.array([ring[0] for ring in rings]).reshape(-1, 3)
    for index, ring in enumerate(rings):
        cosines = np.abs(turned[first_in] @ turned[index])
        alike = np.flatnonzero(cosines > _LEAST_COSINE)
        planes = np.array(first_in, dtype=np.intp)[alike]
        apart = np.abs(np.einsum("mj,kmj->km", turned[planes], np.array(ring)[:, None, :] - places[planes])).max(axis=0)
        fits = alike[apart < PLANE_MM]
        if len(fits) == 0:
            first_in.append(index)
        numbers.append(int(fits[cosines[fits].argmax()]) if len(fits) else len(first_in) - 1)
    return numbers
