"""Folding flat sheets into space, laying them on one another, and what hides what."""

import math

import pytest

from bagwright.geometry.folding import Crease, fold_sheet
from bagwright.geometry.sight import Sheet, sight_tree
from bagwright.geometry.space import best_motion, spread_mm, turn_about

STRIP = [(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)]


def test_square_corner_limit_turns_the_small_side_straight_down():
    sheet = fold_sheet(STRIP, [Crease((20, 0), (20, 10), 90)])
    assert len(sheet.facets) == 2
    assert sheet.at((30, 5)) == pytest.approx((20, 5, -10))
    assert sheet.at((5, 5)) == pytest.approx((5, 5, 0))


def test_sense_property_does_not_depend_on_the_way_the_line_runs():
    there, back = (fold_sheet(STRIP, [Crease(*ends, 70)]) for ends in (((20, 0), (20, 10)), ((20, 10), (20, 0))))
    assert there.at((30, 3)) == pytest.approx(back.at((30, 3)))


def test_rolled_strip_agrees_with_the_circle_of_its_length():
    sheet = fold_sheet(STRIP, [Crease((15, 0), (15, 10), 360, band_mm=30)])
    assert sheet.at((0, 4)) == pytest.approx(sheet.at((30, 4)), abs=1e-6)
    assert math.dist(sheet.at((0, 4)), sheet.at((15, 4))) == pytest.approx(30 / math.pi, rel=2e-3)


def test_best_motion_property_undoes_any_turn():
    points = [(0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, 3.0, 0.0)]
    motion = turn_about((1, 2), (4, 3), 37)
    found = best_motion(points, [motion.apply(point) for point in points])
    assert found.apply((1.0, 1.0, 7.0)) == pytest.approx(motion.apply((1.0, 1.0, 7.0)))
    assert spread_mm(points)[1] > 1


def test_sight_property_the_nearer_of_two_sheets_comes_last_from_either_side():
    facet = fold_sheet(STRIP, []).facets[0]
    sheets = [
        Sheet(tuple((x, y, z) for x, y, _ in facet.points), facet.kinds, facet.normal, key)
        for key, z in enumerate((0.0, 5.0))
    ]
    tree = sight_tree(sheets)
    assert tree is not None
    assert [s.key for s in tree.back_to_front((0, 0, 1))] == [0, 1]
    assert [s.key for s in tree.back_to_front((0, 0, -1))] == [1, 0]
