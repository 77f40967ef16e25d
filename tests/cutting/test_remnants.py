"""Remnants: the largest rectangle against every rectangle, and remnants that never touch a piece."""

from __future__ import annotations

import itertools
import math
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.cutting.check_remnants import check_remnants
from bagwright.cutting.lay import lay_pieces
from bagwright.cutting.remnants import find_remnants, laid_regions
from bagwright.geometry.largest_rectangle import largest_rectangle
from bagwright.geometry.region import Region
from bagwright.model.layout import LaySettings
from bagwright.model.remnant import Remnant, RemnantSettings
from tests.cutting.requests import lay_requests

SMALL = RemnantSettings(least_side_mm=2, least_area_mm2=4, most=9)


@st.composite
def _blocks(draw: st.DrawFn) -> tuple[Region, list[Region]]:
    """A cloth and a few upright blocks on it, which may touch and overlap."""
    sizes = st.integers(1, 12)
    blocks = []
    for _ in range(draw(st.integers(0, 5))):
        x, y = draw(st.integers(0, 20)), draw(st.integers(0, 14))
        blocks.append(Region.rectangle((x, y), (x + draw(sizes), y + draw(sizes))))
    return Region.rectangle((0, 0), (24, 18)), blocks


def _largest_area_by_trying_all(cloth: Region, blocks: list[Region], least: float) -> float:
    """Every rectangle between any two places of edges each way."""
    low_x, low_y, high_x, high_y = cloth.bounds
    boxes = [block.bounds for block in blocks]
    xs = sorted({low_x, high_x, *(b[i] for b in boxes for i in (0, 2) if low_x <= b[i] <= high_x)})
    ys = sorted({low_y, high_y, *(b[i] for b in boxes for i in (1, 3) if low_y <= b[i] <= high_y)})
    best = 0.0
    for (a, b), (c, d) in itertools.product(itertools.combinations(xs, 2), itertools.combinations(ys, 2)):
        is_free = all(b <= box[0] or a >= box[2] or d <= box[1] or c >= box[3] for box in boxes)
        if is_free and min(b - a, d - c) >= least:
            best = max(best, (b - a) * (d - c))
    return best


@settings(max_examples=120)
@given(_blocks(), st.sampled_from([0.0, 2.0, 5.0]))
def test_the_largest_rectangle_agrees_with_trying_all(cloth_and_blocks, least):
    cloth, blocks = cloth_and_blocks
    found = largest_rectangle(cloth.minus_all(blocks), least_side_mm=least)
    area = (found[2] - found[0]) * (found[3] - found[1]) if found else 0.0
    assert area == pytest.approx(_largest_area_by_trying_all(cloth, blocks, least), rel=1e-6)


# Elementary calculus: in a right triangle the largest rectangle on both legs has half the triangle's area; in a circle
# the largest rectangle is the square with area 2 r^2.
@pytest.mark.parametrize(
    ("ring", "largest_mm2"),
    [
        ([(0, 0), (300, 0), (0, 200)], 15_000.0),
        ([(100 * math.cos(t), 100 * math.sin(t)) for t in (k * math.tau / 240 for k in range(240))], 20_000.0),
    ],
)
def test_the_largest_rectangle_is_near_that_of_calculus_and_inside(ring, largest_mm2):
    region = Region.from_ring(ring)
    found = largest_rectangle(region)
    assert found is not None
    rectangle = Region.rectangle(found[:2], found[2:])
    assert region.holds(rectangle, slack_mm=1e-5)
    assert 0.96 * largest_mm2 <= rectangle.area_mm2 <= largest_mm2 * 1.0001


@settings(max_examples=25)
@given(lay_requests(), st.sampled_from([0.0, 250.0]))
def test_property_remnants_pass_their_check(request_, more_mm):
    layout = lay_pieces(request_, settings=LaySettings(seconds=0))
    cloth = Region.rectangle((0, 0), (layout.length_mm + more_mm, layout.width_mm))
    laid = laid_regions(request_, layout.placements)
    keep = RemnantSettings()
    found = find_remnants(cloth, laid, settings=keep)
    assert check_remnants(cloth, laid, found, keep).passed
    areas = [one.region.area_mm2 for one in found]
    assert areas == sorted(areas, reverse=True)
    assert len(found) <= keep.most
    if more_mm:
        # Round slanted pieces the largest rectangle is promised to a few per cent only.
        assert found[0].region.area_mm2 >= 0.97 * more_mm * layout.width_mm


