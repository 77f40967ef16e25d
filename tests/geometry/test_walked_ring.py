"""The cut line by one walk round the net line: the very one that strips laid along every chord give, or none."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Affine
from bagwright.geometry.offset import cut_region, laid_region, walked_region
from bagwright.geometry.outline import Outline, polygon_outline, rectangle_outline
from bagwright.geometry.region import GRID_MM, Region
from bagwright.geometry.walked_ring import MITRE_LIMIT, walked_ring
from tests.geometry.shapes import OUTLINES, curved_outlines, dart, polygons, rounded_front

WIDTHS = st.one_of(
    st.lists(st.sampled_from([0.0, 5.0, 10.0, 20.0]), min_size=12, max_size=12),
    st.lists(st.floats(0, 25), min_size=12, max_size=12),
    st.floats(0.5, 30).map(lambda width: [width] * 12),
)


def allowances(outline: Outline, widths: list[float]) -> dict[str, float]:
    named = {edge.name: width for edge, width in zip(outline.edges, widths, strict=False)}
    return {name: width for name, width in named.items() if width > 1e-6}


def even(outline: Outline, width: float) -> dict[str, float]:
    return {edge.name: width for edge in outline.edges}


def agree(walked: Region, laid: Region) -> bool:
    """Laid strips may leave a slit of no area where two of them touch, so areas are compared, and corners one way."""
    differing = shapely.symmetric_difference(walked.shape, laid.shape, grid_size=GRID_MM).area
    ring = shapely.LinearRing(laid.outer_ring())
    off = shapely.distance(shapely.points(walked.outer_corners()), ring).max()
    return differing <= 1e-6 * walked.perimeter_mm and bool(off <= 1e-6)


def is_simple(outline: Outline, tolerance: float) -> bool:
    try:
        outline.region(tolerance, "right")
    except BrokenPromise:
        return False
    return True


@settings(max_examples=400, deadline=None)
@given(curved_outlines(), WIDTHS, st.sampled_from([0.01, 0.5]))
def test_walked_cut_line_agrees_with_strips_laid_one_by_one(outline, widths, tolerance):
    assume(is_simple(outline, tolerance))
    allowance = allowances(outline, widths)
    walked = walked_region(outline, allowance, tolerance)
    if walked:
        assert agree(walked, laid_region(outline, allowance, tolerance))


@settings(max_examples=200, deadline=None)
@given(polygons(), WIDTHS)
def test_walked_cut_line_of_plain_polygons_agrees_with_strips_laid_one_by_one(outline, widths):
    allowance = allowances(outline, widths)
    walked = walked_region(outline, allowance, 0.01)
    if walked:
        assert agree(walked, laid_region(outline, allowance, 0.01))


@given(st.lists(st.floats(0, 30), min_size=4, max_size=4), st.sampled_from([0.0, 33.0]))
def test_convex_outlines_property_are_always_walked(widths, turn):
    # A convex outline has no hollow corner, so nothing can fail.
    outline = rectangle_outline(120, 80).moved(Affine(turn))
    assert walked_region(outline, allowances(outline, widths), 0.01)


@pytest.mark.parametrize("allowance", [3.0, 6.35, 10.0, 15.0])
@pytest.mark.parametrize("shape", ["rectangle", "notched", "rounded", "scoop", "flap"])
def test_shapes_of_bags_property_are_walked(shape, allowance):
    outline = OUTLINES[shape]
    walked = walked_region(outline, even(outline, allowance), 0.01)
    assert walked
    assert agree(walked, laid_region(outline, even(outline, allowance), 0.01))


def slotted(half_mm: float) -> Outline:
    """A block with a slot in its top, 40 mm deep."""
    corners = [(0, 0), (200, 0), (200, 100), (100 + half_mm, 100), (100 + half_mm, 60), (100 - half_mm, 60)]
    return polygon_outline([(f"side {i}", p) for i, p in enumerate([*corners, (100 - half_mm, 100), (0, 100)])])


@pytest.mark.parametrize("half_mm", [3, 9.9, 10])
def test_narrow_slot_rejects_the_walk_and_closes_over(half_mm):
    # Allowances of 10 mm from either side fill a slot of up to 20 mm.
    net = slotted(half_mm)
    assert walked_region(net, even(net, 10.0), 0.01) is None
    assert cut_region(net, even(net, 10.0)).area_mm2 == pytest.approx(220 * 120)


def test_wider_slot_property_is_walked():
    net = slotted(10.5)
    walked = walked_region(net, even(net, 10.0), 0.01)
    assert walked
    assert walked.area_mm2 == pytest.approx(220 * 120 - 1 * 40)


def test_dart_rejects_the_walk():
    assert walked_region(dart(10), even(dart(10), 10.0), 0.01) is None


@pytest.mark.parametrize("width", [7.0, 60.0])
def test_side_shorter_than_the_strip_beside_it_rejects_the_walk(width):
    """A stair of 5 mm: the strip of the tread below reaches past it."""
    corners = [(0, 0), (200, 0), (200, 50), (150, 50), (150, 55), (100, 55), (100, 100), (0, 100)]
    net = polygon_outline([(f"side {i}", p) for i, p in enumerate(corners)])
    assert walked_region(net, even(net, width), 0.01) is None
    # Second method: shapely's buffer with mitred corners.
    buffered = net.region().shape.buffer(width, join_style="mitre", mitre_limit=MITRE_LIMIT)
    assert agree(cut_region(net, even(net, width), 0.01), Region(buffered))


def test_crossing_net_line_rejects():
    bow = polygon_outline([("a", (0, 0)), ("b", (100, 0)), ("c", (20, 60)), ("d", (80, 90))])
    with pytest.raises(BrokenPromise, match="not simple"):
        cut_region(bow, even(bow, 10.0))


def test_side_that_turns_straight_back_rejects_the_walk():
    spike = [(0, 0), (50, 0), (50, 20), (90, 20), (50, 20), (50, 50), (0, 50)]
    assert walked_ring(spike, [5.0] * 7) is None


def test_sharp_corner_property_is_cut_off_square_at_the_limit():
    # Derived: square to the bisector at `MITRE_LIMIT` widths from the corner, on the lines at one width from the sides.
    ring = walked_ring([(0, 0), (200, -35), (200, 35)], [10.0] * 3)
    assert ring
    far = sorted((y, x) for x, y in ring if x < -1)
    slope = 35 / 200
    beside = 10 * math.hypot(1, slope) - 30 * slope
    assert far == [pytest.approx((y, -10 * MITRE_LIMIT)) for y in (-beside, beside)]


def test_round_corners_property_grow_round():
    # Derived: a corner of radius r becomes one of r + width; tangents leave it by at most the tolerance.
    net = rounded_front(300, 240, 40)
    walked = walked_region(net, even(net, 10.0), 0.01)
    assert walked
    corner = [p for p in walked.outer_ring() if p[0] < 40 and p[1] < 40]
    reach = np.hypot(*(np.array(corner) - 40).T)
    assert len(corner) > 10
    assert reach.min() >= 50 - 1e-6
    assert reach.max() <= 50 + 0.01 * 50 / 40 + 1e-6
