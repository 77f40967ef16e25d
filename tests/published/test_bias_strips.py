"""Bias strips against tables of quilters and a cutting of the strips with a geometry library."""

from __future__ import annotations

import math

import pytest
from shapely import LineString, box
from shapely.affinity import rotate

from bagwright.drafting.bias import bias_joins, bias_strip_length_mm, square_for_bias_mm
from bagwright.errors import BrokenPromise

IN = 25.4


@pytest.mark.parametrize(
    ("side_in", "strip_in", "length_in"), [(12.0, 2.0, 72.0), (36.0, 2.0, 648.0), (10.0, 2.0, 50.0)]
)
def test_length_matches_bias_tables(side_in, strip_in, length_in):
    # Source: K14 of the reference facts, found: 12 x 12 in cloth, 2 in strip -> 72 in; 36 x 36 in -> 648 in = 18 yd.
    # 10 x 10 in at 2 in -> 50 in, under "Bias" in the same facts.
    got = bias_strip_length_mm((side_in * IN) ** 2, strip_in * IN)
    assert got == pytest.approx(length_in * IN)
    assert square_for_bias_mm(got, strip_in * IN) == pytest.approx(side_in * IN)


def test_square_matches_bias_table():
    # Source: K14: square needed for 100 in of a 3.5 in strip = sqrt(350) = 18.71 in, printed to two digits.
    assert square_for_bias_mm(100 * IN, 3.5 * IN) / IN == pytest.approx(18.71, abs=0.005)


def test_length_with_edge_allowance_matches_worked_example():
    # Source: a quilter's worked example, found (bias-allowance in docs/sources.md): 22 in square, 3 in strip, 1/4 in
    # lost to the tube's seam: 21.75^2 / 3 = 157.7 in.
    assert bias_strip_length_mm((21.75 * IN) ** 2, 3 * IN) / IN == pytest.approx(157.7, abs=0.05)


@pytest.mark.parametrize("length_mm", [300, 1500, 1580, 1600, 3000, 3200, 6000])
@pytest.mark.parametrize("cloth_mm", [500.0, 1117.6, 1473.2])
def test_joins_agree_with_strips_cut_in_shapely(length_mm, cloth_mm):
    """Lines at 45 degrees over a long cloth are as long as shapely says; laid end to end until they reach."""
    strip, allowance = 40.0, 6.35
    cloth = box(0, 0, cloth_mm, 10_000)
    slant = rotate(LineString([(-20_000, 5_000), (20_000, 5_000)]), 45, origin=(cloth_mm / 2, 5_000))
    each = slant.intersection(cloth).length
    reached, joins = each, 0
    while reached < length_mm + strip:
        reached += each - 2 * allowance / math.sin(math.radians(45))
        joins += 1
    assert bias_joins(length_mm, strip, cloth_mm) == joins


@pytest.mark.parametrize("wrong", [(100.0, 0.0), (-1.0, 3.0), (0.0, 3.0)])
def test_no_cloth_and_no_width_rejects(wrong):
    with pytest.raises(BrokenPromise):
        bias_strip_length_mm(*wrong)
    with pytest.raises(BrokenPromise):
        bias_joins(100, 20, 10.0)