@settings(max_examples=40)
@given(_blocks())
def test_property_nothing_large_is_left_lying(cloth_and_blocks):
    cloth, blocks = cloth_and_blocks
    found = find_remnants(cloth, blocks, settings=SMALL)
    left = cloth.minus_all([*blocks, *(one.region for one in found)])
    if len(found) < SMALL.most:
        again = largest_rectangle(left, least_side_mm=SMALL.least_side_mm)
        assert again is None or (again[2] - again[0]) * (again[3] - again[1]) <= max(
            SMALL.least_area_mm2, found[0].region.area_mm2 if found else 0
        )


def test_an_odd_shape_is_kept_whole_where_its_rectangle_would_lose_much():
    triangle = Region.from_ring([(0, 0), (600, 0), (0, 600)])
    cloth = Region.rectangle((0, 0), (600, 600))
    (odd, *_) = find_remnants(cloth, [triangle.grown(-1e-9)])
    assert not odd.is_rectangle
    assert odd.region.area_mm2 > 1.8 * (odd.length_mm * odd.width_mm)


def test_slivers_and_crumbs_are_not_kept():
    cloth = Region.rectangle((0, 0), (1000, 1000))
    pieces = [Region.rectangle((0, 0), (1000, 940)), Region.rectangle((0, 940), (900, 1000))]
    assert find_remnants(cloth, pieces) == ()


def test_the_check_names_planted_faults():
    cloth, piece = Region.rectangle((0, 0), (400, 300)), Region.rectangle((0, 0), (200, 300))
    (good,) = find_remnants(cloth, [piece])
    shifted = Remnant(
        region=good.region.shifted(-50, 0), is_rectangle=True, largest_mm=(150, 0, 350, 300), share_of_cloth=0.5
    )
    away = Remnant(
        region=good.region.shifted(50, 0), is_rectangle=True, largest_mm=(250, 0, 450, 300), share_of_cloth=0.5
    )
    untrue = Remnant(region=good.region, is_rectangle=True, largest_mm=(200, 0, 400, 350), share_of_cloth=0.7)
    faults = check_remnants(cloth, [piece], [shifted], RemnantSettings()).faults
    assert faults == ("remnant 1 lies on a piece over 15000 mm2",)
    assert check_remnants(cloth, [piece], [away], RemnantSettings()).faults == ("remnant 1 leaves the cloth",)
    told = " ".join(check_remnants(cloth, [piece], [untrue, good], RemnantSettings(least_side_mm=250)).faults)
    for word in ("does not hold its rectangle", "another share", "narrower than 250", "remnants 1 and 2 overlap"):
        assert word in told


def test_a_part_that_touches_another_along_a_line_only_regression():
    """What was left of one layout: grown back, one wide part met the next in a line, which stopped the answer."""
    left = Region.from_ring(
        [
            (721.71350845, 546.39273433),
            (721.71350845, 877.61409572),
            (855.27836634, 877.61409572),
            (793.61644161, 924.63052837),
            (774.10531449, 960.22428338),
            (719.97368303, 1057.67628934),
            (720.97251167, 1057.1533821),
            (710.8084669, 1075.69544361),
            (710.8084669, 783.29275722),
            (587.70192697, 783.29275722),
        ]
    )
    found = find_remnants(left, [])
    assert check_remnants(left, [], found, RemnantSettings()).passed
    assert found


def test_many_curved_pieces_take_no_long_time():
    rng = Random(4)
    ring = [(60 + 50 * math.cos(t), 60 + 50 * math.sin(t)) for t in (k * math.tau / 400 for k in range(400))]
    laid = [
        Region.from_ring(ring).shifted(130 * column, 130 * row + rng.random())
        for column in range(10)
        for row in range(8)
    ]
    found = find_remnants(Region.rectangle((0, 0), (1800, 1100)), laid)
    assert found[0].is_rectangle and found[0].length_mm > 490
