"""Cut lines: seam allowance all round, per edge, at corners."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bagwright.errors import BrokenPromise
from bagwright.geometry.offset import cut_region
from bagwright.geometry.outline import Outline, polygon_outline, rectangle_outline
from bagwright.geometry.region import GRID_MM
from bagwright.geometry.walked_ring import MITRE_LIMIT
from tests.geometry.shapes import MOVES, OUTLINES, dart, flap, polygons, rounded_front

EACH = pytest.mark.parametrize("outline", OUTLINES.values(), ids=OUTLINES.keys())
FINE_MM = 1e-3


def _even(outline: Outline, allowance_mm: float) -> dict[str, float]:
    return {edge.name: allowance_mm for edge in outline.edges}


def _differing_mm2(one, other) -> float:
    return float(shapely.symmetric_difference(one, other, grid_size=GRID_MM).area)


@pytest.mark.parametrize("allowance", [6.35, 10.0, 15.0])
@EACH
def test_even_allowance_agrees_with_shapely_buffer(outline, allowance):
    # Second method: shapely's buffer with mitred corners, of the outer ring (we let narrow notches close over).
    buffered = outline.region(1e-5).shape.buffer(allowance, join_style="mitre", mitre_limit=MITRE_LIMIT)
    ours = cut_region(outline, _even(outline, allowance)).shape
    theirs = shapely.Polygon(buffered.exterior)
    assert _differing_mm2(ours, theirs) <= 5 * FINE_MM * outline.length_mm
    assert ours.hausdorff_distance(theirs) < 0.02 * allowance


@given(polygons(), st.floats(3, 25))
def test_even_allowance_of_polygons_agrees_with_shapely_buffer(outline, allowance):
    buffered = outline.region().shape.buffer(allowance, join_style="mitre", mitre_limit=MITRE_LIMIT)
    ours = cut_region(outline, _even(outline, allowance)).shape
    assert _differing_mm2(ours, shapely.Polygon(buffered.exterior)) <= 1e-6 * outline.area_mm2


@given(polygons(), st.lists(st.floats(0, 20), min_size=9, max_size=9))
def test_property_each_edge_gets_at_least_its_own_allowance(outline, widths):
    allowance = {edge.name: width for edge, width in zip(outline.edges, widths, strict=False)}
    cut = cut_region(outline, allowance).shape
    assert cut.buffer(1e-6).covers(outline.region().shape)
    for edge in outline.edges:
        line = shapely.LineString([edge.start, edge.end])
        strip = line.buffer(-allowance[edge.name], single_sided=True) if allowance[edge.name] > 1e-5 else line
        assert cut.buffer(1e-6).covers(strip)


@given(polygons(), st.lists(st.floats(0, 20), min_size=9, max_size=9))
def test_property_no_corner_reaches_beyond_the_mitre_limit(outline, widths):
    allowance = {edge.name: width for edge, width in zip(outline.edges, widths, strict=False)}
    cut = cut_region(outline, allowance).shape
    # Cut off square, a corner's two ends lie a little further out than its middle.
    widest = MITRE_LIMIT * max(allowance.values())
    assert outline.region().shape.buffer(math.hypot(widest, max(allowance.values())) + 1e-6).covers(cut)


@given(polygons(), st.floats(1, 20), MOVES)
def test_property_cutting_and_moving_agree_in_either_order(outline, allowance, move):
    widths = _even(outline, allowance)
    one, other = cut_region(outline.moved(move), widths), cut_region(outline, widths).moved(move)
    assert _differing_mm2(one.shape, other.shape) <= 1e-6 * outline.area_mm2


@pytest.mark.parametrize(
    ("allowance", "bounds"),
    [
        ({"bottom": 10, "right": 10, "top": 30, "left": 10}, (-10, -10, 110, 80)),
        ({"bottom": 10}, (0, -10, 100, 50)),
        ({"left": 5, "right": 7}, (-5, 0, 107, 50)),
        ({}, (0, 0, 100, 50)),
    ],
)
def test_unequal_allowances_of_a_rectangle_make_a_larger_rectangle(allowance, bounds):
    cut = cut_region(rectangle_outline(100, 50), allowance)
    low_x, low_y, high_x, high_y = bounds
    assert cut.bounds == pytest.approx(bounds)
    assert cut.area_mm2 == pytest.approx((high_x - low_x) * (high_y - low_y))
    assert len(cut.outer_ring()) == 4


def test_area_of_an_even_border_matches_steiner():
    # Derived: straight edges with right angles: area + length x s + 4 s^2 for convex corners; round corners of
    # radius r become r + s.
    outline = rounded_front(300, 240, 40)
    expected = 320 * 260 - (2 - math.pi / 2) * 50**2
    assert cut_region(outline, _even(outline, 10)).area_mm2 == pytest.approx(expected, abs=outline.length_mm * 1e-3)


def test_a_sharp_corner_is_cut_off_square_at_the_limit():
    # 20 degrees: the mitre would reach 5.76 times the allowance.
    outline = polygon_outline([("a", (0, 0)), ("b", (200, -35.27)), ("c", (200, 35.27))])
    cut = cut_region(outline, _even(outline, 10))
    assert cut.bounds[0] == pytest.approx(-10 * MITRE_LIMIT, abs=0.01)


@pytest.mark.parametrize("half_mm", [40, 10, 2])
def test_a_dart_with_curved_sides_can_be_cut(half_mm):
    outline = dart(half_mm)
    cut = cut_region(outline, _even(outline, 10))
    assert cut.holds(outline.region(), slack_mm=0.002)
    assert cut.bounds == pytest.approx((-10, -10, 110, 110), abs=0.01)


def test_a_notch_narrower_than_its_allowances_closes_over():
    cut = cut_region(dart(3), _even(dart(3), 10))
    assert not cut.hole_rings()
    assert cut.area_mm2 == pytest.approx(120 * 120, rel=1e-3)


def test_a_curved_edge_gets_its_own_allowance_only():
    outline = flap()
    cut = cut_region(outline, {"wave": 12})
    assert cut.bounds[2:] == pytest.approx((240, 90), abs=12)
    wave = shapely.LineString(outline.edge("wave").points(1e-4))
    ring = shapely.LinearRing(cut.outer_ring())
    middle = shapely.Point(wave.interpolate(0.5, normalized=True))
    assert ring.distance(middle) == pytest.approx(12, abs=0.01)


def test_rejects_a_negative_allowance():
    with pytest.raises(BrokenPromise, match="negative"):
        cut_region(rectangle_outline(30, 20), {"top": -1})
