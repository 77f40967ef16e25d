"""Corners, flaws and lesser parts of a hide, as they are typed."""

from __future__ import annotations

import math

import pytest

from bagwright.errors import FaultyInput
from bagwright.geometry.region import Region
from bagwright.model.bag import Workroom
from bagwright.units import UnitSystem
from bagwright.workflows.typed_areas import print_areas, read_areas, read_corners

METRIC = Workroom(units=UnitSystem.METRIC)
HIDE = Region.rectangle((0, 0), (1000, 600))


def areas(text, workroom=METRIC):
    return read_areas(text, place="flaws", workroom=workroom, within=HIDE)


def test_a_round_flaw_is_never_smaller_than_it_was_typed():
    """By hand: a polygon around a circle of radius r holds all of it, and is larger than pi r^2 by less than 1 %."""
    (ring,) = areas("round 10 at 30 x 20")
    region = Region.from_ring(ring)
    assert min(region.bounds[0], region.bounds[1]) <= 200 + 50
    assert math.pi * 50**2 < region.area_mm2 < 1.01 * math.pi * 50**2
    edges = zip(ring, ring[1:] + ring[:1], strict=True)
    assert all(math.dist(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), (300, 200)) >= 50 - 1e-9 for a, b in edges)


@pytest.mark.parametrize("workroom", [METRIC, Workroom()])
@pytest.mark.parametrize("text", ["4 x 3 at 10 x 12", "round 2 at 5 x 5; 1 x 1 at 0 x 0", ""])
def test_what_is_printed_reads_back_the_same(text, workroom):
    found = areas(text, workroom)
    again = areas(print_areas(found, workroom), workroom)
    assert len(found) == len(again)
    for one, other in zip(found, again, strict=True):
        assert [c for point in one for c in point] == pytest.approx([c for point in other for c in point])


def test_rejects_every_line_that_is_wrong_at_once():
    with pytest.raises(FaultyInput) as caught:
        areas("4 x 3 at 500 x 12; nonsense; 4 x at 1 x 1; round 0 at 1 x 1; 2 x 2 at 1 x 1")
    assert [problem.place for problem in caught.value.problems] == ["flaws"] * 4
    with pytest.raises(FaultyInput) as caught:
        read_corners("0 x 0; 10 by 0; wide x 10", place="corners", workroom=METRIC)
    assert len(caught.value.problems) == 1
    for text in ("0 x 0; 10 x 0", "0 x 0; 10 x 10; 10 x 0; 0 x 10", ""):
        with pytest.raises(FaultyInput):
            read_corners(text, place="corners", workroom=METRIC)


def test_corners_take_decimal_commas_and_units():
    ring = read_corners("0 x 0\n10,5 × 0\n4 in x 8.5 cm\n0 x 0", place="corners", workroom=METRIC)
    assert [round(c, 6) for point in ring for c in point] == [0, 0, 105, 0, 101.6, 85]
