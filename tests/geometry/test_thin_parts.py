"""Widest discs and borders of thousands of points, against values that follow from how they were drawn."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bagwright.geometry.region import Region
from bagwright.geometry.thin_parts import lie_near_border, widest_disc_mm


def circle(radius_mm, count):
    ways = [2 * math.pi * n / count for n in range(count)]
    return [(radius_mm * math.cos(way), radius_mm * math.sin(way)) for way in ways]


def star(inner_mm, outer_mm, count):
    near, far = circle(inner_mm, 2 * count), circle(outer_mm, 2 * count)
    return Region.from_ring([(far if n % 2 else near)[n] for n in range(2 * count)])


@pytest.mark.parametrize(
    ("region", "widest_mm"),
    [
        (star(100, 120, 1000), 200),  # as wide as the circle through the feet of its teeth
        (Region.from_ring(circle(50, 300), [circle(20, 300)]), 30),
        (Region.union([star(30 + 10 * n, 60, 40).shifted(200 * n, 0) for n in range(3)]), 100),
    ],
)
def test_the_widest_disc_of_many_points_is_at_most_its_tolerance_too_large(region, widest_mm):
    for within_mm in (0.1, 0.5):
        assert widest_mm - 0.02 <= widest_disc_mm(region, within_mm=within_mm) <= widest_mm + within_mm


def test_a_thin_ring_of_many_points_holds_no_disc():
    assert widest_disc_mm(Region.from_ring(circle(50, 300), [circle(49.9, 300)]), within_mm=0.25) == 0


def test_points_near_a_border_of_many_points_are_told_from_others():
    radii = np.linspace(90, 110, 2000)
    ways = np.linspace(0, 6 * math.pi, 2000)
    points = np.column_stack([radii * np.cos(ways), radii * np.sin(ways)])
    near = lie_near_border(points, Region.from_ring(circle(100, 4000)), within_mm=1.5)
    clear = np.abs(np.abs(radii - 100) - 1.5) > 0.001
    assert (near == (np.abs(radii - 100) <= 1.5))[clear].all()
